#include "cli/other_reserve.h"

#include <algorithm>
#include <filesystem>

#include "cli/outlook.h"
#include "cli/suggest.h"
#include "engine/money.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;

std::string whole_path(const fs::path& path) {
  std::error_code error;
  const fs::path whole = fs::weakly_canonical(fs::absolute(path, error), error);
  return error ? path.string() : whole.string();
}

std::string ring_text(const std::vector<std::string>& through, const std::string& again) {
  std::string text;
  for (const std::string& path : through) text += fs::path(path).filename().string() + " -> ";
  return text + fs::path(again).filename().string();
}

/// The one draw of the book of that name or day which left it; else what is wrong.
struct Found {
  const DrawRecord* draw = nullptr;
  std::string what, allowed, hint;
};

Found find_draw(const Outlook& other, const Origin& origin) {
  std::vector<const DrawRecord*> draws;
  std::vector<std::string> names;
  for (const DrawRecord& draw : other.run.draws) {
    names.push_back(draw.name);
    if (draw.name == origin.draw || iso_text(draw.date) == origin.draw) draws.push_back(&draw);
  }
  if (draws.empty())
    return {nullptr, "the book of " + origin.file + " has no draw '" + origin.draw + "'",
            names.empty() ? "a draw in its log" : "draws: " + listed_briefly(names),
            did_you_mean(nearest(origin.draw, names))};
  if (draws.size() > 1)
    return {nullptr,
            "the book of " + origin.file + " has " + std::to_string(draws.size()) + " draws '" + origin.draw + "'",
            "a draw with a name of its own", ""};
  if (draws[0]->to >= 0)
    return {nullptr,
            "the draw '" + origin.draw + "' of " + origin.file + " stands in tank '" +
                other.scenario.name_of(draws[0]->to) + "' of that book",
            "a draw that leaves that book: draw it from the tank there", ""};
  return {draws[0], "", "", ""};
}

bool same_lot(const Lot& a, const Lot& b) {
  return a.name == b.name && a.vintage == b.vintage && a.harvested == b.harvested && a.grapes == b.grapes &&
         a.grown == b.grown;
}

/// The name in this file of a lot of the other; the lot is added where it is not here yet.
std::string lot_here(Scenario& scenario, const Lot& lot, const std::string& reserve) {
  Lot copy = lot;
  for (;; copy.name = copy.name == lot.name ? lot.name + " (" + reserve + ")" : copy.name + "'") {
    const auto named =
        std::find_if(scenario.lots.begin(), scenario.lots.end(), [&](const Lot& one) { return one.name == copy.name; });
    if (named == scenario.lots.end()) break;
    if (same_lot(*named, copy)) return copy.name;
  }
  copy.elsewhere = true;
  copy.made.reset();
  copy.origin.reset();
  copy.brought.clear();
  scenario.lots.push_back(copy);
  return copy.name;
}

BroughtPart part_of(const Parcel& parcel, const Parcelled& wine, Eigen::Index column, double volume_l) {
  BroughtPart part;
  part.lot = parcel.lot;
  part.vintage = parcel.vintage;
  part.litres = wine.litres[column] / volume_l;
  part.entered = wine.entered[column] / volume_l;
  part.alcohol = wine.alcohol[column] / volume_l;
  if (wine.litre_years.size() > 0) part.wood_years = wine.litre_years[column] / volume_l;
  if (parcel.entered_known) part.entered_on = parcel.entered;
  part.zero_day = parcel.zero_day;
  part.older_than_day = parcel.older_than_day;
  part.wood_years_before = parcel.wood_years_before;
  part.outside = parcel.outside;
  return part;
}

Composition composition_of(const DrawRecord& draw) {
  const auto per_litre = [&](Solute solute) { return draw.wine.solutes[solute] / draw.volume_l; };
  Composition wine;
  wine.alcohol_pct = 100.0 * draw.wine.alcohol.sum() / draw.volume_l;
  wine.sugar_g_l = per_litre(kSugar);
  wine.acidity_g_l = per_litre(kAcid);
  wine.va_g_l = per_litre(kVolatileAcid);
  wine.sulfate_g_l = per_litre(kSulfate);
  wine.so2_total_mg_l = per_litre(kSo2Total);
  wine.so2_free_mg_l = per_litre(kSo2Free);
  wine.acetaldehyde_mg_l = per_litre(kAldehyde);
  wine.ph = draw.ph;
  return wine;
}

