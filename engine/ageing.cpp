#include "engine/ageing.h"

#include <algorithm>
#include <cmath>

#include "engine/evaporation.h"
#include "engine/rows.h"

namespace tierce {
namespace {

// Defaults of design decision 13: 90 % of the free a year where acetaldehyde is known, else 40 % of the total.
constexpr SulfurLoss kLossOfFree{SulfurLoss::Law::of_free, 0.9};
constexpr SulfurLoss kLossOfTotal{SulfurLoss::Law::of_total, 0.4};

double kept_part(Run& run, int row, double fraction_per_year, double years) {
  KeptPart& known = run.kept[static_cast<std::size_t>(row)];
  for (const int i : {0, 1})
    if (known.years[i] == years) return known.kept[i];
  const int i = known.next;
  known.next = 1 - i;
  known.years[i] = years;
  return known.kept[i] = kept_after(fraction_per_year, years);
}

std::optional<Fault> dries_up(const Run& run, const Tier& tier, int row, double lost_l) {
  if (lost_l < run.now.volume[row] - run.tolerance_l[row]) return std::nullopt;
  return Fault{{tier.at, "tier '" + tier.name + "' dries up: evaporation takes its last wine",
                "a smaller evaporation, or a refill in time"},
               row,
               0.0};
}

std::optional<Fault> evaporate(Run& run, int row, double years) {
  const Tier& tier = run.scenario.tiers[static_cast<std::size_t>(row)];
  Stock& now = run.now;
  if (tier.evaporation.per_year <= 0.0) return std::nullopt;
  const bool by_share = tier.evaporation.kind == Evaporation::Kind::share;
  const double keep = by_share ? kept_part(run, row, tier.evaporation.per_year, years) : 1.0;
  const double each_l = by_share ? 0.0 : tier.evaporation.per_year * years;
  const double lost_l = by_share ? now.volume[row] * (1.0 - keep) : loss_of_vessels(now.levels.of(row), each_l);
  const double held_alcohol_l = now.alcohol_l(row);
  if (auto fault = dries_up(run, tier, row, lost_l)) return fault;
  const auto lost_alcohol = alcohol_lost_l(run.scenario.cellar, tier, now.volume[row], held_alcohol_l, lost_l);
  if (!lost_alcohol) return no_vapour_known(run, row);
  const double lost_alcohol_l = *lost_alcohol;
  if (lost_alcohol_l > held_alcohol_l)
    return Fault{{tier.at, "tier '" + tier.name + "' would lose more alcohol by evaporation than it holds",
                  "a weaker vapour or a smaller evaporation"},
                 row,
                 0.0};
  if (by_share) now.levels.scale(row, keep);
  else take_from_each_vessel(now.levels.of(row), each_l);
  const double volume_part = lost_l / now.volume[row];
  const double alcohol_part = lost_alcohol_l == 0.0 ? 0.0 : lost_alcohol_l / held_alcohol_l;

  Flows& flows = run.out.flows;
  const Eigen::Index used = now.used;
  move_part(now.litres.row(row).data(), flows.litres.row(kEvaporated).data(), used, volume_part);
  if (!(alcohol_part == 0.0))
    move_part(now.alcohol.row(row).data(), flows.alcohol.row(kEvaporated).data(), used, alcohol_part);
  if (now.litre_years.size() > 0) now.litre_years.row(row).head(used) *= 1.0 - volume_part;
  now.solutes(row, kPhByLitres) *= 1.0 - volume_part;  // a weight by litres follows the litres
  now.volume[row] -= lost_l;
  run.year().litres[kEvaporated] += lost_l;
  run.year().alcohol[kEvaporated] += lost_alcohol_l;
  return std::nullopt;
}

/// SO2 that a step loses (design decision 13); never more than there is.
double so2_lost_mg(const SulfurStep& step, SulfurLoss loss, double years) {
  switch (loss.law) {
    case SulfurLoss::Law::of_total: return step.total_mg * (1.0 - kept_after(loss.rate, years));
    case SulfurLoss::Law::fixed: return std::min(step.total_mg, loss.rate * years * step.litres);
    case SulfurLoss::Law::of_free: return step.free_mg * (1.0 - kept_after(loss.rate, years));
  }
  return 0.0;
}

/// What the row holds when its sulfur step has run for `years`, its free SO2 not yet at equilibrium.
void oxidise(Stock& stock, int row, const SulfurStep& step, SulfurLoss loss) {
  const double lost_mg = so2_lost_mg(step, loss, step.years);
  stock.solutes(row, kSo2Total) = step.total_mg - lost_mg;
  stock.solutes(row, kSo2Free) = std::max(step.free_mg - lost_mg, 0.0);  // in this order an unknown stays unknown
}

/// SO2 at the end of a part of the row's step; the sulfate that comes of what is lost.
void lose_sulfur(Run& run, int row) {
  Stock& now = run.now;
  const double before_mg = now.solutes(row, kSo2Total);
  oxidise(now, row, now.sulfur[static_cast<std::size_t>(row)], sulfur_loss_of(run.scenario, now, row));
  settle_sulfur(now, row);
  const double lost_mg = before_mg - now.solutes(row, kSo2Total);
  const double sulfate_g = kPotassiumSulfatePerSo2 * lost_mg / 1000.0;
  now.solutes(row, kSulfate) += sulfate_g;
  run.out.flows.solutes(kGained, kSo2Total) -= lost_mg;
  run.out.flows.solutes(kGained, kSulfate) += sulfate_g;
}

/// Free SO2 beside a total that nobody states: its own law still tells what is left of it, any other law does not.
void lose_free_of_unknown_total(Run& run, int row) {
  Stock& now = run.now;
  const SulfurStep& step = now.sulfur[static_cast<std::size_t>(row)];
  if (!is_known(step.free_mg)) return;
  const SulfurLoss loss = sulfur_loss_of(run.scenario, now, row);
  if (loss.rate == 0.0) return;
  const bool of_free = loss.law == SulfurLoss::Law::of_free;
  now.solutes(row, kSo2Free) = of_free ? step.free_mg * kept_after(loss.rate, step.years) : kUnknown;
}

/// Acetaldehyde and volatile acid form in proportion to the wine held when the row's step began, as SO2 is lost.
void form(Run& run, int row, Solute solute, double per_litre_and_year, double years) {
  if (per_litre_and_year == 0.0) return;
  const double formed = per_litre_and_year * years * run.now.sulfur[static_cast<std::size_t>(row)].litres;
  run.now.solutes(row, solute) += formed;
  run.out.flows.solutes(kGained, solute) += formed;
}

/// A part of a period that lies within one sulfur step of the row.
std::optional<Fault> age_within_step(Run& run, int row, double years) {
  Stock& now = run.now;
  const bool tank = run.scenario.is_tank(row);
  form(run, row, kAldehyde, run.scenario.acetaldehyde_gain_mg_l_year, years);
  form(run, row, kVolatileAcid, run.scenario.va_gain_g_l_year, years);
  if (!tank)
    if (auto fault = evaporate(run, row, years)) return fault;
  if (now.litre_years.size() > 0 && !tank && run.scenario.tiers[static_cast<std::size_t>(row)].wood)
    now.litre_years.row(row) += years * now.litres.row(row);
  now.sulfur[static_cast<std::size_t>(row)].years += years;
  if (is_known(now.solutes(row, kSo2Total))) lose_sulfur(run, row);
  else lose_free_of_unknown_total(run, row);
  return std::nullopt;
}

/// A step ends after 1/so2_steps of a year, and a new one begins from what is then held: the volume it counts on is
/// that of its own start, whatever period is asked for.
std::optional<Fault> age_row(Run& run, int row, double years) {
  if (!(run.now.volume[row] > 0.0)) return std::nullopt;
  constexpr double kSameMoment = 1e-9;  // years; far below the day in which dates are counted
  const double step_years = 1.0 / run.scenario.so2_steps;
  const SulfurStep& step = run.now.sulfur[static_cast<std::size_t>(row)];
  for (;;) {
    const double left = step_years - step.years;
    const bool step_ends = years >= left - kSameMoment;
    if (auto fault = age_within_step(run, row, step_ends ? std::min(years, left) : years)) return fault;
    if (!step_ends) return std::nullopt;
    years -= left;
    restart_sulfur_step(run.now, row);
    if (years <= kSameMoment) return std::nullopt;
  }
}

}  // namespace

SulfurLoss sulfur_loss_of(const Scenario& scenario, const Stock& stock, int row) {
  if (!scenario.is_tank(row)) {
    const auto& own = scenario.tiers[static_cast<std::size_t>(row)].so2_loss;
    if (own) return *own;
  }
  if (scenario.so2_loss) return *scenario.so2_loss;
  return is_known(stock.solutes(row, kAldehyde)) ? kLossOfFree : kLossOfTotal;
}

void settle_sulfur(Stock& stock, int row) {
  const double litres = stock.volume[row];
  const double total_mg = stock.solutes(row, kSo2Total);
  const double acetaldehyde_mg = stock.solutes(row, kAldehyde);
  if (!(litres > 0.0) || !is_known(total_mg) || !is_known(acetaldehyde_mg)) return;
  const Binders binders{.acetaldehyde_mg_l = acetaldehyde_mg / litres};
  stock.solutes(row, kSo2Free) = litres * free_for_total_mg_l(total_mg / litres, binders);
}

std::optional<Fault> age_to(Run& run, int day) {
  const double years = years_between_days(run.now.day, day);
  if (years > 0.0)
    for (int row = 0; row < run.scenario.rows(); ++row)
      if (auto fault = age_row(run, row, years)) return fault;
  run.now.day = day;
  return std::nullopt;
}

}  // namespace tierce
