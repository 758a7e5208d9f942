#include "engine/measure/sulfur_plan.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "engine/run/simulate.h"

namespace tierce {
namespace {

template <class Act>
bool is(const Event& event) {
  return std::holds_alternative<Act>(event.act);
}

bool only_looks(const Event& event) { return is<CloseYear>(event) || is<Look>(event); }

// Looks at the wine on the days that matter.

/// A timeline that looks at the wine before the first entry of a day with a draw and after the last of one with a dose.
struct Watched {
  Timeline line;
  std::map<Date, std::size_t> before{}, after{};  // which look of the run
};

Watched watched(Timeline line) {
  std::set<Date> draws, doses;
  for (const Event& event : line.events) {
    if (is<Draw>(event)) draws.insert(event.date);
    if (is<Dose>(event)) doses.insert(event.date);
  }
  Watched watch{std::move(line)};
  std::vector<Event> events;
  std::size_t looks = 0;
  const auto look = [&](const Event& beside, std::map<Date, std::size_t>& index) {
    index[beside.date] = looks++;
    Event event;
    event.date = beside.date;
    event.day = beside.day;
    event.past = beside.past;
    event.act = Look{};
    events.push_back(event);
  };
  const auto& given = watch.line.events;
  for (std::size_t i = 0; i < given.size(); ++i) {
    const Event& event = given[i];
    if (is<Look>(event)) continue;
    if (draws.contains(event.date) && !watch.before.contains(event.date)) look(event, watch.before);
    events.push_back(event);
    const bool day_goes_on = i + 1 < given.size() && given[i + 1].date == event.date && !only_looks(given[i + 1]);
    if (doses.contains(event.date) && !only_looks(event) && !day_goes_on) look(event, watch.after);
  }
  watch.line.events = std::move(events);
  return watch;
}

/// A stock without its lots: a thousand of them, each with a thousand lots, would fill the memory.
Stock without_lots(Stock stock) {
  RowMajorMatrix alcohol(stock.volume.size(), 1);
  for (int row = 0; row < stock.volume.size(); ++row) {
    alcohol(row, 0) = stock.alcohol_l(row);
    stock.unwritten.forget(row);
  }
  stock.alcohol = std::move(alcohol);
  stock.litres = stock.volume;
  stock.entered = stock.volume;
  stock.used = 1;
  return stock;
}

/// The same line with its looks from `first` on, `count` of them.
Timeline with_some_looks(const Timeline& line, std::size_t first, std::size_t count) {
  Timeline some = line;
  std::size_t look = 0;
  std::erase_if(some.events, [&](const Event& event) {
    if (!is<Look>(event)) return false;
    const std::size_t number = look++;
    return number < first || number >= first + count;
  });
  return some;
}

/// Every look of a line; of a run that stops those before, and that of its end. In as many runs as it takes to hold no
/// more than some stocks with their lots at once.
std::vector<Stock> looks_of(const Scenario& scenario, const Timeline& line) {
  constexpr std::size_t kMostHeld = 2'000'000;  // looks x rows x lots
  const auto all = static_cast<std::size_t>(std::count_if(line.events.begin(), line.events.end(), is<Look>));
  const std::size_t held = static_cast<std::size_t>(scenario.rows()) * std::max<std::size_t>(1, line.parcels.size());
  const std::size_t at_once = std::max<std::size_t>(kMostHeld / held, all / 20 + 1);
  std::vector<Stock> looks;
  for (std::size_t first = 0; first < std::max<std::size_t>(all, 1); first += at_once) {
    const std::size_t count = std::min(at_once, all - first);
    Trajectory run = simulate(scenario, with_some_looks(line, first, count));
    const bool stopped = run.looks.size() <= count && run.stopped;
    for (std::size_t i = 0; i < run.looks.size() && (stopped || i < count); ++i)
      looks.push_back(without_lots(std::move(run.looks[i])));
    if (stopped) break;
  }
  return looks;
}

/// The look of a day; a run that stopped has only the one of its end.
const Stock& seen(const std::vector<Stock>& looks, const std::map<Date, std::size_t>& index, const Date& date) {
  return looks[std::min(index.at(date), looks.size() - 1)];
}

// A moment, and what is not sure about it.

PkChoice other_scale(PkChoice scale) { return scale == PkChoice::oiv ? PkChoice::classic : PkChoice::oiv; }

/// The next draw from a tier counts for every tier; on its day, one from the dosed row itself comes first.
const DrawRecord* next_draw_of(const Scenario& scenario, const std::vector<DrawRecord>& draws, const DoseRecord& dose) {
  const DrawRecord* next = nullptr;
  for (const DrawRecord& draw : draws) {
    if (draw.event < dose.event) continue;
    if (next != nullptr && next->date != draw.date) break;
    if (draw.row == dose.row) return &draw;
    if (next == nullptr && !scenario.is_tank(dose.row) && !scenario.is_tank(draw.row)) next = &draw;
  }
  return next;
}

std::vector<VesselDose> shared_out(const Scenario& scenario, const DoseRecord& record, const Stock& stock) {
  const auto levels = stock.levels.of(record.row);
  const auto capacities = stock.levels.capacities_of(record.row);
  const bool holds = stock.volume[record.row] > 0.0;
  const double all_l = holds ? stock.volume[record.row] : stock.levels.capacity_of(record.row);
  std::vector<VesselDose> vessels;
  for (std::size_t i = 0; i < levels.size(); ++i) {
    if (!(capacities[i] > 0.0)) continue;  // not in the cellar
    const double litres = record.litres * (holds ? levels[i] : capacities[i]) / all_l;
    const std::string& name = scenario.is_tank(record.row)
                                  ? scenario.name_of(record.row)
                                  : scenario.tiers[static_cast<std::size_t>(record.row)].vessels[i].name;
    vessels.push_back({name, litres, so2_grams(record.dose_mg_l, litres)});
  }
  return vessels;
}

// Oxygen, and the SO2 it uses up: one to two molecules of SO2 for each of oxygen (Danilewicz and Standing, abstract).
constexpr double kSo2PerOxygenLow = 64.06 / 31.998, kSo2PerOxygenHigh = 2.0 * kSo2PerOxygenLow;  // mg/mg
// mg of oxygen in a litre of dry air, 20 °C and 1 atm: 0.2095 x 31.998 g/mol / 24.055 L/mol.
constexpr double kOxygenPerLitreOfAir = 278.677239659;
// Oxygen through the wood of a barrel, mg/L a year: about 10 for used ones (after Vivas and Glories 1997, from memory)
// to 27 (total uptake quoted by IVES Technical Reviews 5449). Old wet wood may let in less.
constexpr double kOxygenByWoodLow = 10.0, kOxygenByWoodHigh = 27.0;

OxygenBudget oxygen_budget(const Scenario& scenario, const DoseRecord& record, const Stock& after, const Stock* later) {
  const auto air_mg_l = [&](const Stock& stock) {
    const double litres = stock.volume[record.row];
    const double air_l = std::max(0.0, scenario.capacity_of(record.row) - litres);
    return litres > 0.0 ? kOxygenPerLitreOfAir * air_l / litres : 0.0;
  };
  const double first = air_mg_l(after), last = later != nullptr ? air_mg_l(*later) : first;
  OxygenBudget budget{kSo2PerOxygenLow * std::min(first, last), kSo2PerOxygenHigh * std::max(first, last)};
  if (scenario.is_tank(record.row) || !scenario.tiers[static_cast<std::size_t>(record.row)].wood) return budget;
  budget.wood_low_mg_l = kSo2PerOxygenLow * kOxygenByWoodLow;
  budget.wood_high_mg_l = kSo2PerOxygenHigh * kOxygenByWoodHigh;
  return budget;
}

}  // namespace

SulfurMoment moment_of(const Scenario& scenario, const Date& date, const SulfurNow& now) {
  return {date, now, molecular_so2_mg_l(scenario, now),
          molecular_so2_mg_l(scenario, now, other_scale(scenario.so2_pk))};
}

std::vector<PlannedDose> planned_doses(const Scenario& scenario, const Timeline& line, const Trajectory& run) {
  const Watched watch = watched(line);
  const std::vector<Stock> book = looks_of(scenario, watch.line);
  std::vector<PlannedDose> plan;
  for (const DoseRecord& record : run.doses) {
    PlannedDose dose{.record = record, .asked = std::get<Dose>(line.events[record.event].act)};
    dose.before = moment_of(scenario, record.date, record.before);
    dose.after = moment_of(scenario, record.date, record.after);
    const Stock& stock = seen(book, watch.after, record.date);
    dose.vessels = shared_out(scenario, record, stock);
    const Stock* later = nullptr;
    if (const DrawRecord* drawn = next_draw_of(scenario, run.draws, record)) {
      if (drawn->date > record.date) later = &seen(book, watch.before, drawn->date);
      const bool own = drawn->row == record.row;
      dose.next = NextDraw{drawn->name, own, dose.after};
      if (own) dose.next->wine = moment_of(scenario, drawn->date, sulfur_of(*drawn));
      else if (later != nullptr) dose.next->wine = moment_of(scenario, drawn->date, sulfur_of(*later, record.row));
    }
    dose.oxygen = oxygen_budget(scenario, record, stock, later);
    plan.push_back(std::move(dose));
  }
  return plan;
}

namespace {

/// The wine before a dose with so much added.
SulfurNow with_added(const Scenario& scenario, SulfurNow now, double added_mg_l) {
  now.total_mg_l += added_mg_l;
  if (is_known(now.acetaldehyde_mg_l)) {
    const double planned = free_beside_acetaldehyde_mg_l(now.total_mg_l, now.acetaldehyde_mg_l);
    now.free_mg_l = in_order(free_for_total_mg_l(now.total_mg_l, now.low), planned, planned);
    return now;
  }
  const SulfurRange binds = binding_shares(scenario, now.sugar_g_l);
  now.free_mg_l = in_order(now.free_mg_l.low + (1.0 - binds.low) * added_mg_l,
                           now.free_mg_l.planned + (1.0 - binds.planned) * added_mg_l,
                           now.free_mg_l.high + (1.0 - binds.high) * added_mg_l);
  return now;
}

}  // namespace

std::optional<Shortfall> shortfall_under(const Scenario& scenario, const PlannedDose& dose, double cap_mg_l) {
  const bool wants_level = dose.asked.kind == Dose::Kind::to_free || dose.asked.kind == Dose::Kind::to_molecular;
  const SulfurNow& before = dose.before.now;
  const SulfurRange& wanted = dose.record.wanted_mg_l;
  const double most_mg_l = cap_mg_l * (1.0 + 1e-12);  // a level that stands exactly at the cap stands
  if (!wants_level || !(before.total_mg_l + wanted.low > most_mg_l)) return std::nullopt;
  Shortfall shortfall{.wanted_total_mg_l = {before.total_mg_l + wanted.low, before.total_mg_l + wanted.planned,
                                            before.total_mg_l + wanted.high}};
  shortfall.perhaps = shortfall.wanted_total_mg_l.high <= most_mg_l;
  shortfall.acetaldehyde_binds_mg_l = acetaldehyde_capacity_mg_l(before.acetaldehyde_mg_l);
  shortfall.full_before = before.total_mg_l >= cap_mg_l;
  shortfall.best = dose.before;
  if (!shortfall.full_before)
    shortfall.best = moment_of(scenario, dose.record.date, with_added(scenario, before, cap_mg_l - before.total_mg_l));
  return shortfall;
}

namespace {

TestedMoment tested(const Date& date, int row, bool at_draw, bool past, double dose_mg_l, const SulfurNow& now) {
  return {date,
          row,
          at_draw,
          past,
          dose_mg_l,
          now.total_mg_l,
          now.free_mg_l.planned,
          now.sugar_g_l,
          now.alcohol_pct,
          now.sulfate_g_l};
}

}  // namespace

std::vector<TestedMoment> tested_moments(const Trajectory& run) {
  std::vector<TestedMoment> moments;
  for (const DoseRecord& dose : run.doses)
    moments.push_back(tested(dose.date, dose.row, false, dose.past, dose.dose_mg_l, dose.after));
  for (const DrawRecord& draw : run.draws)
    moments.push_back(tested(draw.date, draw.row, true, draw.past, 0.0, sulfur_of(draw)));
  return moments;
}

}  // namespace tierce
