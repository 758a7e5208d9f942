#include "engine/run/taking.h"

#include <algorithm>

#include "engine/run/ageing.h"
#include "engine/run/fast/lots.h"

namespace tierce {
namespace {

double held_l(const Run& run, const Place& place) {
  return place.vessel < 0 ? run.now.volume[place.row] : run.now.levels.of(place.row, place.vessel);
}

}  // namespace

void add_dissolved(const Composition& wine, const Cost& cost, double litres, double* row, double* flow) {
  // One by one: numbers just gathered into a vector would have to be waited for.
  const auto add = [&](Solute solute, double per_litre) {
    const double amount = litres * per_litre;
    row[solute] += amount;
    flow[solute] += amount;
  };
  add(kSugar, wine.sugar_g_l);
  add(kAcid, wine.acidity_g_l);
  add(kVolatileAcid, wine.va_g_l);
  add(kSulfate, wine.sulfate_g_l);
  add(kSo2Total, wine.so2_total_mg_l);
  add(kSo2Free, wine.so2_free_mg_l);
  const StatedBinding binding = stated_binding(wine);
  add(kAldehyde, binding.acetaldehyde_mg_l);
  add(kMoney, cost.per_litre);
  add(kPhByAcid, wine.ph * wine.acidity_g_l);
  add(kPhByLitres, wine.ph);
  add(kSo2FreeLow, binding.free_low_mg_l);
  add(kSo2FreeHigh, binding.free_high_mg_l);
  add(kAldehydeLow, binding.low.acetaldehyde_mg_l);
  add(kPyruvic, binding.low.pyruvic_mg_l);
  add(kOxoglutaric, binding.low.oxoglutaric_mg_l);
  add(kGalacturonic, binding.low.galacturonic_mg_l);
  add(kGlucoseHeld, binding.low.glucose_mg_l);
}

Asked ask(const Run& run, const Place& place, const Amount& amount, const char* act) {
  const double held = held_l(run, place);
  const double row_l = run.now.volume[place.row];
  const double tolerance = run.tolerance_l[place.row];
  const double wanted = amount.litres_of(held);
  Asked asked;
  const auto share = share_of(wanted, held, tolerance);
  if (!share || !(held > 0.0)) {
    const std::string holds = held > 0.0 ? " holds " + litres_text(held) : " is empty";
    asked.fault = Fault{{amount.at,
                         std::string(act) + " asks for " + litres_text(wanted) + ", but " + named(run, place) + holds +
                             " on " + iso_text(run.now.date),
                         "at most what it holds that day", held > 0.0 ? litres_text(wanted - held) + " short" : ""},
                        place.row,
                        std::max(0.0, wanted - held)};
    if (amount.kind == Amount::Kind::share)
      asked.fault->problem.what =
          std::string(act) + " takes a share of " + named(run, place) + ", which is empty on " + iso_text(run.now.date);
    return asked;
  }
  asked.litres = *share == 1.0 ? held : wanted;
  asked.share_of_row = asked.litres >= row_l - tolerance ? 1.0 : asked.litres / row_l;
  return asked;
}

void lower(Run& run, const Place& place, const Asked& asked) {
  Stock& now = run.now;
  if (asked.share_of_row == 1.0) {
    now.levels.scale(place.row, 0.0);
    now.volume[place.row] = 0.0;
    run.standing[static_cast<std::size_t>(place.row)].clear();
    return;
  }
  if (place.vessel < 0) now.levels.scale(place.row, 1.0 - asked.share_of_row);
  else {
    double& level = now.levels.change(place.row)[static_cast<std::size_t>(place.vessel)];
    level = level - asked.litres <= run.tolerance_l[place.row] ? 0.0 : level - asked.litres;
  }
  now.volume[place.row] -= asked.litres;
}

void raise(Run& run, const Place& place, double litres, const At& at) {
  if (place.vessel < 0) run.now.levels.fill(place.row, litres);
  else run.now.levels.change(place.row)[static_cast<std::size_t>(place.vessel)] += litres;
  run.now.volume[place.row] += litres;
  look_at_levels(run, place.row, at);
}

void bring_in(Run& run, Flow flow, const Place& to, const Composition& wine, const Cost& cost, double litres,
              int parcel, const At& at) {
  Stock& now = run.now;
  const double alcohol_l = litres * wine.alcohol_pct / 100.0;
  Flows& flows = run.out.flows;
  if (!now.unwritten.nothing(to.row)) write_lots(run, to.row);
  add_lot(run, to.row, parcel, litres, alcohol_l);
  add_dissolved(wine, cost, litres, now.solutes.row(to.row).data(), flows.solutes.row(flow).data());
  now.note({.kind = DissolvedAct::Kind::bring, .row = to.row, .litres = litres, .wine = &wine});
  raise(run, to, litres, at);
  flows.litres(flow, parcel) += litres;
  flows.alcohol(flow, parcel) += alcohol_l;
  run.year().litres[flow] += litres;
  run.year().alcohol[flow] += alcohol_l;
  settle(run, to.row);
}

namespace {

/// Wine from another reserve: each part in its own column, the rest as of any wine.
void bring_parts(Run& run, const Event& event, const Lot& lot, const Place& to, double litres) {
  Stock& now = run.now;
  Flows& flows = run.out.flows;
  write_lots(run, to.row);
  for (std::size_t i = 0; i < lot.brought.size(); ++i) {
    const BroughtPart& part = lot.brought[i];
    const int column = event.brought[i];
    add_lot(run, to.row, column, litres * part.litres, litres * part.alcohol);
    now.entered(to.row, column) += litres * (part.entered - part.litres);  // some of it evaporated over there
    flows.litres(kIn, column) += litres * part.litres;
    flows.alcohol(kIn, column) += litres * part.alcohol;
    run.year().alcohol[kIn] += litres * part.alcohol;
  }
  add_dissolved(lot.wine, lot.cost, litres, now.solutes.row(to.row).data(), flows.solutes.row(kIn).data());
  now.note({.kind = DissolvedAct::Kind::bring, .row = to.row, .litres = litres, .wine = &lot.wine});
  run.year().litres[kIn] += litres;
  raise(run, to, litres, event.at);
  settle(run, to.row);
}

}  // namespace

std::optional<Fault> short_of_account(const Run& run, int lot, double litres, const At& asked_at) {
  const Lot& of = run.line.lots[static_cast<std::size_t>(lot)];
  if (of.made->in) return std::nullopt;  // a lot in a tank is held by what the tank holds
  const double left_l = of.made->wine_l() - run.lot_used_l[static_cast<std::size_t>(lot)];
  if (litres <= left_l + kVolumeTolerance * of.made->volume_l) return std::nullopt;
  return Fault{{asked_at,
                "this takes " + litres_text(litres) + " of lot '" + of.name + "', of which " +
                    litres_text(std::max(0.0, left_l)) + " is left on " + iso_text(run.now.date),
                "at most what is left of it", litres_text(litres - left_l) + " short"},
               0,
               litres - left_l};
}

std::optional<Fault> take_lot(Run& run, const Event& event, int lot, const Place& to, double litres,
                              const At& asked_at) {
  if (auto fault = short_of_lot(run, lot, litres, asked_at)) return fault;
  run.lot_used_l[static_cast<std::size_t>(lot)] += litres;
  const Lot& of = run.line.lots[static_cast<std::size_t>(lot)];
  if (of.brought.empty()) bring_in(run, kIn, to, of.wine, of.cost, litres, event.parcel, event.at);
  else bring_parts(run, event, of, to, litres);
  return std::nullopt;
}

void leave(Run& run, Flow flow, const Place& from, const Asked& asked) {
  book(run, flow, from.row, asked.share_of_row);
  thin_row(run.now, from.row, asked.share_of_row);
  lower(run, from, asked);
}

double alcohol_of_tiers_l(const Run& run) {
  double alcohol_l = 0.0;
  for (int row = 0; row < run.scenario.tier_count(); ++row) alcohol_l += run.now.alcohol_l(row);
  return alcohol_l;
}

namespace {

/// Wine of a row changes its column: in the row, and in the flows, so that each column balances.
void change_column(Run& run, int row, int from, int to) {
  Stock& now = run.now;
  Flows& flows = run.out.flows;
  const auto carry = [&](auto&& amounts) {
    amounts[to] += amounts[from];
    amounts[from] = 0.0;
  };
  now.used = std::max<Eigen::Index>(now.used, to + 1);
  flows.litres(kIn, to) += now.litres(row, from);
  flows.litres(kIn, from) -= now.litres(row, from);
  flows.alcohol(kIn, to) += now.alcohol(row, from);
  flows.alcohol(kIn, from) -= now.alcohol(row, from);
  carry(now.litres.row(row));
  carry(now.entered.row(row));
  carry(now.alcohol.row(row));
}

/// The days of parts that turn: `since` they came less what they were (wood_parts.h).
Pool turned(const Pool& pool, double litres, int since) {
  return {.day_litres = since * litres - pool.day_litres,
          .square_day_litres = (since * litres - 2.0 * pool.day_litres) * since + pool.square_day_litres,
          .least_days = since - pool.most_days,
          .most_days = since - pool.least_days};
}

Pool pool_of(double litres, double days) { return {days * litres, days * days * litres, days, days}; }

/// Parts go into a column that they share with others.
void share_column(Run& run, int row, int from, int to) {
  const WoodParts& wood = run.line.wood;
  Pools& pools = run.now.pools[static_cast<std::size_t>(row)];
  const double litres = run.now.litres(row, from);
  const auto shared = pools.find(from);
  const Pool before = shared != pools.end() ? shared->second : pool_of(litres, wood.days_of(from));
  pools[to].add(turned(before, litres, wood.days_since_it_came(from, run.now.day)), 1.0);
  pools.erase(from);
}

}  // namespace

void enter_tiers(Run& run, int row, const std::vector<std::pair<int, int>>& columns) {
  for (const auto& [outside, inside] : columns) change_column(run, row, outside, inside);
}

void turn_parts(Run& run, int row) {
  const WoodParts& wood = run.line.wood;
  if (!wood.any()) return;
  const bool of_wood = run.scenario.is_wooden(row);
  const Eigen::Index used = run.now.used;  // columns that come in here hold what is turned already
  for (int column = 0; column < used; ++column) {
    if (!(run.now.litres(row, column) > 0.0)) continue;
    const int to = wood.turned(column, of_wood, run.now.day);
    if (to == column) continue;
    if (wood.is_shared(to)) share_column(run, row, column, to);
    change_column(run, row, column, to);
  }
}

}  // namespace tierce
