#include "engine/sulfur_plan.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

#include "engine/simulate.h"

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

/// The look of a day; a run that stopped has only the one of its end.
const Stock& seen(const Trajectory& run, const std::map<Date, std::size_t>& index, const Date& date) {
  return run.looks[std::min(index.at(date), run.looks.size() - 1)];
}

/// For each record of a dose the event it comes from: every dose is marked with its place in the list, and run.
std::vector<std::size_t> events_of_doses(const Scenario& scenario, Timeline line) {
  for (std::size_t i = 0; i < line.events.size(); ++i)
    if (auto* dose = std::get_if<Dose>(&line.events[i].act)) dose->at = {static_cast<int>(i), 0};
  std::vector<std::size_t> events;
  for (const DoseRecord& record : simulate(scenario, line).doses)
    events.push_back(static_cast<std::size_t>(record.at.line));
  return events;
}

std::vector<std::size_t> events_of_draws(const Timeline& line, const std::vector<DrawRecord>& draws) {
  std::vector<std::size_t> events;
  for (std::size_t i = 0; i < line.events.size() && events.size() < draws.size(); ++i) {
    const auto* draw = std::get_if<Draw>(&line.events[i].act);
    const DrawRecord& record = draws[events.size()];
    if (draw != nullptr && record.date == line.events[i].date && record.row == draw->from.row) events.push_back(i);
  }
  return events;
}

/// The same with every dose as it was worked out, so that another share that binds changes nothing but what is free.
Timeline with_doses_as_given(const Timeline& line, const std::vector<DoseRecord>& doses,
                             const std::vector<std::size_t>& from) {
  Timeline given = line;
  given.events.clear();
  for (std::size_t i = 0, next = 0; i < line.events.size(); ++i) {
    if (next >= from.size() || from[next] != i) given.events.push_back(line.events[i]);
    for (; next < from.size() && from[next] == i; ++next) {
      Event event = line.events[i];
      event.act = Dose{
          .place = Place{doses[next].at, doses[next].row, -1}, .value = doses[next].dose_mg_l, .at = doses[next].at};
      given.events.push_back(event);
    }
  }
  return given;
}

// A moment, and what is not sure about it.

SulfurNow now_of(const Stock& stock, int row) {
  return {stock.per_litre(row, kSo2Free), stock.per_litre(row, kSo2Total), stock.per_litre(row, kAldehyde),
          stock.ph(row), stock.alcohol_pct(row)};
}

SulfurNow now_of(const DrawRecord& draw) {
  const auto per_litre = [&](Solute solute) { return draw.wine.solutes[solute] / draw.volume_l; };
  return {per_litre(kSo2Free), per_litre(kSo2Total), per_litre(kAldehyde), draw.ph,
          100.0 * draw.wine.alcohol.sum() / draw.volume_l};
}

double molecular_in(const Scenario& scenario, const SulfurNow& now, double free_mg_l) {
  const double cellar_c = is_known(scenario.cellar.temperature_c) ? scenario.cellar.temperature_c : kDefaultCellarC;
  return molecular_so2_mg_l(free_mg_l, now.ph, so2_pk(scenario.so2_pk, now.alcohol_pct, cellar_c).value);
}

/// Free SO2 beside acetaldehyde alone, at a binding constant of choice: the closed form of sulfur.cpp.
double free_at_kd_mg_l(const SulfurNow& now, double kd_mmol_l) {
  const double half_mg_l = kd_mmol_l * kSo2GramsPerMole;
  const double capacity_mg_l = now.acetaldehyde_mg_l * kSo2GramsPerMole / kAcetaldehyde.grams_per_mole;
  const double surplus = now.total_mg_l - capacity_mg_l - half_mg_l;
  const double root = std::sqrt(surplus * surplus + 4.0 * half_mg_l * now.total_mg_l);
  return surplus > 0.0 ? (surplus + root) / 2.0 : 2.0 * half_mg_l * now.total_mg_l / (root - surplus);
}

