#include "engine/measure/sulfur_path.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/run/ageing.h"

namespace tierce {
namespace {

using Kind = DissolvedAct::Kind;

constexpr double kAlike = 1e-9;  // of an amount, from one period to the next

SulfurOfRow of_row(const Stock& stock, int row) {
  const SulfurStep& step = stock.sulfur[static_cast<std::size_t>(row)];
  const auto held = [&](Solute solute) { return stock.solutes(row, solute); };
  return {held(kSo2Total), held(kSo2Free), held(kSo2FreeHigh), held(kAldehyde),   held(kSugar),
          held(kSulfate),  step.total_mg,  step.free_mg,       step.free_high_mg, step.litres};
}

bool near(double a, double b) { return a == b || std::abs(a - b) <= kAlike * std::max(std::abs(a), std::abs(b)); }

/// The same but for what doses themselves decide.
bool alike(const DissolvedAct& a, const DissolvedAct& b) {
  if (a.kind == Kind::year) return b.kind == Kind::year;
  return a.kind == b.kind && a.row == b.row && a.to == b.to && near(a.share, b.share) && near(a.litres, b.litres) &&
         near(a.years, b.years) && near(a.in_step, b.in_step);
}

/// The acts after the close of a year.
std::size_t after_close_of(const std::vector<DissolvedAct>& acts, int year) {
  const auto close = std::find_if(acts.begin(), acts.end(),
                                  [&](const DissolvedAct& act) { return act.kind == Kind::year && act.row == year; });
  return close == acts.end() ? 0 : static_cast<std::size_t>(close - acts.begin()) + 1;
}

bool has_moment(const DissolvedAct& act) { return act.kind == Kind::thin || act.kind == Kind::dose; }

/// The moments of the forecast in the order of the acts: doses and draws each in their own.
void match_moments(const Trajectory& run, SulfurPath& path) {
  std::vector<TestedMoment> doses, draws;
  for (const TestedMoment& moment : tested_moments(run))
    if (moment.date > run.before_acts->date) (moment.at_draw ? draws : doses).push_back(moment);
  auto dose = doses.begin(), draw = draws.begin();
  path.moment_of.assign(path.acts.size(), 0);
  for (std::size_t i = 0; i < path.acts.size(); ++i) {
    if (!has_moment(path.acts[i])) continue;
    path.moment_of[i] = path.moments.size();
    if (i < path.period_from) path.moments_from = path.moments.size() + 1;
    path.moments.push_back(path.acts[i].kind == Kind::dose ? *dose++ : *draw++);
  }
}

void scale(SulfurOfRow& row, double part) {
  for (double* amount : {&row.total_mg, &row.free_mg, &row.high_mg, &row.acetaldehyde_mg, &row.sugar_g, &row.sulfate_g,
                         &row.step_total_mg, &row.step_free_mg, &row.step_high_mg, &row.step_litres})
    *amount = part == 0.0 ? 0.0 : part * *amount;
}

/// Adds `times` of what is held, but not of its sulfur step.
void add(SulfurOfRow& to, const SulfurOfRow& held, double times) {
  to.total_mg += times * held.total_mg;
  to.free_mg += times * held.free_mg;
  to.high_mg += times * held.high_mg;
  to.acetaldehyde_mg += times * held.acetaldehyde_mg;
  to.sugar_g += times * held.sugar_g;
  to.sulfate_g += times * held.sulfate_g;
}

/// Free SO2 at equilibrium, where acetaldehyde is known.
void settle(SulfurOfRow& row, double litres) {
  if (!is_known(row.acetaldehyde_mg) || !is_known(row.total_mg)) return;
  row.free_mg = litres * free_beside_acetaldehyde_mg_l(row.total_mg / litres, row.acetaldehyde_mg / litres);
  row.high_mg = row.free_mg;
}

/// Each wine that is brought once, per litre.
void take_wines(SulfurPath& path) {
  std::map<const Composition*, int> known;
  for (DissolvedAct& act : path.acts) {
    if (act.kind != Kind::bring) continue;
    const auto [at, is_new] = known.try_emplace(act.wine, static_cast<int>(path.wines.size()));
    act.to = at->second;
    if (!is_new) continue;
    const StatedBinding binding = stated_binding(*act.wine);
    path.wines.push_back({.total_mg = act.wine->so2_total_mg_l,
                          .free_mg = act.wine->so2_free_mg_l,
                          .high_mg = binding.free_high_mg_l,
                          .acetaldehyde_mg = binding.acetaldehyde_mg_l,
                          .sugar_g = act.wine->sugar_g_l,
                          .sulfate_g = act.wine->sulfate_g_l});
  }
  for (DissolvedAct& act : path.acts) act.wine = nullptr;  // it may not be there any more
}

}  // namespace

SulfurPath sulfur_path(const Trajectory& run, int period_years) {
  SulfurPath path;
  path.period_years = period_years;
  path.acts = run.acts;
  take_wines(path);
  if (!run.before_acts || run.acts.empty()) return path;
  for (int row = 0; row < static_cast<int>(run.before_acts->volume.size()); ++row)
    path.begin.push_back(of_row(*run.before_acts, row));
  const int last = path.acts.back().row;  // a run ends with the close of a year
  path.period_from = after_close_of(path.acts, last - period_years);
  match_moments(run, path);
  const auto from = path.acts.begin() + static_cast<std::ptrdiff_t>(path.period_from);
  const auto before =
      path.acts.begin() + static_cast<std::ptrdiff_t>(after_close_of(path.acts, last - 2 * period_years));
  path.repeats = before != path.acts.begin() && std::equal(before, from, from, path.acts.end(), alike);
  return path;
}

SulfurWalk::SulfurWalk(const Scenario& scenario, const SulfurPath& path, double plain_mg_l)
    : scenario_(scenario), path_(path), plain_mg_l_(plain_mg_l), rows_(path.begin) {
  for (int row = 0; row < static_cast<int>(rows_.size()); ++row) laws_.push_back(ageing_of(scenario, row));
}

void SulfurWalk::age(const DissolvedAct& act, SulfurOfRow& row) {
  row.acetaldehyde_mg += scenario_.acetaldehyde_gain_mg_l_year * act.years * row.step_litres;
  const SulfurLoss loss = sulfur_loss_of(laws_[static_cast<std::size_t>(act.row)], is_known(row.acetaldehyde_mg));
  double lost_mg = 0.0;
  switch (loss.law) {
    case SulfurLoss::Law::of_total:
      lost_mg = row.step_total_mg * (1.0 - powers_.kept_after(loss.rate, act.in_step));
      break;
    case SulfurLoss::Law::fixed:
      lost_mg = std::min(row.step_total_mg, loss.rate * act.in_step * row.step_litres);
      break;
    case SulfurLoss::Law::of_free:
      lost_mg = row.step_free_mg * (1.0 - powers_.kept_after(loss.rate, act.in_step));
      break;
  }
  const double before_mg = row.total_mg;
  row.total_mg = row.step_total_mg - lost_mg;
  row.high_mg = row.step_total_mg > 0.0 ? row.step_high_mg * (row.total_mg / row.step_total_mg) : 0.0;
  row.free_mg = std::max(row.step_free_mg - lost_mg, kComesBack * row.high_mg);
  settle(row, act.litres);
  row.sulfate_g += kPotassiumSulfatePerSo2 * (before_mg - row.total_mg) / 1000.0;
}

double SulfurWalk::dose(const DissolvedAct& act, SulfurOfRow& row) const {
  const double total_mg_l = row.total_mg / act.litres;
  double wanted_mg_l = is_known(plain_mg_l_) ? plain_mg_l_ : act.mg_l;
  if (is_known(act.wanted_free_mg_l) && !is_known(plain_mg_l_))
    wanted_mg_l =
        is_known(row.acetaldehyde_mg)
            ? std::max(0.0, total_beside_acetaldehyde_mg_l(act.wanted_free_mg_l, row.acetaldehyde_mg / act.litres) -
                                total_mg_l)
            : addition_without_binders_mg_l(act.wanted_free_mg_l, row.free_mg / act.litres,
                                            scenario_.so2_binding_fraction);
  if (std::isfinite(act.at_most_mg_l))
    wanted_mg_l = std::max(0.0, std::min(wanted_mg_l, act.at_most_mg_l - total_mg_l));
  const SulfurRange binds = binding_shares(scenario_, row.sugar_g / act.litres);
  row.total_mg += wanted_mg_l * act.litres;
  row.free_mg += (1.0 - binds.planned) * wanted_mg_l * act.litres;
  row.high_mg += (1.0 - binds.high) * wanted_mg_l * act.litres;
  settle(row, act.litres);
  return wanted_mg_l;
}

void SulfurWalk::act(std::size_t index, int repeats) {
  const DissolvedAct& act = path_.acts[index];
  if (act.kind == Kind::year) return;
  SulfurOfRow& row = rows_[static_cast<std::size_t>(act.row)];
  double dose_mg_l = 0.0;
  if (act.kind == Kind::dose) dose_mg_l = dose(act, row);
  if (has_moment(act)) {
    TestedMoment moment = path_.moments[path_.moment_of[index]];
    moment.date.year += repeats * path_.period_years;
    moment.dose_mg_l = dose_mg_l;
    moment.total_mg_l = row.total_mg / act.litres;
    moment.free_mg_l = row.free_mg / act.litres;
    moment.sugar_g_l = row.sugar_g / act.litres;
    moment.sulfate_g_l = row.sulfate_g / act.litres;
    moments_.push_back(moment);
  }
  switch (act.kind) {
    case Kind::thin: scale(row, 1.0 - act.share); break;
    case Kind::pour:
      add(rows_[static_cast<std::size_t>(act.to)], row, act.share);
      scale(row, 1.0 - act.share);
      break;
    case Kind::bring: add(row, path_.wines[static_cast<std::size_t>(act.to)], act.litres); break;
    case Kind::age: age(act, row); break;
    case Kind::restart:
      settle(row, act.litres);
      row.step_total_mg = row.total_mg, row.step_free_mg = row.free_mg, row.step_high_mg = row.high_mg;
      row.step_litres = act.litres;
      break;
    default: break;
  }
}

bool SulfurWalk::settled() const {
  const std::size_t count = moments_.size() - period_begins_;
  if (count > period_begins_) return false;
  for (std::size_t i = period_begins_; i < moments_.size(); ++i) {
    const TestedMoment &now = moments_[i], &before = moments_[i - count];
    if (!(std::abs(now.total_mg_l - before.total_mg_l) <= kAlike * now.total_mg_l)) return false;
  }
  return true;
}

bool SulfurWalk::go() {
  if (path_.begin.empty()) return false;
  for (std::size_t i = 0; i < path_.acts.size(); ++i) {
    if (i == path_.period_from) period_begins_ = moments_.size();
    act(i, 0);
  }
  gone_ = path_.acts.size();
  const std::size_t period = path_.acts.size() - path_.period_from;
  for (periods_ = 1; path_.repeats; ++periods_, gone_ += period) {
    if (settled()) return true;
    if (periods_ > kMostPeriods || gone_ + period > kMostActs) return false;
    period_begins_ = moments_.size();
    for (std::size_t i = path_.period_from; i < path_.acts.size(); ++i) act(i, periods_);
  }
  return false;
}

int SulfurWalk::last_year() const { return path_.acts.back().row + (periods_ - 1) * path_.period_years; }

std::vector<TestedMoment> SulfurWalk::last_period() const {
  return {moments_.begin() + static_cast<std::ptrdiff_t>(period_begins_), moments_.end()};
}

}  // namespace tierce
