#include "engine/plan/refresh_order.h"

#include <algorithm>
#include <cmath>

#include "engine/wine/alcoholometry.h"

namespace tierce {
namespace {

constexpr double kTrialMustL = 1000.0;  // wine and spirit are in proportion to the must

/// New wine of the day by lot, in the order in which it goes in.
std::vector<std::pair<std::string, double>> new_wine_of_day(const RefreshPlan& plan) {
  std::vector<std::pair<std::string, double>> lots;
  for (const PlannedEntry& planned : plan.entries)
    if (const auto* add = std::get_if<Add>(&planned.entry.action); add != nullptr && planned.of_the_day)
      lots.emplace_back(plan.booked.lots[static_cast<std::size_t>(add->lot)].name, add->amount.value);
  if (const RefreshRecord* refresh = refresh_of_day(plan))
    for (const auto& lot : refresh->lots) lots.push_back(lot);
  return lots;
}

const Lot& lot_named(const RefreshPlan& plan, const std::string& name) {
  return *std::find_if(plan.booked.lots.begin(), plan.booked.lots.end(),
                       [&](const Lot& lot) { return lot.name == name; });
}

/// The wish whose wine is like that of a lot, from `must_l` of must.
FortifyWish wish_for(const WineOrder& wine, double spirit_pct, const MakingWish& wish, double must_l) {
  FortifyWish made{.volume_l = must_l};
  made.sugar = wish.sugar;
  made.spirit_pct = spirit_pct;
  made.to_pct = wine.wine.alcohol_pct;
  made.sweet_g_l = wine.wine.sugar_g_l;
  made.drum_l = wish.drum_l;
  return made;
}

std::variant<MakingOrder, MakingRefusal> making_of(const WineOrder& wine, const SpiritNeed& spirit,
                                                   const MakingWish& wish) {
  using Why = MakingRefusal::Why;
  if (!is_known(wine.wine.sugar_g_l)) return MakingRefusal{.why = Why::no_sugar, .wine = wine};
  if (!(wine.wine.alcohol_pct > 0.0)) return MakingRefusal{.why = Why::no_strength, .wine = wine};
  MakingOrder order{.lot = wine.lot};
  double must_l = kTrialMustL;
  for (int round = 0; round < 2; ++round) {  // once to learn how much must goes into a litre of wine
    const FortifyWish asked = wish_for(wine, spirit.strength_pct, wish, must_l);
    const auto plan = plan_fortification(asked);
    if (const auto* refusal = std::get_if<FortifyRefusal>(&plan))
      return MakingRefusal{Why::out_of_reach, wine, asked, *refusal};
    order.plan = std::get<FortifyPlan>(plan);
    must_l = wine.needed_l * asked.must_l() / order.plan.wine.volume_l;
  }
  order.wine_l = order.plan.wine.volume_l;
  order.spirit = spirit;
  order.spirit.needed_l = order.plan.wine.spirit_l;
  order.fruit_kg = order.plan.must.volume_l / wish.must_l_per_kg;
  order.fruit_cost = order.fruit_kg * wish.fruit_cost_per_kg;
  order.fruit_currency = wish.fruit_currency;
  return order;
}

void add_cost(OrderSum& sum, const std::string& currency, double cost) {
  if (!is_known(cost)) {
    sum.some_cost_unknown = true;
    return;
  }
  for (auto& [known, total] : sum.costs)
    if (known == currency) {
      total += cost;
      return;
    }
  sum.costs.emplace_back(currency, cost);
}

void add_spirit(OrderSum& sum, const SpiritNeed& need) {
  auto known = std::find_if(sum.spirits.begin(), sum.spirits.end(), [&](const SpiritSum& one) {
    return one.name == need.name && one.strength_pct == need.strength_pct;
  });
  if (known == sum.spirits.end())
    known = sum.spirits.insert(known, {.name = need.name, .strength_pct = need.strength_pct});
  known->needed_l += need.needed_l;
  known->order_l += need.order_l();
  known->pure_l += need.pure_l();
  known->proof_gallons += need.proof_gallons();
}

}  // namespace

double SpiritNeed::order_l() const { return is_known(held_l) ? std::max(0.0, needed_l - held_l) : needed_l; }
double SpiritNeed::pure_l() const { return order_l() * strength_pct / 100.0; }
double SpiritNeed::proof_gallons() const { return tierce::proof_gallons(order_l(), strength_pct).value_or(kUnknown); }

std::vector<WineOrder> wine_orders(const RefreshPlan& plan, const NewWineLosses& losses) {
  double soakage_l = losses.soakage_l;
  std::vector<WineOrder> orders;
  for (const auto& [name, litres] : new_wine_of_day(plan)) {
    const Lot& lot = lot_named(plan, name);
    const auto index = static_cast<std::size_t>(&lot - plan.booked.lots.data());
    WineOrder order{.lot = name, .stated = index < plan.first_lot, .goes_in_l = litres};
    order.soakage_l = soakage_l;
    soakage_l = 0.0;
    const double filtered_l = losses.filter.before(litres + order.soakage_l);
    order.needed_l = losses.lees.before(filtered_l);
    order.filter_l = filtered_l - litres - order.soakage_l;
    order.lees_l = order.needed_l - filtered_l;
    order.wine = lot.wine;
    order.cost = lot.cost;
    orders.push_back(order);
  }
  return orders;
}

SpiritNeed need_of(const RefreshPlan& plan, const Spirit& spirit) {
  SpiritNeed need{.name = spirit.name, .strength_pct = spirit.strength_pct};
  need.held_l = spirit.stock_l;
  for (const FortifyRecord& used : plan.after.run.fortifications)
    if (used.spirit == spirit.name) need.held_l -= used.added_l;
  need.cost = spirit.cost;
  return need;
}

std::variant<std::vector<MakingOrder>, MakingRefusal> making_orders(const std::vector<WineOrder>& wines,
                                                                    SpiritNeed spirit, const MakingWish& wish) {
  std::vector<MakingOrder> orders;
  for (const WineOrder& wine : wines) {
    auto made = making_of(wine, spirit, wish);
    if (auto* refusal = std::get_if<MakingRefusal>(&made)) return *refusal;
    orders.push_back(std::get<MakingOrder>(std::move(made)));
    if (is_known(spirit.held_l)) spirit.held_l = std::max(0.0, spirit.held_l - orders.back().spirit.needed_l);
  }
  return orders;
}

void add_to(OrderSum& sum, const std::vector<WineOrder>& wines, const std::vector<MakingOrder>& makings,
            const RefreshPlan& plan) {
  for (const WineOrder& wine : wines) {
    sum.new_wine_l += wine.needed_l;
    const bool made = std::any_of(makings.begin(), makings.end(), [&](const auto& one) { return one.lot == wine.lot; });
    if (!made) add_cost(sum, wine.cost.currency, wine.needed_l * wine.cost.per_litre);
  }
  for (const MakingOrder& making : makings) {
    sum.must_l += making.plan.must.volume_l;
    if (is_known(making.fruit_kg)) sum.fruit_kg += making.fruit_kg;
    add_cost(sum, making.fruit_currency, making.fruit_cost);
    add_cost(sum, making.spirit.cost.currency, making.spirit.order_l() * making.spirit.cost.per_litre);
    add_spirit(sum, making.spirit);
  }
  for (const DoseRecord* dose : doses_of_day(plan)) {
    const double grams = so2_grams(dose->dose_mg_l, dose->litres);
    sum.so2_g += grams;
    sum.metabisulfite_g += metabisulfite_grams(grams, plan.base.metabisulfite_yield);
  }
}

}  // namespace tierce
