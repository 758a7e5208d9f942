// Doses: what a level takes, and what goes in.
#include <algorithm>
#include <cmath>

#include "engine/run/ageing.h"
#include "engine/run/fast/rows.h"
#include "engine/run/readings.h"

namespace tierce {
namespace {

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
  DoseRecord record{.at = dose.at,
                    .date = event.date,
                    .row = row,
                    .past = event.past,
                    .event = static_cast<std::size_t>(&event - run.line.events.data())};
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
