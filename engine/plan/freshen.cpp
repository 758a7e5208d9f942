#include "engine/plan/freshen.h"

#include <algorithm>

#include "engine/measure/age.h"
#include "engine/plan/crossing.h"
#include "engine/run/simulate.h"
#include "engine/run/vessel_work.h"

namespace tierce {
namespace {

using Cannot = Freshening::Cannot;
using Because = FreshenRefusal::Because;

constexpr double kThere = 1e-9;  // of the value: nothing needs to be done

FreshWine wine_of(const Scenario& scenario, const Ran& ran, int row) {
  const Stock& stock = ran.stock();
  const AgeSummary age = age_of(ran.line, scenario.clock, part_of(stock, row, 1.0), stock.day);
  FreshWine wine{.volume_l = stock.volume[row], .mean_y = age.mean_y, .youngest_y = age.youngest_y};
  wine.alcohol_pct = stock.alcohol_pct(row);
  wine.sugar_g_l = stock.per_litre(row, kSugar);
  wine.acidity_g_l = stock.per_litre(row, kAcid);
  wine.va_g_l = stock.per_litre(row, kVolatileAcid);
  wine.so2_total_mg_l = stock.per_litre(row, kSo2Total);
  wine.so2_free_mg_l = free_so2_mg_l(stock, row);
  return wine;
}

/// One tier on one day, and what new wine makes of it.
class Tierful {
 public:
  Tierful(const RefreshPlan& plan, int row, int lot) : plan_(plan), base_(plan.base), row_(row), lot_(lot) {
    for (const PlannedEntry& planned : plan.entries)
      if (!planned.of_the_day) base_.log.push_back(planned.entry);
    before_ = wine_of(base_, plan.before, row);
    const Tier tier = as_the_log_leaves_it(plan.base).tiers[at(row)];
    level_l_ = std::max(tier.target_l, before_.volume_l);
    const auto& made = lot_made();
    if (made) available_l_ = std::max(0.0, made->wine_l() - plan.before.run.lot_used_l[at(lot)]);
  }

  const FreshWine& before() const { return before_; }
  double room_l() const { return level_l_ - before_.volume_l; }
  double available_l() const { return available_l_; }
  double most_l() const { return std::min(level_l_, available_l_); }
  double drawn_first_l(double new_wine_l) const { return std::clamp(new_wine_l - room_l(), 0.0, before_.volume_l); }

  /// Nothing where the book refuses it.
  std::optional<FreshWine> with(double new_wine_l) const {
    Scenario scenario = base_;
    const auto litres = [](double l) { return Amount{{}, Amount::Kind::litres, l, 0.0}; };
    const double drawn_l = drawn_first_l(new_wine_l);
    const auto enter = [&](const Action& action) { scenario.log.push_back({{}, plan_.date, action, "", ""}); };
    if (drawn_l > 0.0) enter(Draw{Place{{}, row_, -1}, litres(drawn_l), "to make room"});
    const auto& made = lot_made();
    if (made && made->in) enter(Move{*made->in, Place{{}, row_, -1}, litres(new_wine_l)});
    else enter(Add{lot_, {}, Place{{}, row_, -1}, litres(new_wine_l)});
    Ran ran{timeline(scenario, {.habit = false, .end_on = plan_.date}), {}};
    ran.run = simulate(scenario, ran.line);
    if (!ran.run.problems.empty() || !ran.holds_wine()) return std::nullopt;
    return wine_of(scenario, ran, row_);
  }

 private:
  static std::size_t at(int index) { return static_cast<std::size_t>(index); }
  const std::optional<LotMade>& lot_made() const { return base_.lots[at(lot_)].made; }

