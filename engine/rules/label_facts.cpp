#include "engine/rules/label_facts.h"

#include <algorithm>
#include <cmath>
#include <string_view>
#include <unordered_map>

#include "engine/wine/must.h"

namespace tierce {
namespace {

constexpr double kWineSpiritsAbovePct = 24.0;  // 27 CFR 4.7(b), 26 USC 5041(a); docs/sources.md [label-product]

/// The lots by their names: a wine may hold parts of all of them.
std::unordered_map<std::string_view, const Lot*> lots_by_name(const Timeline& line) {
  std::unordered_map<std::string_view, const Lot*> lots;
  lots.reserve(line.lots.size());
  for (const Lot& lot : line.lots) lots.try_emplace(lot.name, &lot);
  return lots;
}

const Spirit* spirit_named(const Scenario& scenario, const std::string& name) {
  for (const Spirit& spirit : scenario.spirits)
    if (spirit.name == name) return &spirit;
  return nullptr;
}

double spirit_share_of(const Lot* lot) {
  if (lot == nullptr || !lot->spirit) return 0.0;
  const double share = lot->spirit->volume_l / (lot->spirit->volume_l + lot->spirit->into_l);
  return is_known(share) ? share : 0.0;
}

/// True where a lot is as strong as fortified wine and does not say how much spirit it holds.
bool hides_spirit(const WinePart& part) {
  if (part.lot == nullptr || part.lot->wine.alcohol_pct < kLiqueurWineFromPct) return false;
  return !part.lot->spirit || !is_known(part.lot->spirit->volume_l) || !is_known(part.lot->spirit->into_l);
}

void add_parts(LabelFacts& facts, const Scenario& scenario, const Timeline& line, const DrawRecord& draw) {
  const auto lots = lots_by_name(line);
  for (const Share& share : shares_of(line, scenario.clock, draw.wine, draw.day)) {
    const Parcel& parcel = line.parcels[static_cast<std::size_t>(share.parcel)];
    WinePart part{.name = parcel.lot, .vintage = parcel.vintage};
    if (const auto lot = lots.find(parcel.lot); lot != lots.end()) part.lot = lot->second;
    part.spirit = part.lot == nullptr ? spirit_named(scenario, parcel.lot) : nullptr;
    part.litres = share.litres;
    part.entered_l = draw.wine.entered[share.parcel];
    part.spirit_share = part.spirit != nullptr ? 1.0 : spirit_share_of(part.lot);
    part.age_y = share.shared() ? kUnknown : share.age_y;
    facts.litres += part.litres;
    if (hides_spirit(part) && std::find(facts.spirit_not_stated.begin(), facts.spirit_not_stated.end(), part.name) ==
                                  facts.spirit_not_stated.end())
      facts.spirit_not_stated.push_back(part.name);
    facts.parts.push_back(part);
  }
}

void add_contents(LabelFacts& facts, const Trajectory& run, const DrawRecord& draw) {
  const double volume_l = draw.volume_l;
  facts.wine.alcohol_pct = 100.0 * draw.wine.alcohol.sum() / volume_l;
  facts.wine.sugar_g_l = draw.wine.solutes[kSugar] / volume_l;
  facts.wine.acidity_g_l = draw.wine.solutes[kAcid] / volume_l;
  facts.wine.va_g_l = draw.wine.solutes[kVolatileAcid] / volume_l;
  facts.wine.so2_total_mg_l = draw.wine.solutes[kSo2Total] / volume_l;
  facts.wine.so2_free_mg_l = draw.wine.solutes[kSo2Free] / volume_l;
  facts.wine.sulfate_g_l = draw.wine.solutes[kSulfate] / volume_l;
  const auto earlier = [](const Reading& reading, const Date& date) { return reading.date < date; };
  for (auto reading = std::lower_bound(run.readings.begin(), run.readings.end(), draw.date, earlier);
       reading != run.readings.end() && reading->date == draw.date; ++reading)
    facts.strength_measured =
        facts.strength_measured || (reading->quantity == "alcohol" && reading->row == draw.row && !reading->kept_only);
}

/// Pure alcohol that leaves the reserve unsold in a calendar year.
double alcohol_lost_l(const Trajectory& run, int year) {
  for (const YearFlows& flows : run.flows.years)
    if (flows.year == year) return flows.alcohol[kEvaporated] + flows.alcohol[kGauged] + flows.alcohol[kLost];
  return kUnknown;
}

/// The draw on the tiers that a bottling goes back to; the wine itself where it was drawn from a tier.
const DrawRecord& drawn_from_tiers(const Trajectory& run, const DrawRecord& wine) {
  for (const BottlingRecord& bottling : run.bottlings)
    if (&bottling.wine == &wine && !bottling.draws.empty())
      return run.draws[static_cast<std::size_t>(bottling.draws.front())];
  return wine;
}

void add_quotients(LabelFacts& facts, const Trajectory& run, const DrawRecord& wine) {
  const DrawRecord& draw = drawn_from_tiers(run, wine);
  facts.quotient_y = stock_over_draw_y(run, draw, draw.tiers_alcohol_before_l);
  facts.quotient_after_y = stock_over_draw_y(run, draw, draw.tiers_alcohol_after_l);
  const double drawn_l = draw.tiers_alcohol_before_l / facts.quotient_y;
  facts.quotient_with_losses_y = draw.tiers_alcohol_before_l / (drawn_l + alcohol_lost_l(run, draw.date.year));
}

void add_history(LabelFacts& facts, const Scenario& scenario, const Timeline& line, const Trajectory& run,
                 const DrawRecord& draw) {
  Date first_day{};  // of several lots that went in on it, the oldest is the beginning
  for (const Event& event : line.events) {
    const bool past_the_first_day = first_day.year > 0 && event.date > first_day;
    if (past_the_first_day && (facts.older_than_book || scenario.opening.empty())) break;  // the rest tells no more
    const bool brings_wine = std::holds_alternative<Open>(event.act) || std::holds_alternative<Add>(event.act) ||
                             std::holds_alternative<Refill>(event.act);
    if (!brings_wine) continue;
    if (facts.first_year == 0) facts.first_year = event.date.year;
    facts.older_than_book = facts.older_than_book || std::holds_alternative<Open>(event.act);
    if (first_day.year == 0) first_day = event.date;
    if (event.parcel < 0 || event.date != first_day) continue;
    const int vintage = line.parcels[static_cast<std::size_t>(event.parcel)].vintage;
    if (facts.first_vintage == 0 || vintage < facts.first_vintage) facts.first_vintage = vintage;
  }
  for (const DoseRecord& dose : run.doses) {
    if (dose.date > draw.date) break;
    const bool before = dose.date < draw.date || (dose.date == draw.date && dose.past && draw.past &&
                                                  dose.at.line > 0 && dose.at.line < draw.at.line);
    if (before) facts.sulfites_dosed_mg_l = std::max(facts.sulfites_dosed_mg_l, dose.dose_mg_l);
  }
  facts.sulfites_before_known = std::all_of(facts.parts.begin(), facts.parts.end(), [](const WinePart& part) {
    return part.spirit != nullptr || (part.lot != nullptr && part.lot->wine.so2_total_mg_l == 0.0);
  });
}

void add_words(LabelFacts& facts, const Scenario& scenario) {
  facts.words = scenario.label;
  facts.product_stated = facts.words.contains("product");
  if (facts.product_stated) return;
  const bool fortified =
      std::any_of(facts.parts.begin(), facts.parts.end(), [](const WinePart& part) { return part.spirit_share > 0.0; });
  facts.words["product"] = product_by_strength(facts.wine.alcohol_pct, fortified);
}

}  // namespace

std::string product_by_strength(double alcohol_pct, bool fortified) {
  if (alcohol_pct > kWineSpiritsAbovePct + 1e-9) return "spirits";
  return fortified || alcohol_pct >= kLiqueurWineFromPct - 1e-9 ? "liqueur wine" : "wine";
}

std::vector<const DrawRecord*> labelled_wines(const Trajectory& run) {
  std::vector<bool> bottled(run.draws.size(), false);
  std::vector<const DrawRecord*> wines;
  for (const BottlingRecord& bottling : run.bottlings) {
    wines.push_back(&bottling.wine);
    for (const int draw : bottling.draws) bottled[static_cast<std::size_t>(draw)] = true;
  }
  for (std::size_t i = 0; i < run.draws.size(); ++i)
    if (run.draws[i].use == Use::bottling && !bottled[i]) wines.push_back(&run.draws[i]);
  std::stable_sort(wines.begin(), wines.end(),
                   [](const DrawRecord* a, const DrawRecord* b) { return a->date < b->date; });
  return wines;
}

std::optional<Timeline> with_least_sugar(const Timeline& line) {
  if (std::none_of(line.lots.begin(), line.lots.end(), [](const Lot& lot) { return lot.sugar_is_extract; }))
    return std::nullopt;
  Timeline least = line;
  for (Lot& lot : least.lots)
    if (lot.sugar_is_extract) lot.wine.sugar_g_l = std::max(0.0, lot.wine.sugar_g_l - kMostOtherExtractGL);
  return least;
}

LabelFacts label_facts(const Scenario& scenario, const Timeline& line, const Trajectory& run, const DrawRecord& draw) {
  LabelFacts facts;
  facts.clock = scenario.clock;
  facts.date = draw.date;
  facts.age = age_of(line, scenario.clock, draw.wine, draw.day);
  add_parts(facts, scenario, line, draw);
  add_contents(facts, run, draw);
  add_quotients(facts, run, draw);
  add_history(facts, scenario, line, run, draw);
  add_words(facts, scenario);
  return facts;
}

}  // namespace tierce
