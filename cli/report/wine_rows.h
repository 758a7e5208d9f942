// Wine at a moment, of a tier, a draw or a bottling, as every report describes it.
#pragma once

#include "cli/report/report.h"
#include "cli/write/field.h"
#include "engine/measure/age.h"
#include "engine/measure/composition.h"
#include "engine/run/binding.h"
#include "engine/run/outlook.h"

namespace tierce {

struct WineNow {
  const Outlook* outlook;
  const Parcelled* wine;
  double volume_l;
  double ph;
  int day;

  double alcohol_l() const { return wine->alcohol.sum(); }
  double per_litre(Solute solute) const { return wine->solutes[solute] / volume_l; }
  AgeSummary age() const { return age_of(outlook->line, outlook->scenario.clock, *wine, day); }
  SulfurNow sulfur() const { return sulfur_of(wine->solutes.data(), volume_l, ph, 100.0 * alcohol_l() / volume_l); }
};
extern const Shape<WineNow> kWine;

/// Free and molecular SO2: planned, and the ends.
struct SulfurLevels {
  const Scenario& scenario;
  SulfurNow now;
};
extern const Shape<SulfurLevels> kSulfurLevels;

extern const Shape<AgeSummary> kAge;

struct ShareRow : Share {
  const Parcel* of;
};
extern const Shape<ShareRow> kShare;
std::vector<ShareRow> shares_in(const WineNow& wine);

extern const Shape<NamedShare> kNamedShare;
extern const Shape<DrawRecord> kNameAndDate;

struct DrawRow {
  const Outlook* outlook;
  const DrawRecord* draw;
  double own_bottle_l = 0.0;  // 0: it is counted in no bottles

  WineNow now() const { return {outlook, &draw->wine, draw->volume_l, draw->ph, draw->day}; }
};
extern const Shape<DrawRow> kDraw;
/// Every draw of a run.
std::vector<DrawRow> draw_rows(const Outlook& outlook);

struct BottlingRow : DrawRow {
  const BottlingRecord* bottling;
};
extern const Shape<BottlingRow> kBottling;
std::vector<BottlingRow> bottling_rows(const Outlook& outlook);

/// A tier or a tank; it owns its part of the stock.
struct PlaceRow {
  PlaceRow(const Outlook& of, const Stock& held, int its_row)
      : outlook(&of),
        stock(&held),
        row(its_row),
        wine(part_of(held, its_row, 1.0)),
        age(now().age()),
        left_out(to_be_left_out(of.run)) {}

  const Outlook* outlook;
  const Stock* stock;
  int row;
  Parcelled wine;
  AgeSummary age;
  std::vector<const Reading*> left_out;  // vessels of the run that an analysis marks so

  WineNow now() const { return {outlook, &wine, stock->volume[row], stock->ph(row), stock->day}; }
  bool is_tank() const { return outlook->scenario.is_tank(row); }
  const std::string& name() const { return outlook->scenario.name_of(row); }
};
extern const Shape<PlaceRow> kPlace;
/// All of a stock, tiers first; and of these the ones that hold wine.
std::vector<PlaceRow> place_rows(const Outlook& outlook, const Stock& stock);
std::vector<PlaceRow> filled(std::vector<PlaceRow> places);

/// A vessel that is in the cellar; a tank is one vessel.
struct VesselRow {
  const PlaceRow* place;
  std::size_t vessel;

  double capacity_l() const { return place->stock->levels.capacities_of(place->row)[vessel]; }
  double level_l() const { return place->stock->levels.of(place->row)[vessel]; }
};
extern const Shape<VesselRow> kVessel;
std::vector<VesselRow> vessel_rows(const PlaceRow& place);

}  // namespace tierce
