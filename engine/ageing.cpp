#include "engine/ageing.h"

#include <algorithm>
#include <cmath>

#include "engine/evaporation.h"

namespace tierce {
namespace {

// Defaults of design decision 13: 90 % of the free a year where acetaldehyde is known, else 40 % of the total.
constexpr SulfurLoss kLossOfFree{SulfurLoss::Law::of_free, 0.9};
constexpr SulfurLoss kLossOfTotal{SulfurLoss::Law::of_total, 0.4};

std::optional<Fault> cannot_lose(const Run& run, const Tier& tier, int row, double lost_l, double held_alcohol_l) {
  const std::string name = "tier '" + tier.name + "'";
  if (lost_l >= run.now.volume[row])
    return Fault{{tier.at, name + " dries up: evaporation takes its last wine", "a smaller evaporation, or a refill in time", ""}, row, 0.0};
  if (lost_l * tier.vapour_pct / 100.0 > held_alcohol_l)
    return Fault{{tier.at, name + " would lose more alcohol by evaporation than it holds",
                  "a weaker vapour or a smaller evaporation", ""}, row, 0.0};
  return std::nullopt;
}

std::optional<Fault> evaporate(Run& run, int row, double years) {
  const Tier& tier = run.scenario.tiers[static_cast<std::size_t>(row)];
  Stock& now = run.now;
  if (tier.evaporation.per_year <= 0.0) return std::nullopt;
  const bool by_share = tier.evaporation.kind == Evaporation::Kind::share;
  const double keep = by_share ? kept_after(tier.evaporation.per_year, years) : 1.0;
  const double each_l = by_share ? 0.0 : tier.evaporation.per_year * years;
  const double lost_l = by_share ? now.volume[row] * (1.0 - keep) : loss_of_vessels(now.levels.of(row), each_l);
  const double held_alcohol_l = now.alcohol.row(row).sum();
  if (auto fault = cannot_lose(run, tier, row, lost_l, held_alcohol_l)) return fault;
  if (by_share) now.levels.scale(row, keep);
  else take_from_each_vessel(now.levels.of(row), each_l);
  const double volume_part = lost_l / now.volume[row];
  const double lost_alcohol_l = lost_l * tier.vapour_pct / 100.0;
  const double alcohol_part = lost_alcohol_l > 0.0 ? lost_alcohol_l / held_alcohol_l : 0.0;

  Flows& flows = run.out.flows;
  flows.litres.row(kEvaporated) += volume_part * now.litres.row(row);
  now.litres.row(row) *= 1.0 - volume_part;
  if (!(alcohol_part == 0.0)) {
    flows.alcohol.row(kEvaporated) += alcohol_part * now.alcohol.row(row);
    now.alcohol.row(row) *= 1.0 - alcohol_part;
  }
  if (now.litre_years.size() > 0) now.litre_years.row(row) *= 1.0 - volume_part;
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

/// What the row holds after its sulfur step has run for `years`, its free SO2 not yet at equilibrium.
void oxidise(Stock& stock, int row, const SulfurStep& step, SulfurLoss loss, double years) {
  const double lost_mg = so2_lost_mg(step, loss, years);
  stock.solutes(row, kSo2Total) = step.total_mg - lost_mg;
  stock.solutes(row, kSo2Free) = std::max(0.0, step.free_mg - lost_mg);
}

/// SO2 over a time. A step ends after 1/so2_steps of a year, and a new one begins from what is then held.
void lose_sulfur(Run& run, int row, double years) {
  Stock& now = run.now;
  SulfurStep& step = now.sulfur[static_cast<std::size_t>(row)];
  const double step_years = 1.0 / run.scenario.so2_steps;
  constexpr double kSameMoment = 1e-9;  // years; half a minute, far below the day in which dates are counted
  const double before_mg = now.solutes(row, kSo2Total);
  step.years += years;
  for (;;) {
    const SulfurLoss loss = sulfur_loss_of(run.scenario, now, row);
    oxidise(now, row, step, loss, std::min(step.years, step_years));
    settle_sulfur(now, row);
    if (step.years < step_years + kSameMoment) break;
    const double left = step.years - step_years;
    restart_sulfur_step(now, row);
    step.years = left;
  }
  const double lost_mg = before_mg - now.solutes(row, kSo2Total);
  run.out.flows.solutes(kGained, kSo2Total) -= lost_mg;
  now.solutes(row, kSulfate) += kPotassiumSulfatePerSo2 * lost_mg / 1000.0;
  run.out.flows.solutes(kGained, kSulfate) += kPotassiumSulfatePerSo2 * lost_mg / 1000.0;
}

/// Acetaldehyde and volatile acid form in proportion to the wine held when the row's step began, as SO2 is lost.
void form(Run& run, int row, Solute solute, double per_litre_and_year, double years) {
  if (per_litre_and_year == 0.0) return;
  const double formed = per_litre_and_year * years * run.now.sulfur[static_cast<std::size_t>(row)].litres;
  run.now.solutes(row, solute) += formed;
  run.out.flows.solutes(kGained, solute) += formed;
}

std::optional<Fault> age_row(Run& run, int row, double years) {
  Stock& now = run.now;
  if (!(now.volume[row] > 0.0)) return std::nullopt;
  const bool tank = run.scenario.is_tank(row);
  form(run, row, kAldehyde, run.scenario.acetaldehyde_gain_mg_l_year, years);
  form(run, row, kVolatileAcid, run.scenario.va_gain_g_l_year, years);
  if (!tank)
    if (auto fault = evaporate(run, row, years)) return fault;
  if (now.litre_years.size() > 0 && !tank && run.scenario.tiers[static_cast<std::size_t>(row)].wood)
    now.litre_years.row(row) += years * now.litres.row(row);
  lose_sulfur(run, row, years);
  return std::nullopt;
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
