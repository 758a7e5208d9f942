#include "engine/cellar_work.h"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "engine/ageing.h"

namespace tierce {

namespace {

double held_l(const Run& run, const Place& place) {
  return place.vessel < 0 ? run.now.volume[place.row]
                          : run.now.levels.of(place.row)[static_cast<std::size_t>(place.vessel)];
}

/// An amount asked of a place, as litres and as a share of the row that the place belongs to.
struct Asked {
  double litres = 0.0;
  double share_of_row = 0.0;
  std::optional<Fault> fault;
};

Asked ask(const Run& run, const Place& place, const Amount& amount, const std::string& act) {
  const double held = held_l(run, place);
  const double row_l = run.now.volume[place.row];
  const double tolerance = run.tolerance_l[place.row];
  const double wanted = amount.litres_of(held);
  Asked asked;
  const auto share = share_of(wanted, held, tolerance);
  if (!share || !(held > 0.0)) {
    const std::string holds = held > 0.0 ? " holds " + litres_text(held) : " is empty";
    asked.fault = Fault{{amount.at,
                         act + " asks for " + litres_text(wanted) + ", but " + named(run, place) + holds + " on " +
                             iso_text(run.now.date),
                         "at most what it holds that day", held > 0.0 ? litres_text(wanted - held) + " short" : ""},
                        place.row,
                        std::max(0.0, wanted - held)};
    if (amount.kind == Amount::Kind::share)
      asked.fault->problem.what =
          act + " takes a share of " + named(run, place) + ", which is empty on " + iso_text(run.now.date);
    return asked;
  }
  asked.litres = *share == 1.0 ? held : wanted;
  asked.share_of_row = asked.litres >= row_l - tolerance ? 1.0 : asked.litres / row_l;
  return asked;
}

/// Lowers the vessels and the row's volume; its lots are thinned or poured by the caller.
void lower(Run& run, const Place& place, const Asked& asked) {
  Stock& now = run.now;
  if (asked.share_of_row == 1.0) {
    now.levels.scale(place.row, 0.0);
    now.volume[place.row] = 0.0;
    return;
  }
  if (place.vessel < 0) now.levels.scale(place.row, 1.0 - asked.share_of_row);
  else {
    double& level = now.levels.of(place.row)[static_cast<std::size_t>(place.vessel)];
    level = level - asked.litres <= run.tolerance_l[place.row] ? 0.0 : level - asked.litres;
  }
  now.volume[place.row] -= asked.litres;
}

void raise(Run& run, const Place& place, double litres, const At& at) {
  if (place.vessel < 0) run.now.levels.fill(place.row, litres);
  else run.now.levels.of(place.row)[static_cast<std::size_t>(place.vessel)] += litres;
  run.now.volume[place.row] += litres;
  look_at_levels(run, place.row, at);
}

/// What `litres` of a wine hold.
SoluteRow solutes_of(const Composition& wine, double litres) {
  SoluteRow solutes;
  solutes << wine.sugar_g_l, wine.acidity_g_l, wine.va_g_l, wine.sulfate_g_l, wine.so2_total_mg_l, wine.so2_free_mg_l,
      wine.acetaldehyde_mg_l, wine.ph * wine.acidity_g_l, wine.ph;
  return litres * solutes;
}

void bring_in(Run& run, Flow flow, const Place& to, const Composition& wine, double litres, int parcel, const At& at) {
  Stock& now = run.now;
  now.used = std::max<Eigen::Index>(now.used, parcel + 1);
  const double alcohol_l = litres * wine.alcohol_pct / 100.0;
  const SoluteRow solutes = solutes_of(wine, litres);
  now.litres(to.row, parcel) += litres;
  now.entered(to.row, parcel) += litres;
  now.alcohol(to.row, parcel) += alcohol_l;
  now.solutes.row(to.row) += solutes;
  raise(run, to, litres, at);
  Flows& flows = run.out.flows;
  flows.litres(flow, parcel) += litres;
  flows.alcohol(flow, parcel) += alcohol_l;
  flows.solutes.row(flow) += solutes;
  run.year().litres[flow] += litres;
  run.year().alcohol[flow] += alcohol_l;
  settle(run, to.row);
}

const Lot& lot_of(const Run& run, int lot) { return run.line.lots[static_cast<std::size_t>(lot)]; }

double alcohol_of_tiers_l(const Run& run) {
  return run.now.alcohol.topLeftCorner(run.scenario.tier_count(), run.now.used).sum();
}

/// Wine that leaves the book.
void leave(Run& run, Flow flow, const Place& from, const Asked& asked) {
  book(run, flow, from.row, asked.share_of_row);
  thin_row(run.now, from.row, asked.share_of_row);
  lower(run, from, asked);
}

DrawRecord record_of(const Run& run, const Event& event, const Draw& draw, const Asked& asked) {
  DrawRecord record{.at = event.at,
                    .date = event.date,
                    .day = event.day,
                    .name = draw.name.empty() ? iso_text(event.date) : draw.name,
                    .row = draw.from.row,
                    .past = event.past};
  record.volume_l = asked.litres;
  record.wine = part_of(run.now, draw.from.row, asked.share_of_row);
  record.ph = run.now.ph(draw.from.row);
  record.tiers_alcohol_before_l = alcohol_of_tiers_l(run);
  return record;
}

/// The record of the day, begun with what was dosed earlier on it.
RefreshRecord& refresh_of_day(Run& run, const Event& event) {
  auto& refreshes = run.out.refreshes;
  if (!refreshes.empty() && refreshes.back().date == event.date) return refreshes.back();
  refreshes.push_back(RefreshRecord{.date = event.date, .past = event.past});
  const auto& doses = run.out.doses;
  auto first = doses.end();
  while (first != doses.begin() && std::prev(first)->date == event.date) --first;
  refreshes.back().doses.assign(first, doses.end());
  return refreshes.back();
}

/// Wine that leaves a tank for the tiers enters them today: it changes its column, in the row and in the flows.
void enter_tiers(Run& run, int row, const std::vector<std::pair<int, int>>& columns) {
  Stock& now = run.now;
  Flows& flows = run.out.flows;
  const auto carry = [](auto&& amounts, int from, int to) {
    amounts[to] += amounts[from];
    amounts[from] = 0.0;
  };
  for (const auto& [outside, inside] : columns) {
    now.used = std::max<Eigen::Index>(now.used, inside + 1);
    flows.litres(kIn, inside) += now.litres(row, outside);
    flows.litres(kIn, outside) -= now.litres(row, outside);
    flows.alcohol(kIn, inside) += now.alcohol(row, outside);
    flows.alcohol(kIn, outside) -= now.alcohol(row, outside);
    carry(now.litres.row(row), outside, inside);
    carry(now.entered.row(row), outside, inside);
    carry(now.alcohol.row(row), outside, inside);
    if (now.litre_years.size() > 0) carry(now.litre_years.row(row), outside, inside);
  }
}

}  // namespace

std::optional<Fault> apply(Run& run, const Event&, const Open& open) {
  const Opening& opening = run.scenario.opening[open.opening];
  const Place place{opening.at, opening.row, -1};
  for (const auto& [parcel, share] : open.shares) {
    if (share <= 0.0) continue;
    const double litres = share * opening.volume_l;
    bring_in(run, kOpening, place, opening.wine, litres, parcel, opening.at);
    const Parcel& known = run.line.parcels[static_cast<std::size_t>(parcel)];
    if (run.now.litre_years.size() > 0 && is_known(known.wood_years_before))
      run.now.litre_years(place.row, parcel) += litres * known.wood_years_before;
  }
  return std::nullopt;
}

std::optional<Fault> apply(Run& run, const Event& event, const Add& add) {
  bring_in(run, kIn, add.to, lot_of(run, add.lot).wine, add.amount.litres_of(0.0), event.parcel, event.at);
  return std::nullopt;
}

std::optional<Fault> apply(Run& run, const Event& event, const Draw& draw) {
  const Asked asked = ask(run, draw.from, draw.amount, "the draw");
  if (asked.fault) return asked.fault;
  if (run.keep == Keep::flows) {
    leave(run, kDrawn, draw.from, asked);
    return std::nullopt;
  }
  DrawRecord record = record_of(run, event, draw, asked);
  leave(run, kDrawn, draw.from, asked);
  record.tiers_alcohol_after_l = alcohol_of_tiers_l(run);
  run.out.draws.push_back(std::move(record));
  return std::nullopt;
}

std::optional<Fault> apply(Run& run, const Event&, const Lose& lose) {
  const Asked asked = ask(run, lose.from, lose.amount, "the loss");
  if (asked.fault) return asked.fault;
  leave(run, kLost, lose.from, asked);
  return std::nullopt;
}

std::optional<Fault> apply(Run& run, const Event& event, const Move& move) {
  const Asked asked = ask(run, move.from, move.amount, "the move");
  if (asked.fault) return asked.fault;
  if (move.from.row != move.to.row) {
    pour(run.now, move.from.row, move.to.row, asked.share_of_row);
    enter_tiers(run, move.to.row, event.entering);
  }
  lower(run, move.from, asked);
  raise(run, move.to, asked.litres, event.at);
  settle(run, move.to.row);
  return std::nullopt;
}

std::optional<Fault> apply(Run& run, const Event& event, const Refill& refill) {
  const int tiers = run.scenario.tier_count();
  RefillPlan& plan = run.plan;
  plan_refill(refill, run.now.volume.head(tiers), run.target_l, run.tolerance_l.head(tiers), plan);
  if (plan.short_of) {
    const Shortage& gap = *plan.short_of;
    return Fault{{event.at,
                  "the refill of tier '" + run.scenario.name_of(gap.to) + "' needs " + litres_text(gap.missing_l) +
                      " more than tier '" + run.scenario.name_of(gap.from) + "' holds on " + iso_text(event.date),
                  "a smaller draw, a smaller target, or 'volume:' to refill as far as the wine goes", ""},
                 gap.from,
                 gap.missing_l};
  }
  const auto new_wine = [&] {
    if (plan.new_wine_l > 0.0)
      bring_in(run, kIn, Place{event.at, 0, -1}, lot_of(run, refill.lot).wine, plan.new_wine_l, event.parcel, event.at);
  };
  if (plan.new_wine_first) new_wine();
  for (const Pour& moved : plan.pours) {
    pour(run.now, moved.from, moved.to, moved.share);
    lower(run, Place{event.at, moved.from, -1}, {moved.litres, moved.share, {}});
    raise(run, Place{event.at, moved.to, -1}, moved.litres, event.at);
    settle_sulfur(run.now, moved.to);
  }
  if (!plan.new_wine_first) new_wine();
  for (int row = 0; row < tiers; ++row) settle(run, row);
  if (run.keep == Keep::flows) return std::nullopt;
  RefreshRecord& record = refresh_of_day(run, event);
  record.new_wine_l += plan.new_wine_l;
  if (plan.new_wine_l > 0.0) record.lots.emplace_back(lot_of(run, refill.lot).name, plan.new_wine_l);
  record.moves.insert(record.moves.end(), plan.pours.begin(), plan.pours.end());
  return std::nullopt;
}

std::optional<Fault> overfull(const Run& run, int row) {
  const auto levels = run.now.levels.of(row);
  const auto capacities = run.now.levels.capacities_of(row);
  for (std::size_t i = 0; i < levels.size(); ++i) {
    const double over = levels[i] - capacities[i];
    if (over <= std::max(run.tolerance_l[row], kVolumeTolerance * capacities[i])) continue;
    const Place place{{}, row, run.scenario.is_tank(row) ? -1 : static_cast<int>(i)};
    return Fault{{run.filled_at[static_cast<std::size_t>(row)],
                  named(run, place) + " holds " + litres_text(levels[i]) + " at the end of " + iso_text(run.now.date) +
                      ", more than its capacity of " + litres_text(capacities[i]),
                  "a level up to the capacity at the end of each day", "over by " + litres_text(over)},
                 row,
                 -over};
  }
  return std::nullopt;
}

}  // namespace tierce
