#include "cli/report/refresh/refresh_work.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "cli/io/exit_status.h"
#include "cli/read/quantity_text.h"
#include "cli/read/suggest.h"
#include "cli/report/refresh/refresh_refusal.h"
#include "cli/write/write.h"
#include "engine/measure/age.h"
#include "engine/measure/bottle_size.h"
#include "engine/measure/sulfur_plan.h"
#include "engine/wine/units.h"

namespace tierce {
namespace {

constexpr int kCasesToASide = 3;  // gauge readings below and above the expected one

std::optional<int> lot_index(const Scenario& scenario, const std::string& name) {
  for (std::size_t i = 0; i < scenario.lots.size(); ++i)
    if (scenario.lots[i].name == name) return static_cast<int>(i);
  return std::nullopt;
}

OrderRefusal no_such_lot(const Scenario& scenario, const std::string& option, const std::string& name) {
  std::vector<std::string> names;
  for (const Lot& lot : scenario.lots) names.push_back(lot.name);
  return {kBadInput,
          {{{},
            "--" + option + ": there is no lot '" + name + "'",
            "lots: " + listed_briefly(names),
            did_you_mean(nearest(name, names))}}};
}

std::optional<OrderRefusal> wrong_vessel(const Scenario& scenario, const RefreshOptions& options) {
  std::vector<std::string> names;
  for (const Tier& tier : scenario.tiers)
    for (const Vessel& vessel : tier.vessels) names.push_back(vessel.name);
  for (const auto& [vessel, litres] : options.soakage)
    if (std::find(names.begin(), names.end(), vessel) == names.end())
      return OrderRefusal{kBadInput,
                          {{{},
                            "--soakage: no tier has a vessel '" + vessel + "'",
                            "vessels: " + listed_briefly(names),
                            did_you_mean(nearest(vessel, names))}}};
  return std::nullopt;
}

// Lots at hand.

std::vector<LotAtHand> lots_at_hand(const Scenario& scenario, const RefreshOptions& options, const Date& date) {
  std::vector<LotAtHand> lots;
  for (const auto& [name, litres] : options.lots) {
    const Lot& lot = scenario.lots[static_cast<std::size_t>(*lot_index(scenario, name))];
    lots.push_back({name, litres, lot.wine.alcohol_pct, lot.wine.sugar_g_l, years_between(lot.harvested, date),
                    lot.cost.per_litre});
  }
  return lots;
}

/// A lot that was not harvested yet, or that states no value that is asked for.
std::optional<OrderRefusal> wrong_lot(const std::vector<LotAtHand>& lots, const RefreshOptions& options,
                                      const Date& date) {
  for (const LotAtHand& lot : lots) {
    if (lot.age_y < 0.0)
      return OrderRefusal{kFails, {{{}, "lot " + lot.name + " is not harvested yet on " + iso_text(date), "", ""}}};
    if (is_known(options.sweet_g_l) && !is_known(lot.sugar_g_l))
      return OrderRefusal{kBadInput,
                          {{{}, "--sweet: lot " + lot.name + " states no sugar", "'sugar' of that lot", ""}}};
  }
  return std::nullopt;
}

/// Amounts that can be pumped: to 0.1 L, lots of less than that left out; the last one makes up the sum.
std::vector<std::pair<int, double>> pumped(const Scenario& scenario, const std::vector<LotAtHand>& lots,
                                           const LotChoice& choice, double litres) {
  std::vector<std::pair<int, double>> amounts;
  double left_l = litres;
  for (std::size_t i = 0; i < lots.size(); ++i) {
    const double rounded_l = std::round(choice.litres[i] * 10.0) / 10.0;
    if (!(rounded_l > 0.0)) continue;
    amounts.emplace_back(*lot_index(scenario, lots[i].name), rounded_l);
    left_l -= rounded_l;
  }
  if (!amounts.empty()) amounts.back().second += left_l;
  return amounts;
}

/// The plan with its new wine chosen from the lots at hand.
std::optional<OrderRefusal> choose(Refresh& refresh, const Scenario& scenario, RefreshWish wish, Units units) {
  const RefreshOptions& options = refresh.options;
  refresh.lots_at_hand = lots_at_hand(scenario, options, refresh.plan.date);
  if (auto refusal = wrong_lot(refresh.lots_at_hand, options, refresh.plan.date)) return refusal;
  const auto orders = wine_orders(refresh.plan, options.losses());
  double goes_in_l = 0.0, needed_l = 0.0;
  for (const WineOrder& order : orders) {
    goes_in_l += order.goes_in_l;
    needed_l += order.needed_l;
  }
  if (!(goes_in_l > 0.0)) return std::nullopt;
  const WantedWine wanted{needed_l, options.strength_pct, options.sweet_g_l, options.youngest_y};
  refresh.choice = choose_lots(refresh.lots_at_hand, wanted);
  if (refresh.choice->fault != LotFault::none)
    return OrderRefusal{kFails,
                        {choice_refusal(*refresh.choice, refresh.lots_at_hand, wanted, refresh.plan.date, units)}};
  LotChoice into = *refresh.choice;  // what lees and filter leave of it
  for (double& litres : into.litres) litres *= goes_in_l / needed_l;
  wish.lots = pumped(scenario, refresh.lots_at_hand, into, goes_in_l);
  auto again = plan_refresh(scenario, wish);
  if (const auto* refusal = std::get_if<RefreshRefusal>(&again))
    return OrderRefusal{kFails, {plan_refusal(*refusal, scenario, units)}};
  refresh.plan = std::get<RefreshPlan>(std::move(again));
  return std::nullopt;
}

// The day, tier by tier and vessel by vessel.

double volume_of(const Ran& ran, int row) { return ran.holds_wine() ? ran.stock().volume[row] : 0.0; }

std::vector<TierDay> tier_days(const RefreshPlan& plan, double error_part) {
  std::vector<TierDay> tiers;
  for (int row = 0; row < plan.base.tier_count(); ++row) {
    TierDay tier{.row = row, .expected_l = volume_of(plan.before, row)};
    tier.low_l = tier.expected_l * (1.0 - error_part);
    tier.high_l = tier.expected_l * (1.0 + error_part);
    tier.after_l = volume_of(plan.after, row);
    tiers.push_back(tier);
  }
  for (const DrawRecord* draw : draws_of_day(plan))
    if (draw->row < plan.base.tier_count()) tiers[static_cast<std::size_t>(draw->row)].drawn_l += draw->volume_l;
  if (const RefreshRecord* refresh = refresh_of_day(plan))
    for (const Pour& pour : refresh->moves) {
      tiers[static_cast<std::size_t>(pour.from)].passed_on_l += pour.litres;
      tiers[static_cast<std::size_t>(pour.to)].taken_in_l += pour.litres;
    }
  for (const WineOrder& order : wine_orders(plan, {})) tiers.front().new_wine_l += order.goes_in_l;
  return tiers;
}

double soakage_of(const RefreshOptions& options, const std::string& vessel) {
  for (const auto& [name, litres] : options.soakage)
    if (name == vessel) return litres;
  return 0.0;
}

/// What the day's doses bring into each vessel.
std::map<std::string, double> so2_by_vessel(const RefreshPlan& plan) {
  std::map<std::string, double> grams;
  const auto doses = planned_doses(plan.booked, plan.after.line, plan.after.run);
  for (std::size_t i = plan.before.run.doses.size(); i < doses.size(); ++i)
    for (const VesselDose& vessel : doses[i].vessels) grams[vessel.name] += vessel.so2_g;
  return grams;
}

TierVessels vessels_of(const Refresh& refresh, const TierFilling& filling, std::map<std::string, double>& so2_g) {
  const RefreshPlan& plan = refresh.plan;
  const TierDay& day = refresh.tiers[static_cast<std::size_t>(filling.row)];
  const auto& vessels = plan.base.tiers[static_cast<std::size_t>(filling.row)].vessels;
  const auto after = plan.after.stock().levels.of(filling.row);
  const auto capacities_l = plan.after.stock().levels.capacities_of(filling.row);
  const double out_part = day.expected_l > 0.0 ? std::min(1.0, (day.drawn_l + day.passed_on_l) / day.expected_l) : 0.0;
  std::vector<std::size_t> order = filling.filling.order;
  for (std::size_t i = 0; i < vessels.size(); ++i)  // those that stay empty come last
    if (std::find(order.begin(), order.end(), i) == order.end()) order.push_back(i);
  TierVessels tier{filling.row, {}};
  for (const std::size_t i : order) {
    if (!(capacities_l[i] > 0.0)) continue;  // not in the cellar that day
    VesselDay vessel{.name = vessels[i].name, .capacity_l = capacities_l[i]};
    if (plan.before.holds_wine()) vessel.expected_l = plan.before.stock().levels.of(filling.row)[i];
    vessel.out_l = vessel.expected_l * out_part;
    vessel.after_l = after[i];
    vessel.in_l = vessel.after_l - (vessel.expected_l - vessel.out_l);
    if (vessel.in_l < 0.0) {  // it gives more than its part
      vessel.out_l -= vessel.in_l;
      vessel.in_l = 0.0;
    }
    vessel.part_full = filling.filling.part_full == i;
    vessel.soakage_l = soakage_of(refresh.options, vessel.name);
    vessel.so2_g = so2_g[vessel.name];
    tier.vessels.push_back(vessel);
  }
  return tier;
}

// Bottles.

std::vector<BottleCount> bottles_of(double litres, double own_l) {
  std::vector<double> sizes = {0.75, 0.5, 0.375};
  if (is_known(own_l) && std::find(sizes.begin(), sizes.end(), own_l) == sizes.end()) sizes.push_back(own_l);
  std::vector<BottleCount> counts;
  for (const double size_l : sizes) {
    const double bottles = std::floor(litres / size_l + 1e-9);
    counts.push_back({size_l, bottles, std::max(0.0, litres - bottles * size_l), size_l == own_l});
  }
  return counts;
}

// If the tank reads ...

/// 1, 2 or 5 times a power of ten, at least `wanted`.
double round_step(double wanted) {
  const double power = std::pow(10.0, std::floor(std::log10(wanted) + 1e-9));
  for (const double step : {1.0, 2.0, 5.0})
    if (step * power >= wanted * (1.0 - 1e-9)) return step * power;
  return 10.0 * power;
}

/// Round readings around the expected one that span the gauge's error.
std::vector<double> readings_around(double expected_l, double error_part, Units units) {
  const double unit_l = units == Units::us ? kLitresPerGallon : 1.0;
  const double expected = expected_l / unit_l;
  const double least = expected >= 100.0 ? 1.0 : 0.1;
  const double step = std::max(least, round_step(std::max(1e-6, expected * error_part / kCasesToASide)));
  const double middle = std::round(expected / step) * step;
  std::vector<double> readings;
  for (int i = -kCasesToASide; i <= kCasesToASide; ++i)
    if (middle + i * step > 0.0) readings.push_back((middle + i * step) * unit_l);
  return readings;
}

std::vector<GaugeCase> gauge_cases(const RefreshPlan& plan, const RefreshOptions& options, Units units) {
  std::vector<GaugeCase> cases;
  if (!plan.before.holds_wine()) return cases;
  for (const TierFilling& filling : plan.fillings) {
    const double expected_l = plan.before.stock().volume[filling.row];
    if (!(expected_l > 0.0)) continue;
    for (const double found_l : readings_around(expected_l, options.error_part, units))
      cases.push_back({filling.row, found_l, if_gauged(plan, {{filling.row, found_l}})});
  }
  return cases;
}

Outlook outlook_of(const Scenario& scenario, const Ran& ran, const std::vector<std::string>& assumed) {
  Outlook outlook{scenario, ran.line, ran.run};
  outlook.line.assumed = assumed;
  return outlook;
}

std::string why_the_day(const RefreshPlan& plan, const RefreshOptions& options) {
  if (options.on) return "as asked";
  return plan.base.habit.size() > 1 ? "the next day of the habits" : "the habit's next day";
}

/// What the new wine is made from, where that is asked for.
std::optional<OrderRefusal> order_making(Refresh& refresh) {
  const RefreshOptions& options = refresh.options;
  if (options.from == MadeFrom::wine) return std::nullopt;
  const auto spirit = spirit_for(refresh.plan, options.spirit);
  if (const auto* problem = std::get_if<Problem>(&spirit)) return OrderRefusal{kBadInput, {*problem}};
  auto made = making_orders(refresh.wines, std::get<SpiritNeed>(spirit), options.making);
  if (const auto* refusal = std::get_if<MakingRefusal>(&made)) return making_refusal(*refusal, options);
  refresh.makings = std::get<std::vector<MakingOrder>>(std::move(made));
  return std::nullopt;
}

}  // namespace

NewWineLosses RefreshOptions::losses() const {
  NewWineLosses losses{lees, filter};
  for (const auto& [vessel, litres] : soakage) losses.soakage_l += litres;
  return losses;
}

NewestVintage newest_vintage(const Outlook& outlook, const Parcelled& wine, int day) {
  NewestVintage newest;
  for (const Share& share : shares_of(outlook.line, outlook.scenario.clock, wine, day)) {
    const int vintage = outlook.line.parcels[nth(share.parcel)].vintage;
    if (vintage > newest.vintage) newest = {vintage, 0.0};
    if (vintage > 0 && vintage == newest.vintage) newest.share += share.fraction;
  }
  return newest;
}

RefreshOrRefusal work_out_refresh(const LoadedScenario& loaded, const RefreshOptions& options, Units units) {
  const Scenario& scenario = loaded.scenario;
  RefreshWish wish{.on = options.on, .draw = options.draw};
  wish.level = options.level;
  wish.ullage_part = options.ullage_part;
  if (!options.refill.empty()) {
    wish.lot = lot_index(scenario, options.refill);
    if (!wish.lot) return no_such_lot(scenario, "refill", options.refill);
  }
  for (const auto& [name, litres] : options.lots)
    if (!lot_index(scenario, name)) return no_such_lot(scenario, "lots", name);
  if (!options.lots.empty()) wish.lot = lot_index(scenario, options.lots.front().first);
  if (auto refusal = wrong_vessel(scenario, options)) return *refusal;
  auto planned = plan_refresh(scenario, wish);
  if (const auto* refusal = std::get_if<RefreshRefusal>(&planned))
    return OrderRefusal{status_of(*refusal), {plan_refusal(*refusal, scenario, units)}};
  Refresh refresh{.options = options, .plan = std::get<RefreshPlan>(std::move(planned)), .before = {}, .after = {}};
  if (!options.lots.empty())
    if (auto refusal = choose(refresh, scenario, wish, units)) return *refusal;
  const RefreshPlan& plan = refresh.plan;
  refresh.before = outlook_of(plan.base, plan.before, {});
  refresh.after = outlook_of(plan.booked, plan.after, plan.assumed);
  refresh.why_the_day = why_the_day(plan, options);
  refresh.tiers = tier_days(plan, options.error_part);
  auto so2_g = so2_by_vessel(plan);
  for (const TierFilling& filling : plan.fillings) refresh.vessels.push_back(vessels_of(refresh, filling, so2_g));
  double drawn_l = 0.0;
  for (const DrawRecord* draw : draws_of_day(plan)) drawn_l += draw->volume_l;
  refresh.to_bottle_l = std::max(0.0, drawn_l - options.bottling.of(drawn_l));
  refresh.bottles =
      bottles_of(refresh.to_bottle_l, is_known(options.bottle_l) ? options.bottle_l : bottle_of_file(scenario));
  refresh.wines = wine_orders(plan, options.losses());
  if (auto refusal = order_making(refresh)) return *refusal;
  refresh.cases = gauge_cases(plan, options, units);
  return refresh;
}

}  // namespace tierce
