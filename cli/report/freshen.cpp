#include "cli/report/freshen.h"

#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <optional>

#include "cli/command/options.h"
#include "cli/read/suggest.h"
#include "cli/report/refresh_refusal.h"
#include "cli/write/write.h"
#include "engine/measure/age.h"
#include "engine/run/simulate.h"
#include "engine/run/vessel_work.h"

namespace tierce {
namespace {

constexpr double kThere = 1e-9;  // of the value: nothing needs to be done

const char* name_of(BringWhat what) {
  constexpr const char* kNames[] = {"mean age", "strength", "sugar", "volatile acid"};
  return kNames[static_cast<int>(what)];
}

const char* key_of(BringWhat what) {
  constexpr const char* kKeys[] = {"harvested", "alcohol", "sugar", "va"};
  return kKeys[static_cast<int>(what)];
}

std::string value_text(BringWhat what, double value) {
  constexpr const char* kUnits[] = {" years", " %vol", " g/L", " g/L"};
  return trimmed_text(value, 2) + kUnits[static_cast<int>(what)];
}

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

FreshenRefusal refusal(int status, const std::string& what, const std::string& allowed, const std::string& hint = "") {
  return {status, {{}, what, allowed, hint}};
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

Freshening cannot(Freshening freshening, double nearest, const std::string& why, const std::string& possible) {
  freshening.nearest = nearest;
  freshening.why_not = why;
  freshening.possible = possible;
  return freshening;
}

/// The last drop of the tier replaced comes to this: which lot would do.
Freshening out_of_reach(const Freshening& freshening, const Tierful& tier, const std::string& lot, double at_most) {
  const BringWhat what = freshening.bring.what;
  const double now = freshening.before.of(what);
  const bool down = freshening.bring.wanted < now;
  if (std::isfinite(tier.available_l()) && tier.most_l() >= tier.available_l())
    return cannot(freshening, at_most,
                  "the " + trimmed_text(tier.available_l(), 1) + " L that are left of " + lot + " bring the " +
                      name_of(what) + " to " + value_text(what, at_most) + " and no further",
                  value_text(what, at_most));
  const std::string reach =
      "between " + value_text(what, std::min(now, at_most)) + " and " + value_text(what, std::max(now, at_most));
  const std::string which = what == BringWhat::mean_age
                                ? std::string("a lot that is ") + (down ? "younger" : "older") + " than " +
                                      value_text(what, freshening.bring.wanted) + " that day"
                                : std::string("a lot with ") + (down ? "less" : "more") + " than " +
                                      value_text(what, freshening.bring.wanted);
  return cannot(freshening,
                std::abs(now - freshening.bring.wanted) < std::abs(at_most - freshening.bring.wanted) ? now : at_most,
                "the tier has " + value_text(what, now) + " and " + lot + " " + value_text(what, at_most),
                reach + "; else " + which);
}

Freshening freshen(const Tierful& tier, const Bring& bring, const std::string& lot) {
  Freshening freshening{.bring = bring, .before = tier.before(), .after = tier.before()};
  const double now = freshening.before.of(bring.what);
  if (!is_known(now))
    return cannot(freshening, kUnknown, std::string("the ") + name_of(bring.what) + " of the tier is not known",
                  bring.what == BringWhat::mean_age
                      ? "'ages:' of the opening stock"
                      : std::string("an analysis in the log that states '") + key_of(bring.what) + ":'");
  if (std::abs(now - bring.wanted) <= kThere * std::max(1.0, bring.wanted)) {
    freshening.new_wine_l = freshening.drawn_first_l = 0.0;
    return freshening;
  }
  const auto whole = tier.most_l() > 0.0 ? tier.with(tier.most_l()) : std::nullopt;
  const double at_most = whole ? whole->of(bring.what) : kUnknown;
  if (!is_known(at_most))
    return cannot(freshening, kUnknown,
                  whole ? std::string("the ") + name_of(bring.what) + " of " + lot + " is not known"
                        : "the book cannot take " + lot + " in on that day",
                  whole ? std::string("'") + key_of(bring.what) + ":' of the lot" : "another lot, with --with");
  if ((now - bring.wanted) * (at_most - bring.wanted) > 0.0) return out_of_reach(freshening, tier, lot, at_most);
  const auto over = [&](double litres) {
    const auto wine = litres > 0.0 ? tier.with(litres) : std::optional<FreshWine>(freshening.before);
    return wine ? wine->of(bring.what) - bring.wanted : kUnknown;
  };
  std::uintmax_t steps = 200;
  const auto found =
      boost::math::tools::toms748_solve(over, 0.0, tier.most_l(), boost::math::tools::eps_tolerance<double>(45), steps);
  freshening.new_wine_l = 0.5 * (found.first + found.second);
  freshening.drawn_first_l = tier.drawn_first_l(freshening.new_wine_l);
  freshening.after = *tier.with(freshening.new_wine_l);
  return freshening;
}

std::optional<int> index_of_lot(const Scenario& scenario, const std::string& name) {
  for (std::size_t i = 0; i < scenario.lots.size(); ++i)
    if (scenario.lots[i].name == name && !scenario.lots[i].elsewhere) return static_cast<int>(i);
  return std::nullopt;
}

/// The lot that the habit refills with on the day; -1 if it does not.
int habit_lot(const RefreshPlan& plan) {
  for (const PlannedEntry& planned : plan.entries)
    if (const auto* refill = std::get_if<Refill>(&planned.entry.action); refill != nullptr && planned.of_the_day)
      return refill->lot;
  return -1;
}

FreshenRefusal no_such(const std::string& option, const std::string& kind, const std::string& name,
                       const std::vector<std::string>& names) {
  return refusal(kBadInput, "--" + option + ": there is no " + kind + " '" + name + "'",
                 kind + "s: " + listed_briefly(names), did_you_mean(nearest(name, names)));
}

std::variant<RefreshPlan, FreshenRefusal> plan_of(const Scenario& scenario, const TargetOptions& options, Units units) {
  RefreshWish wish{.on = options.on};
  if (scenario.habit.empty() && !options.with.empty()) wish.lot = index_of_lot(scenario, options.with);
  if (scenario.habit.empty() && (!wish.on || !wish.lot))
    return refusal(kBadInput, scenario.reserve + " has no habit: nothing says when new wine comes, and which",
                   "--on DATE and --with LOT, as in --on " + iso_text({2027, 2, 10}) + " --with \"" +
                       scenario.lots.back().name + "\"");
  auto planned = plan_refresh(scenario, wish);
  if (const auto* refused = std::get_if<RefreshRefusal>(&planned))
    return FreshenRefusal{status_of(*refused), plan_refusal(*refused, scenario, units)};
  return std::get<RefreshPlan>(std::move(planned));
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

std::variant<FreshenAnswer, FreshenRefusal> work_out_freshening(const Scenario& scenario, const TargetOptions& options,
                                                                Units units) {
  std::vector<std::string> tiers, lots;
  for (const Tier& tier : scenario.tiers) tiers.push_back(tier.name);
  for (const Lot& lot : scenario.lots)
    if (!lot.elsewhere) lots.push_back(lot.name);
  const auto tier = options.in.empty() ? tiers.end() - 1 : std::find(tiers.begin(), tiers.end(), options.in);
  if (tier == tiers.end()) return no_such("in", "tier", options.in, tiers);
  if (!options.with.empty() && !index_of_lot(scenario, options.with)) return no_such("with", "lot", options.with, lots);
  auto planned = plan_of(scenario, options, units);
  if (const auto* refused = std::get_if<FreshenRefusal>(&planned)) return *refused;
  const RefreshPlan& plan = std::get<RefreshPlan>(planned);
  const int lot = options.with.empty() ? habit_lot(plan) : *index_of_lot(scenario, options.with);
  if (lot < 0)
    return refusal(kBadInput, "the habit brings no new wine on " + iso_text(plan.date),
                   "--with LOT, a lot of the file: " + listed_briefly(lots));
  const Lot& wine = plan.base.lots[static_cast<std::size_t>(lot)];
  if (wine.harvested > plan.date)
    return refusal(kBadInput,
                   "lot '" + wine.name + "' is harvested on " + iso_text(wine.harvested) + ", after the day, " +
                       iso_text(plan.date),
                   "--on " + iso_text(wine.harvested) + " or a later day");
  const int row = static_cast<int>(tier - tiers.begin());
  if (!plan.before.holds_wine() || !(plan.before.stock().volume[row] > 0.0))
    return refusal(kFails, "tier '" + *tier + "' holds no wine on " + iso_text(plan.date), "--on another day");
  const Tierful tierful(plan, row, lot);
  FreshenAnswer answer{.date = plan.date, .tier = *tier, .lot = wine.name};
  if (scenario.clock == Clock::harvest) answer.lot_age_y = years_between(wine.harvested, plan.date);
  else answer.lot_age_y = 0.0;
  answer.room_l = tierful.room_l();
  for (const Bring& bring : options.bring) answer.values.push_back(freshen(tierful, bring, wine.name));
  return answer;
}

}  // namespace tierce