void fill(Scenario& scenario, std::size_t index, const Outlook& other, const DrawRecord& draw) {
  std::vector<BroughtPart> parts;
  for (Eigen::Index i = 0; i < draw.wine.litres.size(); ++i) {
    if (!(draw.wine.litres[i] > 0.0)) continue;
    const Parcel& parcel = other.line.parcels[static_cast<std::size_t>(i)];
    parts.push_back(part_of(parcel, draw.wine, i, draw.volume_l));
    const auto lot = std::find_if(other.line.lots.begin(), other.line.lots.end(),
                                  [&](const Lot& one) { return one.name == parcel.lot; });
    if (lot == other.line.lots.end()) continue;
    Lot known = *lot;
    known.came = scenario.lots[index].came;  // how it came here, not there
    parts.back().lot = lot_here(scenario, known, other.scenario.reserve);
  }
  Lot& lot = scenario.lots[index];
  lot.brought = std::move(parts);
  lot.wine = composition_of(draw);
  lot.harvested = draw.date;
  lot.harvested_stated = true;
  if (!is_known(lot.cost.per_litre)) lot.cost = {cost_per_l(draw), currency_of(other.scenario), lot.origin->at};
  lot.made = LotMade{lot.origin->at, draw.volume_l, draw.date, 0.0, {}};
}

/// A file that one of the lots names; read once, however many lots name it, here and in the files between.
const LoadedScenario& other_file(const std::string& path, const Limits& limits, const ReadBefore& before) {
  const auto known = before.known->find(path);
  if (known != before.known->end()) return known->second;
  return before.known->emplace(path, load_scenario(path, limits, before)).first->second;
}

/// What a faulty file says of itself where it is named.
Problem fault_of(const Origin& origin, const Problem& first) {
  const bool read = first.at.line > 0;
  return {
      origin.at,
      origin.file + (read ? " is faulty in line " + std::to_string(first.at.line) : " is not read") + ": " + first.what,
      read ? "a sound file; 'tierce check' shows its faults" : "a file that can be read", "", false};
}

/// A pipe or a device: reading it might wait for ever.
bool is_no_file(const std::string& path) {
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  return fs::exists(status) && !fs::is_regular_file(status) && !fs::is_directory(status);
}

/// One lot from one draw; the fault where it cannot be had.
std::optional<Problem> bring(LoadedScenario& loaded, std::size_t lot, const Limits& limits, const ReadBefore& before) {
  const Origin origin = *loaded.scenario.lots[lot].origin;
  const std::string path = whole_path(fs::path(loaded.source.path).parent_path() / origin.file);
  if (std::find(before.through.begin(), before.through.end(), path) != before.through.end())
    return Problem{origin.at, "the files name one another in a ring: " + ring_text(before.through, path),
                   "a draw whose wine does not come from here", "", false};
  if (is_no_file(path))
    return Problem{origin.at, origin.file + " is not read: it is a pipe or a device", "a file", "", false};
  const LoadedScenario& other = other_file(path, limits, before);
  if (!other.problems.empty()) return fault_of(origin, other.problems.front());
  Scenario scenario = other.scenario;
  scenario.clock = loaded.scenario.clock;  // ages as they are counted here
  const Outlook outlook = run_scenario(scenario, {.habit = false});
  Found found = find_draw(outlook, origin);
  if (found.draw == nullptr)
    return Problem{origin.at, std::move(found.what), std::move(found.allowed), std::move(found.hint), false};
  fill(loaded.scenario, lot, outlook, *found.draw);
  return std::nullopt;
}

}  // namespace

void bring_from_other_files(LoadedScenario& loaded, const Limits& limits, const ReadBefore& before) {
  const auto comes_from_elsewhere = [](const Lot& lot) {
    return lot.origin && !lot.origin->draw.empty() && !lot.origin->file.empty();
  };
  if (std::none_of(loaded.scenario.lots.begin(), loaded.scenario.lots.end(), comes_from_elsewhere)) return;
  ReadBefore with_this = before;
  with_this.through.push_back(whole_path(loaded.source.path));
  const std::size_t lots = loaded.scenario.lots.size();  // more are added on the way
  for (std::size_t i = 0; i < lots; ++i) {
    if (!comes_from_elsewhere(loaded.scenario.lots[i])) continue;
    if (auto fault = bring(loaded, i, limits, with_this)) loaded.problems.push_back(std::move(*fault));
  }
}

}  // namespace tierce
