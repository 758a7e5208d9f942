#include "cli/report/refresh_order.h"

#include <algorithm>
#include <cmath>

#include "cli/read/quantity_text.h"
#include "cli/read/suggest.h"
#include "cli/report/fortify.h"
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

/// The spirit that the options name: one of the file, or a strength; the file's own where it has just one.
std::variant<SpiritNeed, Problem> spirit_for(const RefreshPlan& plan, const RefreshOptions& options) {
  const auto& spirits = plan.booked.spirits;
  std::vector<std::string> names;
  for (const Spirit& spirit : spirits) names.push_back(spirit.name);
  const Spirit* chosen = options.spirit.empty() && spirits.size() == 1 ? &spirits.front() : nullptr;
  for (const Spirit& spirit : spirits)
    if (spirit.name == options.spirit) chosen = &spirit;
  if (chosen != nullptr) {
    SpiritNeed need{.name = chosen->name, .strength_pct = chosen->strength_pct};
    need.held_l = chosen->stock_l;
    for (const FortifyRecord& used : plan.after.run.fortifications)
      if (used.spirit == chosen->name) need.held_l -= used.added_l;
    need.cost = chosen->cost;
    return need;
  }
  const std::string strengths = "a strength, as in --spirit \"96 %vol\"";
  const std::string allowed = names.empty() ? strengths : strengths + ", or a spirit of the file: " + listed(names);
  if (options.spirit.empty()) return Problem{{}, "--spirit is missing: what the must is fortified with", allowed, ""};
  const auto read = read_quantity(options.spirit, Measure::strength);
  if (const auto* misread = std::get_if<Misread>(&read))
    return Problem{{}, "--spirit: " + misread->what, allowed, did_you_mean(nearest(options.spirit, names))};
  SpiritNeed need;
  need.strength_pct = std::get<Quantity>(read).value;
  return need;
}

/// The arguments of `tierce fortify` that make such wine from `must_l` of must.
std::vector<std::string> fortify_arguments(const WineOrder& wine, const SpiritNeed& spirit,
                                           const RefreshOptions& options, double must_l) {
  std::vector<std::string> arguments = {"--volume", plain_number(must_l) + " L",
                                        "--sugar",  options.sugar,
                                        "--spirit", plain_number(spirit.strength_pct) + " %vol",
                                        "--to",     plain_number(wine.wine.alcohol_pct) + " %vol",
                                        "--sweet",  plain_number(wine.wine.sugar_g_l) + " g/L"};
  if (!options.drum.empty()) arguments.insert(arguments.end(), {"--drum", options.drum});
  return arguments;
}

/// Litres of must from a kilogram of fruit, as fortify reads them.
std::variant<double, std::vector<Problem>> yield_of(const RefreshOptions& options) {
  ParsedFortify parsed = parse_fortify({"--fruit", "1000 kg", "--yield", options.yield, "--sugar", "240 g/L",
                                        "--arrest", "7 %vol", "--spirit", "96 %vol", "--to", "16 %vol"});
  if (!parsed.faults.empty()) return parsed.faults;
  return parsed.options.must_l_per_kg;
}

Problem for_the_lot(Problem problem, const WineOrder& wine) {
  problem.what = "new wine of " + plain_number(wine.wine.alcohol_pct) + " %vol and " +
                 plain_number(wine.wine.sugar_g_l) + " g/L, like lot " + wine.lot +
                 ", cannot be made so: " + problem.what;
  return problem;
}

std::variant<MakingOrder, OrderRefusal> making_of(const WineOrder& wine, const SpiritNeed& spirit,
                                                  const RefreshOptions& options) {
  if (!is_known(wine.wine.sugar_g_l))
    return OrderRefusal{kBadInput,
                        {{{},
                          "lot " + wine.lot + " states no sugar, from which the arrest would follow",
                          "'sugar' of that lot, or of the habit's refill",
                          ""}}};
  MakingOrder order;
  double must_l = kTrialMustL;
  for (int round = 0; round < 2; ++round) {  // once to learn how much must goes into a litre of wine
    ParsedFortify parsed = parse_fortify(fortify_arguments(wine, spirit, options, must_l));
    if (!parsed.faults.empty()) return OrderRefusal{kBadInput, parsed.faults};
    order.asked = parsed.options;
    const auto plan = plan_fortification(order.asked);
    if (const auto* refusal = std::get_if<FortifyRefusal>(&plan))
      return OrderRefusal{kFails, {for_the_lot(refusal_text(*refusal, order.asked), wine)}};
    order.plan = std::get<FortifyPlan>(plan);
    must_l = wine.needed_l * order.asked.must_l() / order.plan.wine.volume_l;
  }
  order.lot = wine.lot;
  order.wine_l = order.plan.wine.volume_l;
  order.spirit = spirit;
  order.spirit.needed_l = order.plan.wine.spirit_l;
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

std::vector<WineOrder> wine_orders(const RefreshPlan& plan, const RefreshOptions& options) {
  double soakage_l = 0.0;
  for (const auto& [vessel, litres] : options.soakage) soakage_l += litres;
  std::vector<WineOrder> orders;
  for (const auto& [name, litres] : new_wine_of_day(plan)) {
    const Lot& lot = lot_named(plan, name);
    const auto index = static_cast<std::size_t>(&lot - plan.booked.lots.data());
    WineOrder order{.lot = name, .stated = index < plan.first_lot, .goes_in_l = litres};
    order.soakage_l = soakage_l;
    soakage_l = 0.0;
    const double filtered_l = options.filter.before(litres + order.soakage_l);
    order.needed_l = options.lees.before(filtered_l);
    order.filter_l = filtered_l - litres - order.soakage_l;
    order.lees_l = order.needed_l - filtered_l;
    order.wine = lot.wine;
    order.cost = lot.cost;
    orders.push_back(order);
  }
  return orders;
}

std::variant<std::vector<MakingOrder>, OrderRefusal> making_orders(const RefreshPlan& plan,
                                                                   const std::vector<WineOrder>& wines,
                                                                   const RefreshOptions& options) {
  std::vector<MakingOrder> orders;
  if (options.from == MadeFrom::wine) return orders;
  const auto spirit = spirit_for(plan, options);
  if (const auto* problem = std::get_if<Problem>(&spirit)) return OrderRefusal{kBadInput, {*problem}};
  double yield = kUnknown;
  if (options.from == MadeFrom::fruit) {
    const auto read = yield_of(options);
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read)) return OrderRefusal{kBadInput, *problems};
    yield = std::get<double>(read);
  }
  SpiritNeed need = std::get<SpiritNeed>(spirit);
  for (const WineOrder& wine : wines) {
    auto made = making_of(wine, need, options);
    if (auto* refusal = std::get_if<OrderRefusal>(&made)) return *refusal;
    MakingOrder order = std::get<MakingOrder>(made);
    order.fruit_kg = order.plan.must.volume_l / yield;
    order.fruit_cost = order.fruit_kg * options.fruit_cost_per_kg;
    order.fruit_currency = options.fruit_currency;
    if (is_known(need.held_l)) need.held_l = std::max(0.0, need.held_l - order.spirit.needed_l);
    orders.push_back(order);
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