/// The first is the book's; the others are the same wine with the two shares that may bind.
SulfurMoment moment_of(const Scenario& scenario, const Date& date, const std::array<SulfurNow, 3>& ways) {
  SulfurMoment moment{.date = date, .now = ways[0]};
  const SulfurNow& now = moment.now;
  if (!is_known(now.free_mg_l)) return moment;
  if (is_known(now.acetaldehyde_mg_l) && is_known(now.total_mg_l)) {
    moment.free_low_mg_l = std::min(now.free_mg_l, free_at_kd_mg_l(now, kTightKd));
    moment.free_high_mg_l = now.free_mg_l;
  } else {
    moment.free_low_mg_l = std::min({now.free_mg_l, ways[1].free_mg_l, ways[2].free_mg_l});
    moment.free_high_mg_l = std::max({now.free_mg_l, ways[1].free_mg_l, ways[2].free_mg_l});
  }
  moment.molecular_mg_l = molecular_in(scenario, now, now.free_mg_l);
  moment.molecular_low_mg_l = molecular_in(scenario, now, moment.free_low_mg_l);
  moment.molecular_high_mg_l = molecular_in(scenario, now, moment.free_high_mg_l);
  return moment;
}

/// The run three times: as stated, and with the two shares that may bind where the file states none.
struct Replays {
  Watched watch;
  std::array<Trajectory, 3> runs{};
};

Replays replayed(const Scenario& scenario, Timeline given) {
  Replays replays{watched(std::move(given))};
  Scenario way = scenario;
  const double stated = scenario.so2_binding_fraction;
  const bool sure = scenario.so2_binding_stated;
  const std::array<double, 3> fractions{stated, sure ? stated : kBindsLess, sure ? stated : kBindsMore};
  for (std::size_t i = 0; i < fractions.size(); ++i) {
    way.so2_binding_fraction = fractions[i];
    replays.runs[i] = simulate(way, replays.watch.line);
  }
  return replays;
}

template <class NowIn>
std::array<SulfurNow, 3> each_way(const Replays& replays, NowIn now_in) {
  return {now_in(replays.runs[0]), now_in(replays.runs[1]), now_in(replays.runs[2])};
}

SulfurMoment just_after(const Scenario& scenario, const Replays& replays, std::size_t dose) {
  const DoseRecord& record = replays.runs[0].doses[dose];
  SulfurMoment moment =
      moment_of(scenario, record.date, each_way(replays, [&](const Trajectory& run) { return run.doses[dose].after; }));
  const Stock& stock = seen(replays.runs[0], replays.watch.after, record.date);
  moment.sugar_g_l = stock.per_litre(record.row, kSugar);
  moment.sulfate_g_l = stock.per_litre(record.row, kSulfate);
  return moment;
}

SulfurMoment at_the_draw(const Scenario& scenario, const Replays& replays, std::size_t draw) {
  const DrawRecord& record = replays.runs[0].draws[draw];
  SulfurMoment moment = moment_of(scenario, record.date,
                                  each_way(replays, [&](const Trajectory& run) { return now_of(run.draws[draw]); }));
  moment.sugar_g_l = record.wine.solutes[kSugar] / record.volume_l;
  moment.sulfate_g_l = record.wine.solutes[kSulfate] / record.volume_l;
  return moment;
}

SulfurMoment before_the_day(const Scenario& scenario, const Replays& replays, const Date& date, int row) {
  const auto& index = replays.watch.before;
  SulfurMoment moment = moment_of(
      scenario, date, each_way(replays, [&](const Trajectory& run) { return now_of(seen(run, index, date), row); }));
  moment.sugar_g_l = seen(replays.runs[0], index, date).per_litre(row, kSugar);
  moment.sulfate_g_l = seen(replays.runs[0], index, date).per_litre(row, kSulfate);
  return moment;
}

