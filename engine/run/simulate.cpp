#include "engine/run/simulate.h"

#include <algorithm>
#include <utility>

#include "engine/run/ageing.h"
#include "engine/run/bottling.h"
#include "engine/run/cellar_work.h"
#include "engine/run/closing.h"
#include "engine/run/fast/lots.h"
#include "engine/run/fast/usual.h"
#include "engine/run/readings.h"
#include "engine/run/run.h"
#include "engine/run/spirit_work.h"
#include "engine/run/vessel_work.h"

namespace tierce {
namespace {

/// Takes over the memory of an answer that nobody needs any more.
void take_memory(Trajectory&& spare, Run& run) {
  if (!spare.looks.empty()) run.now = std::move(spare.looks.back());  // where that run left its stock
  run.out.looks = std::move(spare.looks);
  run.out.looks.clear();
  run.out.flows = std::move(spare.flows);
  run.lot_used_l = std::move(spare.lot_used_l);
}

void set_rows(Run& run, const Scenario& scenario) {
  const auto rows = static_cast<std::size_t>(scenario.rows());
  run.over_by.assign(rows, 0.0);
  run.standing.resize(rows);
  for (auto& draws : run.standing) draws.clear();
  run.filled_at.assign(rows, {});
  run.filled_today.assign(rows, false);
  run.target_l.resize(scenario.tier_count());
  run.tolerance_l.resize(scenario.rows());
  run.tier_now.clear();
  for (const Tier& tier : scenario.tiers) run.tier_now.push_back(&tier);
  run.ageing.clear();
  for (int row = 0; row < scenario.rows(); ++row) {
    run.ageing.push_back(ageing_of(scenario, row));
    run.tolerance_l[row] = kVolumeTolerance * scenario.capacity_of(row);
    if (!scenario.is_tank(row)) run.target_l[row] = scenario.tiers[static_cast<std::size_t>(row)].target_l;
  }
  follow_laws(run);
}

Run open_reserve(const Scenario& scenario, const Timeline& line, RunMemory&& memory, Trajectory&& spare) {
  const auto parcels = static_cast<Eigen::Index>(line.parcels.size());
  Run run(scenario, line, std::move(memory));
  take_memory(std::move(spare), run);
  run.now.reset(scenario, parcels);
  Flows& flows = run.out.flows;
  for (RowMajorMatrix* amounts : {&flows.litres, &flows.alcohol}) amounts->setZero(kFlowCount, parcels);
  flows.solutes.setZero(kFlowCount, kSoluteCount);
  flows.years.clear();
  run.waiting.clear();
  run.plan.share.clear();  // what is not planned is zero
  run.lot_used_l.assign(line.lots.size(), 0.0);
  run.spirit_used_l.assign(scenario.spirits.size(), 0.0);
  run.nowhere.resize(line.parcels.size());
  set_rows(run, scenario);
  run.sulfur_step_years = 1.0 / scenario.so2_steps;
  run.wine_forms = scenario.acetaldehyde_gain_mg_l_year != 0.0 || scenario.va_gain_g_l_year != 0.0;
  run.all_rest = !run.wine_forms;
  if (line.events.empty()) return run;
  run.now.day = line.events.front().day;
  run.now.date = line.events.front().date;
  const int years = line.events.back().date.year - run.now.date.year + 1;
  flows.years.reserve(static_cast<std::size_t>(years) + 1);  // the last close opens one more
  flows.years.emplace_back().year = run.now.date.year;
  return run;
}

std::optional<Fault> apply(Run& run, const Event& event, const CloseYear&) {
  close_year(run, event.date);
  run.now.note({.kind = DissolvedAct::Kind::year, .row = event.date.year});
  return std::nullopt;
}

void count_flows(Run& run, const Date& date) {
  FlowsSoFar& so_far = run.out.flows_at.emplace_back();
  so_far.date = date;
  const RowMajorMatrix& litres = run.out.flows.litres;
  for (int flow = 0; flow < kFlowCount; ++flow) so_far.litres[static_cast<std::size_t>(flow)] = litres.row(flow).sum();
  for (std::size_t i = 0; i < run.line.parcels.size(); ++i)
    if (const auto came = run.line.came[i])
      so_far.in_l[static_cast<std::size_t>(*came)] += litres(kIn, static_cast<Eigen::Index>(i));
  so_far.held_l = run.now.volume.sum();
}

std::optional<Fault> apply(Run& run, const Event& event, const Look& look) {
  if (look.counts) {
    count_flows(run, event.date);
    return std::nullopt;
  }
  const bool at_the_end = &event == &run.line.events.back() && !run.out.stopped;
  if (at_the_end) run.out.looks.push_back(std::move(run.now));  // nobody else needs it
  else run.out.looks.push_back(run.now);
  if (run.keep != Keep::flows) run.out.standing.push_back(run.standing);
  return std::nullopt;
}

/// True if the day's entries end with `index`: capacities are looked at then.
bool day_ends(const std::vector<Event>& events, std::size_t index) {
  if (index + 1 == events.size()) return true;
  const Event& next = events[index + 1];
  return next.date != events[index].date || std::holds_alternative<CloseYear>(next.act) ||
         std::holds_alternative<Look>(next.act);
}

/// Writes a fault down. In the log the run goes on, so that all faults are found; in a forecast it ends.
bool goes_on_after(Run& run, const Event& event, Fault fault, bool in_log) {
  if (in_log) {
    if (fault.problem.at.line == 0) fault.problem.at = event.at;
    run.out.problems.push_back(std::move(fault.problem));
    return true;
  }
  run.out.stopped = Stop{event.date, fault.row, fault.short_l, std::move(fault.problem)};
  return false;
}

/// The acts of every year leave to lots.h what has to be written by lot; any other finds it written. They are looked
/// for first: a visit of the variant costs as much as a row of lots.
std::optional<Fault> apply(Run& run, const Event& event) {
  if (event.past && !run.now.levels.all_there())
    if (auto refused = not_there(run, event)) return refused;
  if (const auto* refill = std::get_if<Refill>(&event.act); refill && !refill->from) return apply(run, event, *refill);
  if (const auto* draw = std::get_if<Draw>(&event.act); draw && !draw->to) return apply(run, event, *draw);
  if (const auto* close = std::get_if<CloseYear>(&event.act)) return apply(run, event, *close);
  if (const auto* dose = std::get_if<Dose>(&event.act)) return apply(run, event, *dose);
  write_lots(run);
  return std::visit([&](const auto& act) { return apply(run, event, act); }, event.act);
}

double held_l(const Run& run) { return run.now.volume.sum(); }

void note_path(Run& run, std::size_t index) {
  run.out.volumes.resize(index, run.now.volume);
  run.out.volumes.push_back(run.now.volume);
}

/// Looks for vessels that hold too much when a day ends. False if the run ends with it.
template <class InLog>
bool looks_at_levels(Run& run, const Event& event, const InLog& in_log) {
  bool goes_on = true;
  const bool all_within = run.now.levels.all_within(kVolumeTolerance);
  for (int row = 0; !all_within && row < run.rows(); ++row) {
    if (!run.filled_today[static_cast<std::size_t>(row)] || run.now.levels.within(row, kVolumeTolerance)) continue;
    if (auto fault = overfull(run, row); fault && goes_on) goes_on = goes_on_after(run, event, *fault, in_log());
  }
  std::fill(run.filled_today.begin(), run.filled_today.end(), false);
  return goes_on;
}

void note_beyond(Run& run, Beyond::What what, int row, double value) {
  const auto noted = [&](const Beyond& one) { return one.what == what && one.row == row; };
  if (std::none_of(run.out.beyond.begin(), run.out.beyond.end(), noted))
    run.out.beyond.push_back({what, run.now.date, row, value});
}

/// What is stronger or sweeter than wine is. Wine is so just before it is refreshed, if ever.
void look_for_beyond(Run& run) {
  Stock& now = run.now;
  for (int row = 0; row < run.rows(); ++row) {
    const double held_l = now.volume[row];
    if (!(held_l > 0.0)) continue;
    const double alcohol_pct = 100.0 * counted(now, row).alcohol(row) / held_l;
    if (alcohol_pct > kNoWineAbovePct) note_beyond(run, Beyond::What::strength, row, alcohol_pct);
    const double sugar_g_l = now.per_litre(row, kSugar);
    if (sugar_g_l > kNoWineAboveSugarG_L) note_beyond(run, Beyond::What::sugar, row, sugar_g_l);
  }
}

/// Lets the stock age to the day of an event. False, with a fault, if it cannot.
bool pass_time(Run& run, const Event& event, std::optional<Fault>& fault) {
  const double years = years_between_days(run.now.day, event.day), held_l_before = held_l(run);
  const double& evaporated_l = run.year().litres[kEvaporated];
  const double evaporated_l_before = evaporated_l;
  if (!age_to(run, event.day, fault)) return false;
  note_time(run.year(), years, held_l_before, evaporated_l - evaporated_l_before);
  return true;
}

/// From the end of the log on, acts are written down.
[[gnu::cold, gnu::noinline]] void begin_acts(Run& run) {
  run.out.before_acts = run.now;
  run.now.acts = &run.out.acts;
}

/// An event of any kind. False if the run ends with it.
[[gnu::noinline]] bool any_step(Run& run, std::size_t index) {
  const Event& event = run.line.events[index];
  const auto in_log = [&] {
    const bool only_looks = std::holds_alternative<CloseYear>(event.act) || std::holds_alternative<Look>(event.act);
    return event.past || (only_looks && event.date <= run.line.log_end);
  };
  std::optional<Fault> fault = none();
  if (run.keep == Keep::acts && run.now.acts == nullptr && event.date > run.line.log_end) begin_acts(run);
  if (run.now.day < event.day && !pass_time(run, event, fault)) {
    goes_on_after(run, event, *fault, in_log());
    run.half_aged = true;
    return false;
  }
  run.now.date = event.date;
  if (run.keep != Keep::flows) look_for_beyond(run);
  if (auto refused = apply(run, event))
    if (!goes_on_after(run, event, std::move(*refused), in_log())) return false;
  if (std::holds_alternative<Look>(event.act)) return true;  // changes nothing; the last one takes the stock away
  if (run.keep == Keep::path) note_path(run, index);
  if (!run.soaking.empty() && day_ends(run.line.events, index)) soak(run);
  if (run.any_filled && day_ends(run.line.events, index)) {
    run.any_filled = false;
    if (!looks_at_levels(run, event, in_log)) return false;
  }
  run.usual = may_be_usual(run);
  return true;
}

bool step(Run& run, std::size_t index) {
  return (run.usual && done_as_usual(run, run.line.events[index])) || any_step(run, index);
}

/// A run that stopped early is closed where it stands, so that its balance can be drawn up all the same.
void close_book(Run& run) {
  auto& years = run.out.flows.years;
  if (run.out.stopped && !years.empty()) {
    Event end;
    end.date = run.now.date;
    write_lots(run);
    apply(run, end, CloseYear{});
    if (!run.line.came.empty()) apply(run, end, Look{true});
    apply(run, end, Look{});
  }
  run.out.lot_used_l = std::move(run.lot_used_l);
  for (Stock& look : run.out.looks) look.acts = nullptr;  // the record moves on
  years.resize(run.year_index);                           // without the year that would have begun next
}

}  // namespace

double YearFlows::gap_l() const {
  return litres[kOpening] + litres[kIn] + litres[kWater] - litres[kDrawn] - litres[kEvaporated] - litres[kGauged] -
         litres[kLost] - litres[kContracted] - litres[kBottled] - closing_l;
}

namespace {

/// Runs the timeline in the memory of an earlier run and of its answer.
Trajectory simulate_in(RunMemory& memory, Trajectory&& spare, const Scenario& scenario, const Timeline& line,
                       Keep keep) {
  Run run = open_reserve(scenario, line, std::move(memory), std::move(spare));
  run.keep = keep;
  std::size_t index = 0;
  while (index < line.events.size() && step(run, index)) ++index;
  if (run.half_aged && run.out.stopped) {
    // Some rows had aged to a day that others cannot reach: what stands is the run up to the event before.
    Timeline before = line;
    before.events.resize(index);
    Run whole = open_reserve(scenario, before, {}, {});
    whole.keep = keep;
    whole.out.stopped = run.out.stopped;
    for (std::size_t i = 0; i < index; ++i) step(whole, i);
    close_book(whole);
    return std::move(whole.out);
  }
  close_book(run);
  memory = std::move(static_cast<RunMemory&>(run));
  return std::move(run.out);
}

}  // namespace

Trajectory simulate(const Scenario& scenario, const Timeline& line, Keep keep) {
  RunMemory memory;
  return simulate_in(memory, {}, scenario, line, keep);
}

Simulator::Simulator() : memory_(std::make_unique<RunMemory>()) {}
Simulator::~Simulator() = default;

const Trajectory& Simulator::run(const Scenario& scenario, const Timeline& line, Keep keep) {
  return answer_ = simulate_in(*memory_, std::move(answer_), scenario, line, keep);
}

}  // namespace tierce
