#include "engine/run/fast/usual.h"

#include "engine/run/closing.h"
#include "engine/run/fast/lots.h"
#include "engine/run/taking.h"

namespace tierce {
namespace {

bool drawn(Run& run, const Draw& draw) {
  Stock& now = run.now;
  const int row = draw.from.row;
  const double held_l = now.volume[row], wanted_l = draw.amount.litres_of(held_l);
  if (draw.to || draw.from.vessel >= 0 || !is_part(wanted_l, held_l, run.tolerance_l[row])) return false;
  const double share = wanted_l / held_l;
  draw_lots(run, row, share);
  now.levels.scale(row, 1.0 - share);
  now.volume[row] = held_l - wanted_l;
  return true;
}

/// What a refill moves, by tier; the last gives nothing, the first gets new wine.
struct Passing {
  double share[kFewRows] = {};  // of what the tier holds
  double in_l[kFewRows + 1] = {};
};

/// As plan_refill(), oldest first, if each tier gives a part to the next and none gets too full.
bool pass_some(const Run& run, Passing& passing) {
  const double *const volume_l = run.now.volume.data(), *const tolerance_l = run.tolerance_l.data();
  double into_l = 0.0, passed_l = 0.0;
  for (int k = run.rows() - 1;; --k) {
    const double need_l = needed_l(volume_l[k], run.target_l[k], tolerance_l[k]);
    if (!(volume_l[k] + need_l <= run.now.levels.capacity_of(k) + tolerance_l[k])) return false;
    into_l += need_l;
    if (k == 0) break;
    passed_l += need_l;
    if (!is_part(passed_l, volume_l[k - 1], tolerance_l[k - 1])) return false;
    passing.share[k - 1] = passed_l / volume_l[k - 1];
    passing.in_l[k] = passed_l;
  }
  passing.in_l[0] = into_l;
  return into_l > 0.0;
}

void pass_volumes(Run& run, const Passing& passing) {
  Levels& levels = run.now.levels;
  for (int row = 0; row < run.rows(); ++row) {
    double& filled = levels.alike()[row];
    filled = filled * (1.0 - passing.share[row]) + passing.in_l[row] / levels.capacity_of(row);
    run.now.volume[row] = run.now.volume[row] - passing.in_l[row + 1] + passing.in_l[row];
  }
}

/// New wine just after the pours of a refill that waits.
void take_new_wine(Run& run, const Event& event, const Lot& of, int lot, double litres) {
  Flows& flows = run.out.flows;
  const double alcohol_l = litres * of.wine.alcohol_pct / 100.0;
  add_lot(run, 0, event.parcel, litres, alcohol_l);
  add_dissolved(of.wine, of.cost, litres, run.now.solutes.data(), flows.solutes.row(kIn).data());
  flows.litres(kIn, event.parcel) += litres;
  flows.alcohol(kIn, event.parcel) += alcohol_l;
  YearFlows& year = run.year();
  year.litres[kIn] += litres;
  year.alcohol[kIn] += alcohol_l;
  run.lot_used_l[static_cast<std::size_t>(lot)] += litres;
}

// Not inlined: a draw or a close need not save all that a refill works with.
[[gnu::noinline]] bool refilled(Run& run, const Event& event, const Refill& refill) {
  if (refill.from || refill.volume_l || refill.order != RefillOrder::oldest_first) return false;
  const Lot& of = run.line.lots[static_cast<std::size_t>(refill.lot)];
  if (of.made || !of.brought.empty() || !is_known(of.wine.alcohol_pct)) return false;
  if (!another_may_wait(run)) return false;
  Passing passing;
  if (!pass_some(run, passing)) return false;
  pass_volumes(run, passing);
  let_wait(run, passing.share);
  take_new_wine(run, event, of, refill.lot, passing.in_l[0]);
  settle(run, 0);
  for (int row = 0; !run.all_rest && row < run.rows(); ++row) settle(run, row);
  run.usual = run.all_rest;
  return true;
}

/// Evaporation alone, of four tiers that lose one share; nothing changed if one of them dries up or the like.
bool aged(Run& run, int day) {
  Stock& now = run.now;
  const int days = day - now.day;
  if (run.rows_alike < kFewRows || days > DailyPowers::kMostDays) return false;
  const double kept = run.daily_powers.kept_after(run.ageing.front().loss_per_year, days);
  const double held_l = (now.volume[0] + now.volume[1]) + (now.volume[2] + now.volume[3]);
  LotSums lost;
  if (evaporate_rows({now.unwritten.fours(), now.volume.data(), now.levels.alike(), &now.solutes(0, kPhByLitres),
                      run.tolerance_l.data(), run.vapour_fraction.data()},
                     kFewRows, kept, lost) < kFewRows)
    return false;
  YearFlows& year = run.year();
  year.litres[kEvaporated] += lost.litres;
  year.alcohol[kEvaporated] += lost.alcohol;
  note_time(year, years_between_days(0, days), held_l, lost.litres);
  now.day = day;
  return true;
}

}  // namespace

bool may_be_usual(const Run& run) {
  const Scenario& scenario = run.scenario;
  return run.keep == Keep::flows && run.all_rest && run.rows() <= kFewRows && scenario.tanks.empty() &&
         scenario.clock != Clock::wood && scenario.interest_per_year == 0.0 && run.now.levels.all_there() &&
         run.now.levels.all_alike() && run.soaking.empty() && !run.any_filled;
}

bool done_as_usual(Run& run, const Event& event) {
  const auto* const refill = std::get_if<Refill>(&event.act);
  const auto* const draw = std::get_if<Draw>(&event.act);
  const bool closes = std::holds_alternative<CloseYear>(event.act);
  if (refill == nullptr && draw == nullptr && !closes) return false;
  if (run.now.day < event.day && !aged(run, event.day)) return false;
  run.now.date = event.date;
  if (closes) close_year(run, event.date);
  return closes || (refill != nullptr ? refilled(run, event, *refill) : drawn(run, *draw));
}

}  // namespace tierce