/// The next draw from a tier counts for every tier; on its day, one from the dosed row itself comes first.
std::optional<std::size_t> next_draw_of(const Scenario& scenario, const std::vector<DrawRecord>& draws,
                                        const std::vector<std::size_t>& event_of_draw, std::size_t event, int row) {
  std::optional<std::size_t> next;
  for (std::size_t i = 0; i < event_of_draw.size(); ++i) {
    if (event_of_draw[i] < event) continue;
    const bool own = draws[i].row == row;
    if (next && draws[*next].date != draws[i].date) break;
    if (own) return i;
    if (!next && !scenario.is_tank(row) && !scenario.is_tank(draws[i].row)) next = i;
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

std::vector<PlannedDose> planned_doses(const Scenario& scenario, const Timeline& line, const Trajectory& run) {
  const auto event_of_dose = events_of_doses(scenario, line), event_of_draw = events_of_draws(line, run.draws);
  const Replays replays = replayed(scenario, with_doses_as_given(line, run.doses, event_of_dose));
  const Trajectory& book = replays.runs[0];
  std::vector<PlannedDose> plan;
  for (std::size_t i = 0; i < event_of_dose.size(); ++i) {
    PlannedDose dose{.record = run.doses[i], .asked = std::get<Dose>(line.events[event_of_dose[i]].act)};
    const DoseRecord& record = dose.record;
    dose.before =
        moment_of(scenario, record.date, each_way(replays, [&](const Trajectory& way) { return way.doses[i].before; }));
    dose.after = just_after(scenario, replays, i);
    dose.before.sugar_g_l = dose.after.sugar_g_l;  // a dose brings no sugar and no sulfate
    dose.before.sulfate_g_l = dose.after.sulfate_g_l;
    const Stock& stock = seen(book, replays.watch.after, record.date);
    dose.vessels = shared_out(scenario, record, stock);
    const Stock* later = nullptr;
    if (const auto draw = next_draw_of(scenario, run.draws, event_of_draw, event_of_dose[i], record.row)) {
      const DrawRecord& drawn = run.draws[*draw];
      if (drawn.date > record.date) later = &seen(book, replays.watch.before, drawn.date);
      dose.next = NextDraw{drawn.name, drawn.row == record.row, {}};
      dose.next->wine = drawn.row == record.row ? at_the_draw(scenario, replays, *draw)
                        : later == nullptr      ? dose.after
                                                : before_the_day(scenario, replays, drawn.date, record.row);
    }
    dose.oxygen = oxygen_budget(scenario, record, stock, later);
    plan.push_back(std::move(dose));
  }
  return plan;
}

std::optional<Shortfall> shortfall_under(const Scenario& scenario, const PlannedDose& dose, double cap_mg_l) {
  const bool wants_level = dose.asked.kind == Dose::Kind::to_free || dose.asked.kind == Dose::Kind::to_molecular;
  const SulfurNow& before = dose.before.now;
  const double wanted_total_mg_l = before.total_mg_l + dose.record.wanted_mg_l;
  constexpr double kRounding = 1e-12;  // of the cap: a level that stands exactly at the cap stands
  if (!wants_level || !(wanted_total_mg_l > cap_mg_l * (1.0 + kRounding))) return std::nullopt;
  Shortfall shortfall{.wanted_total_mg_l = wanted_total_mg_l};
  shortfall.acetaldehyde_binds_mg_l = before.acetaldehyde_mg_l * kSo2GramsPerMole / kAcetaldehyde.grams_per_mole;
  shortfall.full_before = before.total_mg_l >= cap_mg_l;
  shortfall.best = dose.before;
  if (shortfall.full_before) return shortfall;
  const double addition_mg_l = cap_mg_l - before.total_mg_l;
  const auto with = [&](double stays_free_mg_l) {
    SulfurNow now = before;
    now.total_mg_l = cap_mg_l;
    now.free_mg_l = is_known(now.acetaldehyde_mg_l)
                        ? free_for_total_mg_l(cap_mg_l, {.acetaldehyde_mg_l = now.acetaldehyde_mg_l})
                        : before.free_mg_l + stays_free_mg_l;
    return now;
  };
  const double stated = scenario.so2_binding_fraction;
  const bool sure = scenario.so2_binding_stated;
  shortfall.best =
      moment_of(scenario, dose.record.date,
                {with((1.0 - stated) * addition_mg_l), with((1.0 - (sure ? stated : kBindsLess)) * addition_mg_l),
                 with((1.0 - (sure ? stated : kBindsMore)) * addition_mg_l)});
  return shortfall;
}

std::vector<TestedMoment> tested_moments(const Scenario& scenario, const Timeline& line) {
  const Watched watch = watched(line);
  const Trajectory run = simulate(scenario, watch.line);
  std::vector<TestedMoment> moments;
  for (const DoseRecord& dose : run.doses) {
    const Stock& stock = seen(run, watch.after, dose.date);
    moments.push_back({dose.date, dose.row, false, dose.past, dose.dose_mg_l, dose.after.total_mg_l,
                       dose.after.free_mg_l, stock.per_litre(dose.row, kSugar), dose.after.alcohol_pct,
                       stock.per_litre(dose.row, kSulfate)});
  }
  for (const DrawRecord& draw : run.draws) {
    const SulfurNow now = now_of(draw);
    moments.push_back({draw.date, draw.row, true, draw.past, 0.0, now.total_mg_l, now.free_mg_l,
                       draw.wine.solutes[kSugar] / draw.volume_l, now.alcohol_pct,
                       draw.wine.solutes[kSulfate] / draw.volume_l});
  }
  return moments;
}

}  // namespace tierce
