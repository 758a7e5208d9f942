// What the state of the reserve tells of one draw, or of one year, for a label: each quantity that a rule can ask for.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "engine/measure/age.h"
#include "engine/measure/loss_year.h"
#include "engine/rules/rule.h"
#include "engine/run/timeline.h"
#include "engine/run/trajectory.h"

namespace tierce {

/// A figure, or the bounds between which it lies where part of the wine is not known; and the way of reckoning it.
struct LabelReading {
  double low = -std::numeric_limits<double>::infinity();
  double high = std::numeric_limits<double>::infinity();
  std::string how{};  // where there is more than one way

  bool exact() const { return low == high; }
  bool unknown() const { return low == -std::numeric_limits<double>::infinity() && low == -high; }
};

/// One parcel of the wine as a label sees it.
struct WinePart {
  std::string name{};
  int vintage = 0;           // 0 = not known
  const Lot* lot = nullptr;  // null: wine of the opening stock, or spirit poured in
  const Spirit* spirit = nullptr;
  double litres = 0.0;
  double entered_l = 0.0;
  double spirit_share = 0.0;  // of its litres: spirit that its lot was made with
  double age_y = kUnknown;
};

/// Time in wood, and since wine came into the tiers, whatever the scenario's clock: of a run by the clock of wood.
struct InWood {
  double least_y = kUnknown;  // of any part; unknown with opening wine that may be the least
  double at_least_y = kUnknown;
  double least_since_spirit_y = kUnknown;  // since the youngest part came in, or spirit was last poured into the book
};

struct LabelFacts {
  std::vector<WinePart> parts{};
  double litres = 0.0;
  Date date{};  // of the draw; rules are those of this day
  AgeSummary age{};
  std::optional<InWood> wood{};  // empty until a rule asks for it
  Clock clock = Clock::harvest;
  Composition wine{};
  double sugar_least_g_l = kUnknown;  // where some of the sugar may be none; unknown = the figure itself
  double must_sugar_g_l = kUnknown;   // before it fermented; of a plan to fortify
  bool strength_measured = false;     // an analysis of the same tier on the day of the draw
  double quotient_y = kUnknown, quotient_after_y = kUnknown, quotient_with_losses_y = kUnknown;
  int first_year = 0;                          // in which the book has its first wine
  int first_vintage = 0;                       // the oldest of what went in on its first day
  bool older_than_book = false;                // the book opened with wine
  double sulfites_dosed_mg_l = 0.0;            // the largest dose that the book has for this wine
  bool sulfites_before_known = false;          // all lots came without any
  std::map<std::string, std::string> words{};  // product, colour, designation, appellation; absent = not known
  bool product_stated = false;
  bool name_not_known = false;                   // a designation is stated that no rule file has
  std::vector<std::string> spirit_not_stated{};  // strong lots that do not say what spirit they hold
};

/// Wine that carries a label: draws for bottling that left the book, or stand in a tank; and what was bottled from
/// there, as it was on that day, in place of the draw that stood. In order of time.
std::vector<const DrawRecord*> labelled_wines(const Trajectory& run);

LabelFacts label_facts(const Scenario& scenario, const Timeline& line, const Trajectory& run, const DrawRecord& wine);

/// The scenario with the clock of wood. Ages that were stated by another clock are no time in wood: not known.
Scenario by_the_wood(const Scenario& scenario);
/// What a run of that scenario says of the same wine.
InWood time_in_wood(const Timeline& line, const DrawRecord& wine);
/// Quantities that only such a run knows.
bool asks_for_wood(const std::string& quantity);
/// The same with the least sugar that lots can have whose sugar was reckoned from a density; nothing where none was.
std::optional<Timeline> with_least_sugar(const Timeline& line);

/// What a quantity is read from.
struct LabelCase {
  const LabelFacts* facts = nullptr;  // null: a rule on a year
  const Claim* claim = nullptr;
  const LossYear* year = nullptr;
  double strength_at_c = kStrengthC;  // on which scale strengths are asked for
};

/// What a quantity is worked out from: a draw alone, what is claimed of it, a year, or a plan to fortify.
enum class NeedsOf { draw, claim, year, fortify };

/// A quantity that a rule file may name.
struct LabelQuantity {
  const char* name;
  const char* unit;    // "" = a plain number
  double error;        // of a usual measurement, in that unit (docs/sources.md [label-errors])
  double error_share;  // or as a share of the figure
  const char* meaning;
  std::vector<LabelReading> (*read)(const LabelCase&, SpiritIn);
  NeedsOf needs = NeedsOf::draw;

  /// Unknown where there is nothing to read it from.
  std::vector<LabelReading> of(const LabelCase& one, SpiritIn spirit) const {
    const bool absent =
        (needs == NeedsOf::claim && one.claim == nullptr) || (needs == NeedsOf::year && one.year == nullptr);
    return absent ? std::vector<LabelReading>(1) : read(one, spirit);
  }
};

const std::vector<LabelQuantity>& label_quantities();
const LabelQuantity* find_quantity(const std::string& name);

/// The share of a wine whose parts have a property, in %: the part of each lot that has it, and the part of which
/// that is not known.
struct HasIt {
  double yes = 0.0;
  double unknown = 0.0;
};
std::vector<LabelReading> share_pct(const LabelFacts& facts, SpiritIn spirit,
                                    HasIt (*has)(const WinePart&, const Claim&), const Claim& claim);

/// Days from 1 January of one year to a day of another, every year having 365: the unit of `kept until`.
double days_from_year(int year, const Date& day);
/// What it is sold as, where nobody states it: by its strength, and by whether spirit went in.
std::string product_by_strength(double alcohol_pct, bool fortified);

constexpr double kLiqueurWineFromPct = 15.0;  // %vol; docs/sources.md [label-product]

}  // namespace tierce
