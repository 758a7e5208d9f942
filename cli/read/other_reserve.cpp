#include "cli/read/other_reserve.h"

#include <algorithm>
#include <filesystem>

#include "cli/read/kept_files.h"
#include "cli/read/suggest.h"
#include "engine/book/cost.h"
#include "engine/measure/age.h"
#include "engine/measure/money.h"
#include "engine/run/outlook.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;

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

BroughtPart part_of(const Share& share, const Parcel& parcel, const Parcelled& wine, double volume_l) {
  const int column = share.parcel;
  BroughtPart part;
  part.lot = parcel.lot;
  part.vintage = parcel.vintage;
  part.litres = wine.litres[column] / volume_l;
  part.entered = wine.entered[column] / volume_l;
  part.alcohol = wine.alcohol[column] / volume_l;
  part.age_when_drawn_y = parcel.shared ? kUnknown : share.age_y;  // shared by parts of several ages
  part.at_least_y = parcel.shared ? share.youngest_y : share.at_least_y;
  if (parcel.entered_known) part.entered_on = parcel.entered;
  part.zero_day = parcel.zero_day;
  part.older_than_day = parcel.older_than_day;
  part.outside = parcel.outside;
  return part;
}

Composition composition_of(const DrawRecord& draw) {
  const auto per_litre = [&](Solute solute) { return draw.wine.solutes[solute] / draw.volume_l; };
  Composition wine;
  for (const Measured& measured : kMeasured) wine.*measured.value = per_litre(measured.solute);
  wine.alcohol_pct = 100.0 * draw.wine.alcohol.sum() / draw.volume_l;
  // Free SO2 at all its ends, and the binders of the low reckoning.
  const SulfurNow sulfur = sulfur_of(draw);
  wine.so2_free_mg_l = sulfur.free_mg_l.planned;
  wine.so2_free_low_mg_l = sulfur.free_mg_l.low;
  wine.so2_free_high_mg_l = sulfur.free_mg_l.high;
  wine.pyruvic_mg_l = sulfur.low.pyruvic_mg_l;
  wine.oxoglutaric_mg_l = sulfur.low.oxoglutaric_mg_l;
  wine.galacturonic_mg_l = sulfur.low.galacturonic_mg_l;
  wine.ph = draw.ph;
  return wine;
}

void fill(Scenario& scenario, std::size_t index, const Outlook& other, const DrawRecord& draw) {
  std::vector<BroughtPart> parts;
  std::vector<Share> shares = shares_of(other.line, other.scenario.clock, draw.wine, draw.day);
  std::sort(shares.begin(), shares.end(), [](const Share& a, const Share& b) { return a.parcel < b.parcel; });
  for (const Share& share : shares) {
    const Parcel& parcel = other.line.parcels[static_cast<std::size_t>(share.parcel)];
    parts.push_back(part_of(share, parcel, draw.wine, draw.volume_l));
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
Problem fault_of(const Origin& origin, const LoadedScenario& other) {
  const Problem& first = other.problems.front();
  const bool read = first.at.line > 0;
  if (read && !begins_with_key_of(keys::scenario(), other.source.text))
    return {origin.at, origin.file + " is no scenario: it begins with none of its keys", "a sound file", "", false};
  return {
      origin.at,
      origin.file + (read ? " is faulty in line " + std::to_string(first.at.line) : " is not read") + ": " + first.what,
      read ? "a sound file; 'tierce check' shows its faults" : "a file that can be read", "", false};
}

/// The run of one other book, with ages as the asking file counts them.
struct OtherRun {
  std::string path;
  Outlook outlook;
};

const Outlook& run_of(const std::string& path, const LoadedScenario& other, Clock clock,
                      std::optional<OtherRun>& last) {
  if (last && last->path == path) return last->outlook;
  Scenario scenario = other.scenario;
  scenario.clock = clock;
  last = OtherRun{path, run_scenario(scenario, {.habit = false})};
  return last->outlook;
}

/// Too many files, or too long a chain of them, each of which would be read and run before this one.
std::optional<Problem> too_many_files(const Origin& origin, const std::string& path, const Limits& limits,
                                      const ReadBefore& before) {
  const bool new_file = !before.known->contains(path);
  const auto many = [&](std::size_t most, const std::string& what) {
    return Problem{origin.at, what, std::to_string(most) + " at most", "--large lifts this limit", false};
  };
  if (before.through.size() > limits.other_files_deep)
    return many(limits.other_files_deep, "the chain of files, each named by the one before, is too long");
  if (new_file && before.known->size() >= limits.other_files)
    return many(limits.other_files, "wine comes from too many other files");
  return std::nullopt;
}

/// A pipe or a device: reading it might wait for ever.
bool is_no_file(const std::string& path) {
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  return fs::exists(status) && !fs::is_regular_file(status) && !fs::is_directory(status);
}

/// One lot from one draw; the fault where it cannot be had.
std::optional<Problem> bring(LoadedScenario& loaded, std::size_t lot, const Limits& limits, const ReadBefore& before,
                             std::optional<OtherRun>& last) {
  const Origin origin = *loaded.scenario.lots[lot].origin;
  const std::string path = whole_path(fs::path(loaded.source.path).parent_path() / origin.file);
  if (std::find(before.through.begin(), before.through.end(), path) != before.through.end())
    return Problem{origin.at, "the files name one another in a ring: " + ring_text(before.through, path),
                   "a draw whose wine does not come from here", "", false};
  if (is_no_file(path))
    return Problem{origin.at, origin.file + " is not read: it is a pipe or a device", "a file", "", false};
  if (auto fault = too_many_files(origin, path, limits, before)) return fault;
  const LoadedScenario& other = other_file(path, limits, before);
  if (!other.problems.empty()) return fault_of(origin, other);
  const Outlook& outlook = run_of(path, other, loaded.scenario.clock, last);
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
  std::vector<std::size_t>
      asking;  // those of one file together, so that its book is run once; more are added on the way
  for (std::size_t i = 0; i < loaded.scenario.lots.size(); ++i)
    if (comes_from_elsewhere(loaded.scenario.lots[i])) asking.push_back(i);
  std::stable_sort(asking.begin(), asking.end(), [&](std::size_t a, std::size_t b) {
    return loaded.scenario.lots[a].origin->file < loaded.scenario.lots[b].origin->file;
  });
  std::optional<OtherRun> last;
  for (const std::size_t lot : asking)
    if (auto fault = bring(loaded, lot, limits, with_this, last)) loaded.problems.push_back(std::move(*fault));
}

}  // namespace tierce
