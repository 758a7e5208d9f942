#include "cli/label_change.h"

#include <algorithm>
#include <cmath>

#include "cli/label_words.h"
#include "cli/suggest.h"
#include "cli/write.h"

namespace tierce {
namespace {

/// The scenario with every draw of its habit at this share of what it is.
Scenario with_draws(const Scenario& scenario, double share) {
  Scenario changed = scenario;
  for (Routine& routine : changed.habit) {
    if (routine.usual.draw) routine.usual.draw->value *= share;
    for (auto& [year, day] : routine.except)
      if (day.draw) day.draw->value *= share;
  }
  return changed;
}

bool draws_by_habit(const Scenario& scenario) {
  return std::any_of(scenario.habit.begin(), scenario.habit.end(),
                     [](const Routine& routine) { return routine.usual.draw.has_value(); });
}

/// The last draw that a claim covers.
const LabelledDraw* last_covered(const LabelView& view, const Claim& claim) {
  for (std::size_t i = view.draws.size(); i-- > 0;)
    if (claim_covers(claim, *view.draws[i].draw)) return &view.draws[i];
  return nullptr;
}

/// Whether the claim's own figure holds for a draw of this name if the habit draws so much less.
bool holds_with(const LabelView& view, const Claim& claim, const DrawRecord& draw, double share) {
  const Outlook outlook = run_scenario(with_draws(view.outlook->scenario, share), {.until_year = draw.date.year});
  for (const DrawRecord* other : labelled_wines(outlook.run)) {
    if (other->date != draw.date || other->name != draw.name) continue;
    const LabelFacts facts = label_facts(outlook.scenario, outlook.line, outlook.run, *other);
    const auto rows = judge_claim(view.book, {}, claim, facts);
    return worst(rows) == Verdict::holds;
  }
  return false;
}

/// The largest share of the habit's draws with which the claim holds, by halving; none if not even 1 % does it.
std::string smaller_draws(const LabelView& view, const Claim& claim, const DrawRecord& draw) {
  if (draw.past || !draws_by_habit(view.outlook->scenario)) return "";
  double low = 0.01, high = 1.0;
  if (!holds_with(view, claim, draw, low))
    return "no smaller draw of the habit brings " + draw.name + " there; it takes more years, or older wine";
  for (int i = 0; i < 12; ++i) {
    const double middle = 0.5 * (low + high);
    (holds_with(view, claim, draw, middle) ? low : high) = middle;
  }
  return "it would hold for " + draw.name + " if every draw of the habit were at most " +
         figure_text(low, Figure::share, Units::metric) + " of what it is";
}

std::string youngest_change(const Claim& claim, const LabelledDraw& labelled) {
  std::string names;
  for (const WinePart& part : labelled.facts.parts)
    if (!is_known(part.age_y) || part.age_y < claim.at_least) names += (names.empty() ? "" : ", ") + part.name;
  return "it would hold for " + labelled.draw->name + " without " + names +
         ": draw before such wine goes in, or let it wait longer before the refill";
}

/// A harvest can hold no more of a draw than its largest refill brought to the tier.
std::string vintage_change(const LabelView& view, const Claim& claim) {
  double most = 0.0;
  const LabelledDraw* best = nullptr;
  for (const LabelledDraw& labelled : view.draws) {
    double litres = 0.0;
    for (const WinePart& part : labelled.facts.parts)
      if (part.vintage == claim.year) litres += part.litres;
    if (litres / labelled.facts.litres <= most) continue;
    most = litres / labelled.facts.litres;
    best = &labelled;
  }
  const std::string year = std::to_string(claim.year);
  if (best == nullptr) return "no bottling holds wine of " + year;
  return "the most that any bottling holds of " + year + " is " + figure_text(most, Figure::share, Units::metric) +
         " (" + best->draw->name +
         "); a refill must bring at least the limit's share of the tier, of one harvest, for the draw after it to "
         "hold so much";
}

/// Statements in half %vol that no rule set fails.
std::string strength_change(const LabelView& view, const LabelledDraw& labelled) {
  std::vector<std::string> good;
  const double pct = labelled.facts.wine.alcohol_pct;
  if (!is_known(pct)) return "its strength is not known: state the lots' strength, or an analysis";
  for (double stated = std::floor(2.0 * pct) / 2.0 - 2.0; stated <= pct + 2.0; stated += 0.5) {
    Claim claim;
    claim.say = Say::alcohol;
    claim.stated = claim.stated_to = stated;
    if (worst(judge_claim(view.book, view.sets, claim, labelled.facts)) == Verdict::holds)
      good.push_back(decimal_text(stated, 1, false));
  }
  const std::string found = decimal_text(pct, 2, false) + " %vol, " + labelled.draw->name;
  return good.empty() ? "nothing in whole or half %vol stands by every rule set at " + found
                      : "at " + found + ", these would hold: " + listed(good) + " %vol";
}

/// Names that stand in no lot: a slip of the pen, as a rule.
std::string names_no_lot_has(const LabelView& view, const Claim& claim) {
  std::vector<std::string> stated;
  for (const Lot& lot : view.outlook->line.lots)
    for (const auto& [name, share] : claim.say == Say::variety ? lot.grapes : lot.grown) stated.push_back(name);
  std::string text;
  for (const auto& [name, share] : claim.of)
    if (std::find(stated.begin(), stated.end(), name) == stated.end()) {
      const std::string near = nearest(name, stated);
      text += (text.empty() ? "" : "; ") + std::string("no lot states '") + name + "'" +
              (near.empty() ? "" : " (" + did_you_mean(near) + ")");
    }
  return text;
}

std::string change_for(const LabelView& view, const Claim& claim, const LabelledDraw& labelled) {
  switch (claim.say) {
    case Say::mean_age:
    case Say::quotient: return is_known(claim.at_least) ? smaller_draws(view, claim, *labelled.draw) : "";
    case Say::youngest: return is_known(claim.at_least) ? youngest_change(claim, labelled) : "";
    case Say::vintage: return vintage_change(view, claim);
    case Say::alcohol: return strength_change(view, labelled);
    case Say::variety:
    case Say::origin:
      if (std::string strange = names_no_lot_has(view, claim); !strange.empty()) return strange;
      return std::string("state '") + (claim.say == Say::variety ? "grapes" : "grown") +
             "' for every lot, and refill with lots that hold more of what is named";
    case Say::no_added_sulfites: return "only wine that never had a dose can say so";
    default: return "";
  }
}

}  // namespace

std::vector<std::pair<std::size_t, std::string>> changes_wanted(const LabelView& view) {
  std::vector<std::pair<std::size_t, std::string>> changes;
  for (std::size_t c = 0; c < view.claims.size(); ++c) {
    const Claim& claim = view.claims[c];
    const LabelledDraw* last = last_covered(view, claim);
    if (last == nullptr) continue;
    const auto rows = judge_claim(view.book, view.sets, claim, last->facts);
    const bool fails = worst(rows) == Verdict::fails;
    if (!fails) continue;
    const std::string change = change_for(view, claim, *last);
    if (!change.empty()) changes.emplace_back(c, change);
  }
  return changes;
}

}  // namespace tierce
