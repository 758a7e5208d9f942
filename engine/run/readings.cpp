#include "engine/run/readings.h"

#include <algorithm>
#include <cmath>

#include "engine/run/ageing.h"
#include "engine/run/evaporation.h"
#include "engine/run/fast/rows.h"
#include "engine/wine/alcoholometry.h"

namespace tierce {
namespace {

/// The alcohol that goes with `lost_l` by a gauge: as by evaporation; in a tank, and in a tier that loses nothing and
/// states no vapour, at the wine's own strength, which then stays.
std::optional<double> alcohol_with_l(Run& run, int row, double lost_l) {
  const double held_l = run.now.volume[row], held_alcohol_l = run.now.alcohol_l(row);
  if (!run.scenario.is_tank(row)) {
    const Tier& tier = run.tier(row);
    if (tier.vapour_stated || tier.evaporation.per_year > 0.0)
      return alcohol_lost_l(run.scenario.cellar, tier, held_l, held_alcohol_l, lost_l, run.curves);
  }
  return lost_l * held_alcohol_l / held_l;
}

/// Sets a row's volume to a gauge; the difference counts as evaporation (design decision 9).
std::optional<Fault> book_difference(Run& run, int row, double lost_l, const At& at) {
  Stock& now = run.now;
  const double held_alcohol_l = now.alcohol_l(row);
  const auto lost_alcohol = alcohol_with_l(run, row, lost_l);
  if (!lost_alcohol) return no_vapour_known(run, row);
  const double lost_alcohol_l = *lost_alcohol;
  if (lost_alcohol_l >= held_alcohol_l && lost_alcohol_l > 0.0)
    return Fault{{at, "the gauge would take more alcohol from tier '" + run.scenario.name_of(row) + "' than it holds",
                  "", "book a loss with a known cause as 'lose' before the gauge"},
                 row,
                 0.0};
  if (more_alcohol_than_wine(held_alcohol_l - lost_alcohol_l, now.volume[row] - lost_l))
    return Fault{{at, "the gauge would leave more alcohol than wine in " + named(run, {at, row, -1}), "",
                  "book a loss with a known cause as 'lose' before the gauge"},
                 row,
                 0.0};
  const double volume_part = lost_l / now.volume[row];
  const double alcohol_part = lost_alcohol_l == 0.0 ? 0.0 : lost_alcohol_l / held_alcohol_l;
  Flows& flows = run.out.flows;
  const Eigen::Index used = now.used;
  move_part(now.litres.row(row).data(), flows.litres.row(kGauged).data(), used, volume_part);
  move_part(now.alcohol.row(row).data(), flows.alcohol.row(kGauged).data(), used, alcohol_part);
  if (!now.pools.empty()) scale(now.pools[static_cast<std::size_t>(row)], 1.0 - volume_part);
  now.solutes(row, kPhByLitres) *= 1.0 - volume_part;
  now.volume[row] -= lost_l;
  run.year().litres[kGauged] += lost_l;
  run.year().alcohol[kGauged] += lost_alcohol_l;
  return std::nullopt;
}

/// Litres at 20 °C of a gauge read at the wine's temperature; unknown if that is outside the tables.
double at_20_c(const Run& run, const Gauge& gauge, int row, double read_l) {
  if (!is_known(gauge.temperature_c)) return read_l;
  return volume_at_20c_l(read_l, gauge.temperature_c, run.now.alcohol_pct(row)).value_or(kUnknown);
}

void set_levels(Run& run, const Place& place, double held_l, double measured_l) {
  Levels& levels = run.now.levels;
  if (place.vessel >= 0) levels.change(place.row)[static_cast<std::size_t>(place.vessel)] = measured_l;
  else if (measured_l <= held_l) levels.scale(place.row, measured_l / held_l);
  else levels.fill(place.row, measured_l - held_l);
}

std::string percent_text(double part) {
  const std::string litres = litres_text(100.0 * part);  // rounded alike
  return litres.substr(0, litres.size() - 1) + "%";
}

double capacity_l(const Run& run, const Place& place) {
  if (place.vessel < 0) return run.now.levels.capacity_of(place.row);
  return run.now.levels.capacities_of(place.row)[static_cast<std::size_t>(place.vessel)];
}

/// A vessel holds no more than its capacity, save by the error with which it was read.
std::optional<Fault> above_capacity(const Run& run, const Gauge& gauge, const Place& place, double read_l) {
  const double most_l = capacity_l(run, place), over_l = read_l - most_l;
  const bool stated = is_known(gauge.error_fraction) || is_known(gauge.error_l);
  const double error_l = is_known(gauge.error_l)          ? gauge.error_l
                         : is_known(gauge.error_fraction) ? gauge.error_fraction * read_l
                                                          : kUsualGaugeError * read_l;
  if (!(over_l > error_l + run.tolerance_l[place.row])) return std::nullopt;
  return Fault{{place.at,
                "the gauge reads " + litres_text(read_l) + " in " + named(run, place) + ", " +
                    percent_text(over_l / most_l) + " more than its capacity of " + litres_text(most_l),
                "a reading up to the capacity, and above it by the gauge's error: " + litres_text(error_l) +
                    (stated ? "" : ", 1 % where none is stated"),
                ""},
               place.row,
               -over_l};
}

/// What a gauge found above the capacity stays so at the day's end (overfull() in cellar_work.h).
void note_over(Run& run, const Place& place, double measured_l) {
  double& over_by = run.over_by[static_cast<std::size_t>(place.row)];
  const double found = std::max(0.0, measured_l / capacity_l(run, place) - 1.0);
  over_by = place.vessel < 0 ? found : std::max(over_by, found);
}

std::optional<Fault> gauge_one(Run& run, const Event& event, const Gauge& gauge, const Place& place, double read_l) {
  Stock& now = run.now;
  const int row = place.row;
  const double held_l = place.vessel < 0 ? now.volume[row] : now.levels.of(row, place.vessel);
  const double measured_l = at_20_c(run, gauge, row, read_l);
  if (!is_known(measured_l))
    return Fault{
        {place.at, "the gauge cannot be brought to 20 °C", "a wine of known strength between -20 and 40 °C", ""},
        row,
        0.0};
  const double error_l = is_known(gauge.error_fraction) ? gauge.error_fraction * measured_l : gauge.error_l;
  run.out.readings.push_back({place.at, event.date, row, place.vessel, "volume", measured_l, held_l, false, error_l});
  if (auto fault = above_capacity(run, gauge, place, read_l)) return fault;
  const double lost_l = held_l - measured_l;
  if (!(now.volume[row] > 0.0) && measured_l > 0.0)
    return Fault{
        {place.at,
         "the gauge reads " + litres_text(measured_l) + " in " + named(run, place) + ", where the book has no wine", "",
         "book what was put in ('add', 'move' or 'refill') before the gauge"},
        row,
        0.0};
  if (now.volume[row] - lost_l <= run.tolerance_l[row] && now.volume[row] > 0.0)
    return Fault{
        {place.at, "the gauge finds no wine in " + named(run, place) + ", where the book has " + litres_text(held_l),
         "", "book where it went ('lose', 'draw' or 'move') before the gauge"},
        row,
        0.0};
  note_over(run, place, measured_l);
  if (lost_l == 0.0) return std::nullopt;
  if (auto fault = book_difference(run, row, lost_l, place.at)) return fault;
  set_levels(run, place, held_l, measured_l);
  look_at_levels(run, row, place.at);
  settle_sulfur(now, row);
  return std::nullopt;
}

/// One measured value beside the book's. Returns true if the book is to take it over.
bool file_reading(Run& run, const Event& event, const Analyse& analyse, const char* quantity, double measured,
                  double book_value) {
  if (!is_known(measured)) return false;
  run.out.readings.push_back({event.at, event.date, analyse.place.row, analyse.place.vessel, quantity, measured,
                              book_value, analyse.keep_only, kUnknown, analyse.leave_out, analyse.method});
  return !analyse.keep_only;
}

void set_alcohol(Run& run, int row, double measured_pct) {
  Stock& now = run.now;
  const double held_l = now.alcohol_l(row);
  const double measured_l = now.volume[row] * measured_pct / 100.0;
  auto alcohol = now.alcohol.row(row).head(now.used);
  const Amounts before = alcohol;
  if (held_l > 0.0) alcohol *= measured_l / held_l;
  else alcohol = now.litres.row(row).head(now.used) * (measured_pct / 100.0);  // unknown so far: all lots alike
  run.out.flows.alcohol.row(kAnalysed).head(now.used) += alcohol - before;
  run.year().alcohol[kAnalysed] += measured_l - held_l;
}

void set_solute(Run& run, int row, Solute solute, double per_litre) {
  const double measured = per_litre * run.now.volume[row];
  run.out.flows.solutes(kAnalysed, solute) += measured - run.now.solutes(row, solute);
  run.now.solutes(row, solute) = measured;
}

void set_ph(Run& run, int row, double ph) {
  run.now.measured_ph[static_cast<std::size_t>(row)] = ph;
  run.now.solutes(row, kPhByAcid) = ph * run.now.solutes(row, kAcid);
  run.now.solutes(row, kPhByLitres) = ph * run.now.volume[row];
}

void set_low_binders(Run& run, int row, const Binders& binders) {
  set_solute(run, row, kAldehydeLow, binders.acetaldehyde_mg_l);
  set_solute(run, row, kPyruvic, binders.pyruvic_mg_l);
  set_solute(run, row, kOxoglutaric, binders.oxoglutaric_mg_l);
  set_solute(run, row, kGalacturonic, binders.galacturonic_mg_l);
  set_solute(run, row, kGlucoseHeld, binders.glucose_mg_l);
}

/// What is measured of a row for the planned reckoning is so for the two others.
void measured_in_all(Run& run, int row, const Composition& found) {
  if (is_known(found.so2_free_mg_l))
    for (const Solute free : {kSo2FreeLow, kSo2FreeHigh}) set_solute(run, row, free, found.so2_free_mg_l);
  if (is_known(found.acetaldehyde_mg_l)) set_solute(run, row, kAldehydeLow, found.acetaldehyde_mg_l);
  if (is_known(found.sugar_g_l)) set_solute(run, row, kGlucoseHeld, 1000.0 * kGlucoseOfSugar * found.sugar_g_l);
}

/// A lower total takes the book's estimates of the free along with it.
void keep_within_total(Run& run, int row) {
  for (const Solute free : {kSo2Free, kSo2FreeLow, kSo2FreeHigh})
    if (run.now.solutes(row, free) > run.now.solutes(row, kSo2Total))
      set_solute(run, row, free, run.now.per_litre(row, kSo2Total));
}

/// With acetaldehyde in the book, a measured free SO2 tells how much of it really binds: for each reckoning the amount
/// that leaves this free from this total (the law of mass action turned round). It is believed before an acetaldehyde.
void fit_binders(Run& run, int row, double free_mg_l) {
  const double total_mg_l = run.now.per_litre(row, kSo2Total);
  if (!is_known(run.now.solutes(row, kAldehyde)) || !is_known(total_mg_l) || !(free_mg_l > 0.0) ||
      total_mg_l < free_mg_l)
    return;
  set_solute(run, row, kAldehyde, binders_that_meet(free_mg_l, total_mg_l, {}).acetaldehyde_mg_l);
  const Binders low = low_binders(run.now.solutes.row(row).data(), run.now.volume[row]);
  set_low_binders(run, row, binders_that_meet(free_mg_l, total_mg_l, low));
}

}  // namespace

std::optional<Fault> apply(Run& run, const Event& event, const Gauge& gauge) {
  if (gauge.read_l.size() == 1) return gauge_one(run, event, gauge, gauge.read_l[0].first, gauge.read_l[0].second);
  // Several vessels are one entry: all are taken over, or none.
  const Stock now = run.now;
  const Flows flows = run.out.flows;
  const auto readings = run.out.readings;
  const auto filled_today = run.filled_today;
  const auto over_by = run.over_by;
  for (const auto& [place, read_l] : gauge.read_l)
    if (auto fault = gauge_one(run, event, gauge, place, read_l)) {
      run.now = now;
      run.out.flows = flows;
      run.out.readings = readings;
      run.filled_today = filled_today;
      run.over_by = over_by;
      return fault;
    }
  return std::nullopt;
}

std::optional<Fault> apply(Run& run, const Event& event, const Analyse& analyse) {
  const int row = analyse.place.row;
  Stock& now = run.now;
  if (!(now.volume[row] > 0.0))
    return Fault{
        {event.at,
         "the analysis is of " + named(run, analyse.place) + ", where the book has no wine on " + iso_text(event.date),
         "", ""},
        row,
        0.0};
  const Composition& found = analyse.found;
  if (!analyse.keep_only && !is_known(found.so2_total_mg_l) && found.so2_free_mg_l > now.per_litre(row, kSo2Total))
    return Fault{{event.at,
                  "the analysis finds more free SO2 than the book has in total in " + named(run, analyse.place) +
                      " on " + iso_text(event.date),
                  "so2: {free, total}, both measured"},
                 row,
                 0.0};
  if (file_reading(run, event, analyse, "alcohol", found.alcohol_pct, now.alcohol_pct(row)))
    set_alcohol(run, row, found.alcohol_pct);
  for (const Measured& measured : kMeasured)
    if (file_reading(run, event, analyse, measured.quantity, found.*measured.value,
                     now.per_litre(row, measured.solute)))
      set_solute(run, row, measured.solute, found.*measured.value);
  if (file_reading(run, event, analyse, "pH", found.ph, now.ph(row))) set_ph(run, row, found.ph);
  if (analyse.keep_only) return std::nullopt;
  measured_in_all(run, row, found);
  if (!is_known(found.so2_free_mg_l)) keep_within_total(run, row);
  fit_binders(run, row, found.so2_free_mg_l);
  settle(run, row);
  return std::nullopt;
}

}  // namespace tierce
