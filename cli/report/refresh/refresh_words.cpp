#include "cli/report/refresh/refresh_words.h"

#include "cli/read/suggest.h"
#include "cli/report/refresh/refresh_entries.h"
#include "cli/write/write.h"
#include "engine/wine/sulfur.h"

namespace tierce {
namespace {

const std::string kNoBreak = "\xC2\xA0";

const std::string& tier_name(const Refresh& refresh, int row) { return refresh.plan.base.name_of(row); }

}  // namespace

std::string litres_of(double volume_l, Units units) { return figure_text(volume_l, Figure::small_litres, units); }

std::string grams_of(double grams) { return fixed_text(grams, 1) + kNoBreak + "g"; }

double salt_of(const Refresh& refresh, double so2_g) {
  return metabisulfite_grams(so2_g, refresh.plan.base.metabisulfite_yield);
}

double so2_into(const std::vector<DoseRecord>& doses, int row) {
  double grams = 0.0;
  for (const DoseRecord& dose : doses)
    if (dose.row == row) grams += so2_grams(dose.dose_mg_l, dose.litres);
  return grams;
}

std::vector<DoseRecord> doses_of(const Refresh& refresh) {
  std::vector<DoseRecord> doses;
  for (const DoseRecord* dose : doses_of_day(refresh.plan)) doses.push_back(*dose);
  return doses;
}

std::vector<PullTo> tanks_to_pull_to(const Refresh& refresh) {
  const RefreshPlan& plan = refresh.plan;
  std::vector<PullTo> tanks;
  for (std::size_t i = 0; i < plan.base.tanks.size(); ++i) {
    const Tank& tank = plan.base.tanks[i];
    const int row = plan.base.tier_count() + static_cast<int>(i);
    if (plan.before.holds_wine() && plan.before.stock().volume[row] > 0.0) continue;
    std::vector<std::string> fit;
    std::size_t filled = 0;
    for (const TierDay& day : refresh.tiers) {
      if (!(day.expected_l > 0.0)) continue;
      ++filled;
      if (day.high_l <= tank.capacity_l) fit.push_back(tier_name(refresh, day.row));
    }
    if (fit.empty()) continue;
    const std::string which = filled == 1            ? "all"
                              : fit.size() == filled ? "one tier at a time"
                              : fit.size() > 1       ? listed(fit) + ", one at a time,"
                                                     : fit.front();
    tanks.push_back({tank.name, which, tank.capacity_l});
  }
  return tanks;
}

std::string draw_text(const Refresh& refresh, const DrawRecord& draw, Units units) {
  std::string asked;
  for (const PlannedEntry& planned : refresh.plan.entries) {
    const auto* act = planned.of_the_day ? std::get_if<Draw>(&planned.entry.action) : nullptr;
    if (act != nullptr && act->from.row == draw.row && act->amount.kind != Amount::Kind::litres &&
        (act->name.empty() || act->name == draw.name))
      asked = amount_text(act->amount) + (act->amount.kind == Amount::Kind::share ? " of what it holds" : "");
  }
  std::string text = litres_of(draw.volume_l, units) + " from " + tier_name(refresh, draw.row);
  if (!asked.empty()) text += " (" + asked + ")";
  return text + (draw.name == iso_text(draw.date) ? "" : ", for " + draw.name);
}

std::string bottles_text(const BottleCount& count, Units units) {
  std::string text = number_text(count.bottles, Figure::whole, units) + " x " + trimmed_text(count.size_l * 1000.0, 1) +
                     kNoBreak + "mL";
  return text + " and " + trimmed_text(count.left_l * 1000.0, 0) + kNoBreak + "mL";
}

}  // namespace tierce