  const RefreshPlan& plan_;
  Scenario base_;
  int row_, lot_;
  FreshWine before_{};
  double level_l_ = 0.0;
  double available_l_ = INFINITY;
};

Freshening freshen(const Tierful& tier, const Bring& bring) {
  Freshening freshening{.bring = bring, .before = tier.before(), .after = tier.before()};
  const auto cannot = [&](Cannot why, double nearest) {
    freshening.cannot = why;
    freshening.nearest = nearest;
    return freshening;
  };
  const double now = freshening.before.of(bring.what);
  if (!is_known(now)) return cannot(Cannot::tier_not_known, kUnknown);
  if (std::abs(now - bring.wanted) <= kThere * std::max(1.0, bring.wanted)) {
    freshening.new_wine_l = freshening.drawn_first_l = 0.0;
    return freshening;
  }
  const auto whole = tier.most_l() > 0.0 ? tier.with(tier.most_l()) : std::nullopt;
  const double at_most = freshening.at_most = whole ? whole->of(bring.what) : kUnknown;
  if (!is_known(at_most)) return cannot(whole ? Cannot::lot_not_known : Cannot::not_in_the_book, kUnknown);
  if ((now - bring.wanted) * (at_most - bring.wanted) > 0.0) {
    freshening.available_l = tier.available_l();
    if (std::isfinite(tier.available_l()) && tier.most_l() >= tier.available_l())
      return cannot(Cannot::too_little, at_most);
    return cannot(Cannot::between, std::abs(now - bring.wanted) < std::abs(at_most - bring.wanted) ? now : at_most);
  }
  const auto over = [&](double litres) {
    const auto wine = litres > 0.0 ? tier.with(litres) : std::optional<FreshWine>(freshening.before);
    return wine ? wine->of(bring.what) - bring.wanted : kUnknown;
  };
  const auto found = crossing(over, 0.0, tier.most_l(), 45);
  freshening.new_wine_l = 0.5 * (found.first + found.second);
  freshening.drawn_first_l = tier.drawn_first_l(freshening.new_wine_l);
  freshening.after = *tier.with(freshening.new_wine_l);
  return freshening;
}

/// The lot that the habit refills with on the day; -1 if it does not.
int habit_lot(const RefreshPlan& plan) {
  for (const PlannedEntry& planned : plan.entries)
    if (const auto* refill = std::get_if<Refill>(&planned.entry.action); refill != nullptr && planned.of_the_day)
      return refill->lot;
  return -1;
}

}  // namespace

double FreshWine::of(BringWhat what) const {
  switch (what) {
    case BringWhat::mean_age: return mean_y;
    case BringWhat::alcohol: return alcohol_pct;
    case BringWhat::sugar: return sugar_g_l;
    case BringWhat::volatile_acid: return va_g_l;
  }
  return kUnknown;
}

bool FreshenAnswer::impossible() const {
  return std::any_of(values.begin(), values.end(), [](const Freshening& one) { return !is_known(one.new_wine_l); });
}

std::variant<FreshenAnswer, FreshenRefusal> work_out_freshening(const Scenario& scenario, const FreshenWish& wish) {
  auto planned = plan_refresh(scenario, {.on = wish.on});
  if (auto* refused = std::get_if<RefreshRefusal>(&planned)) return FreshenRefusal{.plan = std::move(*refused)};
  const RefreshPlan& plan = std::get<RefreshPlan>(planned);
  const int tier = wish.tier.value_or(scenario.tier_count() - 1), lot = wish.lot.value_or(habit_lot(plan));
  FreshenRefusal refusal{Because::no_new_wine, {}, plan.date, tier, {}, {}};
  if (lot < 0) return refusal;
  const Lot& wine = plan.base.lots[static_cast<std::size_t>(lot)];
  refusal.lot = wine.name;
  refusal.harvested = wine.harvested;
  refusal.because = wine.harvested > plan.date ? Because::not_harvested : Because::no_wine_held;
  if (wine.harvested > plan.date || !plan.before.holds_wine() || !(plan.before.stock().volume[tier] > 0.0))
    return refusal;
  const Tierful tierful(plan, tier, lot);
  FreshenAnswer answer{plan.date, tier, wine.name, 0.0, tierful.room_l(), {}};
  if (scenario.clock == Clock::harvest) answer.lot_age_y = years_between(wine.harvested, plan.date);
  for (const Bring& bring : wish.bring) answer.values.push_back(freshen(tierful, bring));
  return answer;
}

}  // namespace tierce
