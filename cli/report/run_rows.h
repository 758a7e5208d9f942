// What a run leaves behind, as reports and JSON describe it: balances, years, refreshes, doses, readings.
#pragma once

#include "cli/write/field.h"
#include "engine/measure/balance.h"
#include "engine/measure/yearly_age.h"
#include "engine/run/outlook.h"

namespace tierce {

extern const Shape<Balance> kBalance;
extern const Shape<Trajectory> kBalances;

struct ReadingRow {
  const Scenario* scenario;
  const Reading* reading;
};
extern const Shape<ReadingRow> kReading;
std::vector<ReadingRow> reading_rows(const Outlook& outlook);

/// Wine moved from one tier to the next.
struct MoveRow {
  const Scenario* scenario;
  Pour pour;
};
extern const Shape<MoveRow> kMove;
std::vector<MoveRow> move_rows(const Scenario& scenario, const std::vector<Pour>& moves);

/// Name and litres of a lot that a refresh brings in.
using NewWine = std::pair<std::string, double>;
extern const Shape<NewWine> kNewWine;

struct DoseRow {
  const Scenario* scenario;
  const DoseRecord* dose;
};
extern const Shape<DoseRow> kDose;
extern const Shape<DoseRow> kDatedDose;

struct RefreshRow {
  const Scenario* scenario;
  const RefreshRecord* refresh;
};
extern const Shape<RefreshRow> kRefresh;

/// A calendar year, and the ages of its draws by volume.
struct YearRow {
  const Outlook* outlook;
  const YearFlows* year;
  double before_pct;  // strength at the close of the year before
  AgesOfYear ages;

  double closing_pct() const;
};
extern const Shape<YearRow> kYear;
std::vector<YearRow> year_rows(const Outlook& outlook);

struct StopRow {
  const Scenario* scenario;
  const Stop* stop;
};
extern const Shape<StopRow> kStop;

/// In what money is counted, and what lacks a cost.
extern const Shape<Outlook> kCost;

/// What stands where the report of a plan that is impossible would.
struct Impossible {
  std::string file;  // that it was asked of; empty where there is none
  std::vector<Problem> why;
};
extern const Shape<Impossible> kImpossiblePlan;

}  // namespace tierce
