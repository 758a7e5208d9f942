#include "engine/readings.h"

#include <algorithm>
#include <cmath>

#include "engine/ageing.h"
#include "engine/alcoholometry.h"
#include "engine/evaporation.h"
#include "engine/rows.h"

namespace tierce {
namespace {

/// The alcohol that goes with `lost_l` by a gauge: as by evaporation; in a tank, and in a tier that loses nothing and
/// states no vapour, at the wine's own strength, which then stays.
std::optional<double> alcohol_with_l(const Run& run, int row, double lost_l) {
  const double held_l = run.now.volume[row], held_alcohol_l = run.now.alcohol_l(row);
  if (!run.scenario.is_tank(row)) {
    const Tier& tier = run.tier(row);
    if (tier.vapour_stated || tier.evaporation.per_year > 0.0)
      return alcohol_lost_l(run.scenario.cellar, tier, held_l, held_alcohol_l, lost_l);
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

struct Measured {
  const char* quantity;
  double Composition::*value;
  Solute solute;
};
constexpr Measured kMeasured[] = {
    {"sugar", &Composition::sugar_g_l, kSugar},
    {"acidity", &Composition::acidity_g_l, kAcid},
    {"va", &Composition::va_g_l, kVolatileAcid},
    {"sulfate", &Composition::sulfate_g_l, kSulfate},
    {"so2 total", &Composition::so2_total_mg_l, kSo2Total},
    {"so2 free", &Composition::so2_free_mg_l, kSo2Free},
    {"acetaldehyde", &Composition::acetaldehyde_mg_l, kAldehyde},
    {"pyruvic", &Composition::pyruvic_mg_l, kPyruvic},
    {"oxoglutaric", &Composition::oxoglutaric_mg_l, kOxoglutaric},
    {"galacturonic", &Composition::galacturonic_mg_l, kGalacturonic},
};

/// Free SO2 that a dose aims at, mg/L; unknown if something needed is unknown.
double wanted_free_mg_l(const Run& run, int row, const Dose& dose) {
  if (dose.kind == Dose::Kind::to_free) return dose.value;
  const double temperature_c =
      is_known(run.scenario.cellar.temperature_c) ? run.scenario.cellar.temperature_c : kDefaultCellarC;
  const Pk pk = so2_pk(run.scenario.so2_pk, run.now.alcohol_pct(row), temperature_c);
  return free_for_molecular_mg_l(dose.value, run.now.ph(row), pk.value);
}

/// What a level takes in each reckoning, mg/L, and at the least as much at the low end as planned.
SulfurRange level_takes_mg_l(const Run& run, int row, double wanted_free_mg_l) {
  const Stock& now = run.now;
  const double* const held = now.solutes.row(row).data();
  if (is_known(now.solutes(row, kAldehyde))) {
    const double total_mg_l = now.per_litre(row, kSo2Total);
    const double planned =
        std::max(total_beside_acetaldehyde_mg_l(wanted_free_mg_l, now.per_litre(row, kAldehyde)) - total_mg_l, 0.0);
    const double low = addition_with_binders_mg_l(wanted_free_mg_l, total_mg_l, low_binders(held, now.volume[row]));
    return {std::max(planned, low), planned, planned};
  }
  const SulfurRange free_mg_l = free_so2_mg_l(now, row);
  const SulfurRange binds = binding_shares(run.scenario, now.per_litre(row, kSugar));
  return {addition_without_binders_mg_l(wanted_free_mg_l, free_mg_l.low, binds.low),
          addition_without_binders_mg_l(wanted_free_mg_l, free_mg_l.planned, binds.planned),
          addition_without_binders_mg_l(wanted_free_mg_l, free_mg_l.high, binds.high)};
}

/// What a dose adds to a row, mg/L, planned; what the ends would take beside it. Unknown if something needed is
/// unknown.
SulfurRange dose_mg_l(const Run& run, int row, const Dose& dose, double litres) {
  if (dose.kind == Dose::Kind::plain) return {dose.value, dose.value, dose.value};
  if (dose.kind == Dose::Kind::metabisulfite) {
    const double added_mg_l =
        1000.0 * so2_grams_of_metabisulfite(dose.value, run.scenario.metabisulfite_yield) / litres;
    return {added_mg_l, added_mg_l, added_mg_l};
  }
  return level_takes_mg_l(run, row, wanted_free_mg_l(run, row, dose));
}

Fault unknown_for_dose(const Run& run, int row, const Dose& dose) {
  const Stock& now = run.now;
  std::string missing;
  const auto lacks = [&](double value, const char* key) {
    if (!is_known(value)) missing += (missing.empty() ? "'" : ", '") + std::string(key) + "'";
  };
  const bool to_level = dose.kind == Dose::Kind::to_free || dose.kind == Dose::Kind::to_molecular;
  if (is_known(now.solutes(row, kAldehyde)) || !std::isinf(dose.at_most_total_mg_l))
    lacks(now.solutes(row, kSo2Total), "so2: total");
  if (!is_known(now.solutes(row, kAldehyde)) && to_level) lacks(now.solutes(row, kSo2Free), "so2: free");
  if (dose.kind == Dose::Kind::to_molecular) {
    lacks(now.ph(row), "pH");
    lacks(now.alcohol_pct(row), "alcohol");
  }
  return {{dose.at,
           "the dose cannot be worked out: " + missing + " of the wine in tier '" + run.scenario.name_of(row) +
               "' is not known",
           "a lot, an opening or an analysis that states it; or a plain dose in mg/L", ""},
          row,
          0.0};
}

Fault too_large(const Run& run, int row, const Dose& dose, double mg_l) {
  const std::string litres = litres_text(std::round(mg_l));
  return {{dose.at,
           "the dose comes to " + litres.substr(0, litres.size() - 2) + " mg/L of SO2 in " + named(run, {{}, row, -1}),
           "up to 2,000 mg/L, in whatever form", dose.kind == Dose::Kind::metabisulfite ? "grams for kilograms?" : ""},
          row,
          0.0};
}

/// The dose that is wanted, held down to what may be in the wine just after it. An unknown total cannot be held down.
double within_most(const Run& run, int row, const Dose& dose, double wanted_mg_l) {
  if (std::isinf(dose.at_most_total_mg_l)) return wanted_mg_l;
  const double total_mg_l = run.now.per_litre(row, kSo2Total);
  if (!is_known(total_mg_l)) return kUnknown;
  return std::max(0.0, std::min(wanted_mg_l, dose.at_most_total_mg_l - total_mg_l));
}

void put_in(Run& run, int row, double added_mg) {
  double* const held = run.now.solutes.row(row).data();
  held[kSo2Total] += added_mg;
  // Where a binder is known, settle() replaces what is free.
  const SulfurRange binds = binding_shares(run.scenario, run.now.per_litre(row, kSugar));
  held[kSo2Free] += (1.0 - binds.planned) * added_mg;
  held[kSo2FreeLow] += (1.0 - binds.low) * added_mg;
  held[kSo2FreeHigh] += (1.0 - binds.high) * added_mg;
  run.out.flows.solutes(kDosed, kSo2Total) += added_mg;
  settle(run, row);
}

void add_sulfur(Run& run, const Event& event, const Dose& dose, int row, const SulfurRange& wanted_mg_l) {
  Stock& now = run.now;
  const double litres = now.volume[row], dose_mg_l = within_most(run, row, dose, wanted_mg_l.planned);
  if (run.keep == Keep::flows) return put_in(run, row, dose_mg_l * litres);
  const bool to_level = dose.kind == Dose::Kind::to_free || dose.kind == Dose::Kind::to_molecular;
  now.note({.kind = DissolvedAct::Kind::dose,
            .row = row,
            .litres = litres,
            .mg_l = wanted_mg_l.planned,
            .wanted_free_mg_l = to_level ? wanted_free_mg_l(run, row, dose) : kUnknown,
            .at_most_mg_l = dose.at_most_total_mg_l});
  DoseRecord record{.at = dose.at, .date = event.date, .row = row, .past = event.past};
  record.dose_mg_l = dose_mg_l;
  record.wanted_mg_l = wanted_mg_l;
  record.litres = litres;
  record.low_end_mg_l = within_most(run, row, dose, wanted_mg_l.low);
  record.before = sulfur_of(now, row);
  put_in(run, row, dose_mg_l * litres);
  record.after = sulfur_of(now, row);
  run.out.doses.push_back(record);
  if (!run.out.refreshes.empty() && run.out.refreshes.back().date == event.date)
    run.out.refreshes.back().doses.push_back(record);
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

std::optional<Fault> apply(Run& run, const Event& event, const Dose& dose) {
  auto& doses_mg_l = run.doses_mg_l;
  doses_mg_l.clear();
  double litres = 0.0;
  const auto take_in = [&](int row) {
    doses_mg_l.emplace_back(row, SulfurRange{});
    litres += run.now.volume[row];
  };
  if (dose.place) take_in(dose.place->row);
  for (int row = 0; !dose.place && row < run.scenario.tier_count(); ++row)
    if (run.now.volume[row] > 0.0) take_in(row);
  if (!(litres > 0.0))
    return Fault{
        {dose.at, "the dose finds no wine on " + iso_text(event.date), "", ""}, dose.place ? dose.place->row : 0, 0.0};
  for (auto& [row, dose_of_row] : doses_mg_l) {
    dose_of_row = dose_mg_l(run, row, dose, litres);
    const double goes_in_mg_l = within_most(run, row, dose, dose_of_row.planned);
    if (!is_known(goes_in_mg_l)) return unknown_for_dose(run, row, dose);
    if (dose.kind != Dose::Kind::plain && goes_in_mg_l > kLargestDoseMgL)  // a plain one is bounded where it is stated
      return too_large(run, row, dose, goes_in_mg_l);
  }
  for (const auto& [row, dose_of_row] : doses_mg_l) add_sulfur(run, event, dose, row, dose_of_row);
  return std::nullopt;
}

}  // namespace tierce
