#include "engine/run/ageing.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/run/evaporation.h"
#include "engine/run/fast/lots.h"

namespace tierce {
namespace {

// Defaults of design decision 13: 90 % of the free a year where acetaldehyde is known, else 40 % of the total.
constexpr SulfurLoss kLossOfFree{SulfurLoss::Law::of_free, 0.9};
constexpr SulfurLoss kLossOfTotal{SulfurLoss::Law::of_total, 0.4};

using MaybeFault = std::optional<Fault>;

// What seldom happens stands in functions of its own, marked cold: the loop over the rows then stays one short piece of
// code that keeps its figures in registers.

[[gnu::cold, gnu::noinline]] void dries_up(const Run& run, int row, MaybeFault& fault) {
  const Tier& tier = run.scenario.tiers[static_cast<std::size_t>(row)];
  fault = Fault{{tier.at, "tier '" + tier.name + "' dries up: evaporation takes its last wine",
                 "a smaller evaporation, or a refill in time"},
                row,
                0.0};
}

[[gnu::cold, gnu::noinline]] void too_much_alcohol(const Run& run, int row, MaybeFault& fault) {
  const Tier& tier = run.scenario.tiers[static_cast<std::size_t>(row)];
  fault = Fault{{tier.at, "tier '" + tier.name + "' would lose more alcohol by evaporation than it holds",
                 "a weaker vapour or a smaller evaporation"},
                row,
                0.0};
}

[[gnu::cold, gnu::noinline]] void no_wine_left(const Run& run, int row, MaybeFault& fault) {
  const Tier& tier = run.scenario.tiers[static_cast<std::size_t>(row)];
  fault = Fault{
      {tier.at, "tier '" + tier.name + "' would pass 100 %vol: so much more water than alcohol evaporates from it",
       "a stronger vapour, a smaller evaporation, or new wine in time"},
      row,
      0.0};
}

/// Litres of alcohol that go at the strength which the cellar's air draws.
[[gnu::noinline]] double derived_alcohol_l(Run& run, int row, double lost_l, double held_alcohol_l, MaybeFault& fault) {
  const auto derived =
      alcohol_lost_l(run.scenario.cellar, run.tier(row), run.now.volume[row], held_alcohol_l, lost_l, run.curves);
  if (!derived) fault = no_vapour_known(run, row);
  return derived.value_or(kUnknown);
}

/// What is left of a row that loses what the cellar's air draws. Wine of unknown strength loses as wine of 18 %vol.
[[gnu::noinline]] Left left_in_air(Run& run, int row, double years, double held_alcohol_l, MaybeFault& fault) {
  const Tier& tier = run.tier(row);
  const bool known = is_known(held_alcohol_l);
  const double alcohol_pct = known ? 100.0 * held_alcohol_l / run.now.volume[row] : kReferenceWinePct;
  auto left =
      left_in_air(alcohol_pct, years, tier.evaporation.per_year, run.curves.in(air_for(run.scenario.cellar, tier)));
  if (!left) fault = no_vapour_known(run, row);
  if (left && !known) left->alcohol_pct = kUnknown;
  return left.value_or(Left{});
}

/// Litres and alcohol that a row loses, and, where all vessels lose the same part, the part they keep.
struct Loss {
  bool alike = true;
  double kept = 1.0;
  double litres = 0.0;
  double alcohol_l = 0.0;
};

Loss loss_of(Run& run, int row, double years, double held_alcohol_l, MaybeFault& fault) {
  const AgeingLaw& law = run.ageing[static_cast<std::size_t>(row)];
  const double held_l = run.now.volume[row];
  Loss loss{.alike = law.by_share || law.by_air};
  if (law.by_air) {
    const Left left = left_in_air(run, row, years, held_alcohol_l, fault);
    loss.kept = left.volume_part;
    loss.litres = held_l * (1.0 - loss.kept);
    loss.alcohol_l = held_alcohol_l - held_l * loss.kept * left.alcohol_pct / 100.0;
    return loss;
  }
  if (law.by_share) loss.kept = run.powers.kept_after(law.loss_per_year, years);
  loss.litres = law.by_share ? held_l * (1.0 - loss.kept) : run.now.levels.loss_of_each(row, law.loss_per_year * years);
  if (!(loss.litres < held_l - run.tolerance_l[row])) {
    dries_up(run, row, fault);
    return loss;
  }
  loss.alcohol_l = law.vapour_stated ? loss.litres * law.vapour_fraction
                                     : derived_alcohol_l(run, row, loss.litres, held_alcohol_l, fault);
  return loss;
}

/// Lets a row evaporate, whatever its law.
[[gnu::noinline]] void evaporate(Run& run, int row, double years, MaybeFault& fault) {
  Stock& now = run.now;
  const AgeingLaw& law = run.ageing[static_cast<std::size_t>(row)];
  const double held_l = now.volume[row];
  if (!law.evaporates || !(held_l > 0.0)) return;
  const double held_alcohol_l = counted(now, row).alcohol(row);
  const Loss loss = loss_of(run, row, years, held_alcohol_l, fault);
  const double lost_l = loss.litres, lost_alcohol_l = loss.alcohol_l;
  if (lost_alcohol_l > held_alcohol_l) too_much_alcohol(run, row, fault);
  if (more_alcohol_than_wine(held_alcohol_l - lost_alcohol_l, held_l - lost_l)) no_wine_left(run, row, fault);
  if (fault) return;
  if (loss.alike) now.levels.scale(row, loss.kept);
  else now.levels.take_from_each(row, law.loss_per_year * years);
  const double volume_part = loss.alike ? 1.0 - loss.kept : lost_l / held_l;
  const double alcohol_part = lost_alcohol_l == 0.0 ? 0.0 : lost_alcohol_l / held_alcohol_l;
  now.unwritten.evaporate(row, volume_part, alcohol_part);
  now.solutes(row, kPhByLitres) *= 1.0 - volume_part;  // a weight by litres follows the litres
  now.volume[row] = held_l - lost_l;
  run.year().litres[kEvaporated] += lost_l;
  run.year().alcohol[kEvaporated] += lost_alcohol_l;
}

/// Lets all rows evaporate, four at a time where they are alike and hold wine; the others, and whatever goes wrong, row
/// by row.
void evaporate_all(Run& run, double years, MaybeFault& fault) {
  Stock& now = run.now;
  int row = 0;
  if (run.rows_alike >= 4) {
    const double kept = run.powers.kept_after(run.ageing.front().loss_per_year, years);
    LotSums lost;
    row = evaporate_rows({now.unwritten.fours(), now.volume.data(), now.levels.alike(), &now.solutes(0, kPhByLitres),
                          run.tolerance_l.data(), run.vapour_fraction.data()},
                         run.rows_alike, kept, lost);
    now.levels.scale_those_apart(row, kept);
    run.year().litres[kEvaporated] += lost.litres;
    run.year().alcohol[kEvaporated] += lost.alcohol;
  }
  for (; row < run.rows() && !fault; ++row) evaporate(run, row, years, fault);
}

/// SO2 that a step loses (design decision 13); never more than there is.
double so2_lost_mg(Powers& powers, const SulfurStep& step, SulfurLoss loss) {
  const double years = step.years;
  switch (loss.law) {
    case SulfurLoss::Law::of_total: return step.total_mg * (1.0 - powers.kept_after(loss.rate, years));
    case SulfurLoss::Law::fixed: return std::min(step.total_mg, loss.rate * years * step.litres);
    case SulfurLoss::Law::of_free: return step.free_mg * (1.0 - powers.kept_after(loss.rate, years));
  }
  return 0.0;
}

/// What the row holds when its sulfur step has run for `years`, its free SO2 not yet at equilibrium.
void oxidise(Run& run, int row, SulfurLoss loss) {
  Stock& stock = run.now;
  const SulfurStep& step = stock.sulfur[static_cast<std::size_t>(row)];
  const double lost_mg = so2_lost_mg(run.powers, step, loss), total_mg = step.total_mg - lost_mg;
  // Where acetaldehyde is not known: the high reckoning keeps its share of the total, the others let the free go first.
  const double high_mg = step.total_mg > 0.0 ? step.free_high_mg * (total_mg / step.total_mg) : 0.0;
  const auto free_first = [&](double free_mg) { return std::max(free_mg - lost_mg, kComesBack * high_mg); };
  stock.solutes(row, kSo2Total) = total_mg;
  stock.solutes(row, kSo2Free) = free_first(step.free_mg);  // an unknown stays unknown, by the order in free_first
  stock.solutes(row, kSo2FreeLow) = free_first(step.free_low_mg);
  stock.solutes(row, kSo2FreeHigh) = high_mg;
}

/// SO2 at the end of a part of the row's step; the sulfate that comes of what is lost.
void lose_sulfur(Run& run, int row, SulfurLoss loss) {
  Stock& now = run.now;
  const double before_mg = now.solutes(row, kSo2Total);
  oxidise(run, row, loss);
  settle_sulfur(now, row);
  const double lost_mg = before_mg - now.solutes(row, kSo2Total);
  const double sulfate_g = kPotassiumSulfatePerSo2 * lost_mg / 1000.0;
  now.solutes(row, kSulfate) += sulfate_g;
  run.out.flows.solutes(kGained, kSo2Total) -= lost_mg;
  run.out.flows.solutes(kGained, kSulfate) += sulfate_g;
}

/// Free SO2 beside a total that nobody states: its own law still tells what is left of it, any other law does not.
void lose_free_of_unknown_total(Run& run, int row, SulfurLoss loss) {
  Stock& now = run.now;
  const SulfurStep& step = now.sulfur[static_cast<std::size_t>(row)];
  if (!is_known(step.free_mg)) return;
  if (loss.rate == 0.0) return;
  const bool of_free = loss.law == SulfurLoss::Law::of_free;
  const double kept = of_free ? run.powers.kept_after(loss.rate, step.years) : kUnknown;
  now.solutes(row, kSo2Free) = kept * step.free_mg;
  now.solutes(row, kSo2FreeLow) = kept * step.free_low_mg;
  now.solutes(row, kSo2FreeHigh) = kept * step.free_high_mg;
}

/// Acetaldehyde and volatile acid form in proportion to the wine held when the row's step began, as SO2 is lost.
void form(Run& run, int row, Solute solute, double per_litre_and_year, double years) {
  if (per_litre_and_year == 0.0) return;
  const double formed = per_litre_and_year * years * run.now.sulfur[static_cast<std::size_t>(row)].litres;
  run.now.solutes(row, solute) += formed;
  run.out.flows.solutes(kGained, solute) += formed;
}

/// True if time changes nothing that is dissolved in a row: it is empty, or nothing forms, nothing is bound anew, and
/// SO2 is not lost or not known. Then its sulfur step tells nothing either: whoever changes that begins a new one.
bool rests(const Run& run, int row) {
  const Stock& now = run.now;
  if (!(now.volume[row] > 0.0)) return true;
  if (run.wine_forms || is_known(now.solutes(row, kAldehyde))) return false;
  return !run.ageing[static_cast<std::size_t>(row)].loses_sulfur ||
         (!is_known(now.solutes(row, kSo2Total)) && !is_known(now.solutes(row, kSo2Free)));
}

/// What forms and oxidises in a row in a part of a period within one of its sulfur steps.
void age_dissolved(Run& run, int row, double years) {
  Stock& now = run.now;
  const AgeingLaw& law = run.ageing[static_cast<std::size_t>(row)];
  if (run.wine_forms) {
    form(run, row, kAldehyde, run.scenario.acetaldehyde_gain_mg_l_year, years);
    form(run, row, kAldehydeLow, run.scenario.acetaldehyde_gain_mg_l_year, years);
    form(run, row, kVolatileAcid, run.scenario.va_gain_g_l_year, years);
  }
  double& in_step = now.sulfur[static_cast<std::size_t>(row)].years;
  in_step += years;
  now.note(
      {.kind = DissolvedAct::Kind::age, .row = row, .litres = now.volume[row], .years = years, .in_step = in_step});
  const SulfurLoss loss = sulfur_loss_of(law, is_known(now.solutes(row, kAldehyde)));
  if (is_known(now.solutes(row, kSo2Total))) lose_sulfur(run, row, loss);
  else lose_free_of_unknown_total(run, row, loss);
}

constexpr double kSameMoment = 1e-9;  // years; far below the day in which dates are counted

double years_of_step_left(const Run& run, int row) {
  return run.sulfur_step_years - run.now.sulfur[static_cast<std::size_t>(row)].years;
}

bool a_step_ends_within(const Run& run, double years) {
  const int rows = run.rows();
  for (int row = 0; row < rows; ++row)
    if (years > years_of_step_left(run, row) + kSameMoment && !rests(run, row)) return true;
  return false;
}

/// All rows through a period within which no step ends, though some may end with it.
void age_all(Run& run, double years, MaybeFault& fault) {
  const int rows = run.rows();
  evaporate_all(run, years, fault);
  if (fault) return;
  for (int row = 0; row < rows; ++row) {
    if (rests(run, row)) continue;
    const double left = years_of_step_left(run, row);
    age_dissolved(run, row, std::min(years, left));
    if (years >= left - kSameMoment) restart_sulfur_step(run.now, row);
  }
}

/// One row, step by step. A step ends after 1/so2_steps of a year, and a new one begins from what is then held: the
/// volume it counts on is that of its own start, whatever period is asked for.
void age_row(Run& run, int row, double years, MaybeFault& fault) {
  while (years > kSameMoment && run.now.volume[row] > 0.0) {
    const double left = years_of_step_left(run, row);
    const bool step_ends = years >= left - kSameMoment && !rests(run, row);
    const double part = step_ends ? std::min(years, left) : years;
    evaporate(run, row, part, fault);
    if (fault) return;
    if (!rests(run, row)) age_dissolved(run, row, part);
    if (step_ends) restart_sulfur_step(run.now, row);
    years -= part;
  }
}

/// Interest on what the wine has cost so far, in tanks too; it compounds as evaporation does, whatever the steps.
[[gnu::cold, gnu::noinline]] void earn_interest(Run& run, double years) {
  const double earned = run.powers.kept_after(-run.scenario.interest_per_year, years) - 1.0;
  for (int row = 0; row < run.rows(); ++row) {
    double& money = run.now.solutes(row, kMoney);
    run.out.flows.solutes(kGained, kMoney) += earned * money;
    money += earned * money;
  }
}

}  // namespace

AgeingLaw ageing_of(const Scenario& scenario, int row) {
  if (!scenario.is_tank(row)) return ageing_of(scenario, scenario.tiers[static_cast<std::size_t>(row)]);
  AgeingLaw law{.sulfur = scenario.so2_loss};
  law.loses_sulfur = !law.sulfur || law.sulfur->rate != 0.0;
  return law;
}

AgeingLaw ageing_of(const Scenario& scenario, const Tier& tier) {
  AgeingLaw law{.sulfur = scenario.so2_loss};
  law.loses_sulfur = !law.sulfur || law.sulfur->rate != 0.0;
  law.evaporates = tier.evaporation.per_year > 0.0;
  law.by_share = tier.evaporation.kind == Evaporation::Kind::share;
  law.by_air = tier.evaporation.kind == Evaporation::Kind::air;
  law.loss_per_year = tier.evaporation.per_year;
  law.vapour_stated = tier.vapour_stated;
  law.vapour_fraction = tier.vapour_pct / 100.0;
  if (tier.so2_loss) law.sulfur = tier.so2_loss;
  law.loses_sulfur = !law.sulfur || law.sulfur->rate != 0.0;
  return law;
}

void follow_laws(Run& run) {
  run.vapour_fraction.resize(run.rows());
  for (int row = 0; row < run.rows(); ++row)
    run.vapour_fraction[row] = run.ageing[static_cast<std::size_t>(row)].vapour_fraction;
  const auto loses_sulfur = [](const AgeingLaw& law) { return law.loses_sulfur; };
  run.any_loses_sulfur = std::any_of(run.ageing.begin(), run.ageing.end(), loses_sulfur);
  const auto differs = [&](const AgeingLaw& law) {
    return !(law.evaporates && law.by_share && law.vapour_stated && law.vapour_fraction > 0.0 &&
             law.loss_per_year == run.ageing.front().loss_per_year);
  };
  run.rows_alike = static_cast<int>(std::find_if(run.ageing.begin(), run.ageing.end(), differs) - run.ageing.begin());
}

SulfurLoss sulfur_loss_of(const AgeingLaw& law, bool acetaldehyde_known) {
  if (law.sulfur) return *law.sulfur;
  return acetaldehyde_known ? kLossOfFree : kLossOfTotal;
}

SulfurLoss sulfur_loss_of(const Scenario& scenario, const Stock& stock, int row) {
  return sulfur_loss_of(ageing_of(scenario, row), is_known(stock.solutes(row, kAldehyde)));
}

bool age_to(Run& run, int day, std::optional<Fault>& fault) {
  if (day <= run.now.day) return true;
  const double years = years_between_days(run.now.day, day);
  if (run.all_rest) {
    evaporate_all(run, years, fault);
  } else if (a_step_ends_within(run, years)) {
    for (int row = 0; row < run.scenario.rows() && !fault; ++row) age_row(run, row, years, fault);
  } else {
    age_all(run, years, fault);
  }
  if (fault) return false;
  if (run.scenario.interest_per_year != 0.0) earn_interest(run, years);
  run.now.day = day;
  return true;
}

}  // namespace tierce
