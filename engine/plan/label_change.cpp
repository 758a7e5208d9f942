#include "engine/plan/label_change.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/plan/share_search.h"

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

/// The last draw that a claim covers.
const LabelledDraw* last_covered(const LabelView& view, const Claim& claim) {
  for (std::size_t i = view.draws.size(); i-- > 0;)
    if (claim_covers(claim, *view.draws[i].draw)) return &view.draws[i];
  return nullptr;
}

constexpr int kBits = 20;  // to which a share is found: litres are printed to a tenth

/// The draw of the same day and name in another run; null where that run does not come so far.
const DrawRecord* same_draw(const Outlook& outlook, const DrawRecord& draw) {
  for (const DrawRecord* other : labelled_wines(outlook.run))
    if (other->date == draw.date && other->name == draw.name) return other;
  return nullptr;
}

/// Smaller draws of the habit, for one draw that claims are about; what was run serves all of them.
class DrawSearch {
 public:
  DrawSearch(const Scenario& scenario, const DrawRecord& draw)
      : search_([this, &scenario, &draw](double share) { return with_share(scenario, draw, share); }, kBits) {}
  DrawSearch(const DrawSearch&) = delete;

  ShareSearch& shares() { return search_; }
  /// Why the smallest share that was tried cannot be drawn; empty where it can.
  std::string why_no_less() const { return stops_.empty() ? "" : stops_.begin()->second; }

 private:
  ShareTrial with_share(const Scenario& scenario, const DrawRecord& draw, double share) {
    const Outlook outlook = run_scenario(with_draws(scenario, share), {.until_year = draw.date.year});
    stops_[share] = outlook.run.stopped ? outlook.run.stopped->problem.what : "";
    ShareTrial trial;
    const DrawRecord* other = same_draw(outlook, draw);
    if (other == nullptr) return trial;
    trial.goes = true;
    const LabelFacts facts = label_facts(outlook.scenario, outlook.line, outlook.run, *other);
    trial.last[AgeKind::by_volume] = is_known(facts.age.mean_y) ? facts.age.mean_y : facts.age.mean_at_least_y;
    trial.quotient_y = facts.quotient_y;
    return trial;
  }

  std::map<double, std::string> stops_;  // by share; empty: the run goes through
  ShareSearch search_;
};

using DrawSearches = std::map<const DrawRecord*, DrawSearch>;

/// The largest share of the habit's draws with which the claim's figure is what is wanted.
void find_smaller_draws(const LabelView& view, const Claim& claim, double wanted_y, DrawSearches& searches,
                        LabelChange& change) {
  const Scenario& scenario = view.outlook->scenario;
  const DrawRecord& draw = *change.draw->draw;
  const bool by_habit = std::any_of(scenario.habit.begin(), scenario.habit.end(),
                                    [](const Routine& routine) { return routine.usual.draw.has_value(); });
  if (draw.past || !by_habit) return;
  DrawSearch& search = searches.try_emplace(&draw, scenario, draw).first->second;
  const bool quotient = claim.say == Say::quotient;
  const LargestShare found = search.shares().largest(
      [quotient](const ShareTrial& trial) { return quotient ? trial.quotient_y : trial.last[AgeKind::by_volume]; },
      wanted_y);
  if (found.limit == LargestShare::Limit::unknown) return;
  const bool never = found.limit == LargestShare::Limit::never;
  change.remedy = never ? Remedy::no_smaller_draws : Remedy::smaller_draws;
  change.share = never ? search.shares().least() : found.at.share;
  if (never) change.why_no_less = search.why_no_less();
}

/// A harvest can hold no more of a draw than its largest refill brought to the tier.
void find_harvest(const LabelView& view, const Claim& claim, LabelChange& change) {
  change.share = 0.0;
  change.remedy = Remedy::no_such_harvest;
  for (const LabelledDraw& labelled : view.draws) {
    double litres = 0.0;
    for (const WinePart& part : labelled.facts.parts)
      if (part.vintage == claim.year) litres += part.litres;
    if (litres / labelled.facts.litres <= change.share) continue;
    change.share = litres / labelled.facts.litres;
    change.draw = &labelled;
    change.remedy = Remedy::larger_refill;
  }
}

/// Statements in half %vol that no rule set fails.
void find_strength(const LabelView& view, LabelChange& change) {
  const double pct = change.draw->facts.wine.alcohol_pct;
  change.remedy = is_known(pct) ? Remedy::other_strength : Remedy::measure_strength;
  for (double stated = std::floor(2.0 * pct) / 2.0 - 2.0; stated <= pct + 2.0; stated += 0.5) {
    Claim claim;
    claim.say = Say::alcohol;
    claim.stated = claim.stated_to = stated;
    if (worst(judge_claim(view.book, view.sets, claim, change.draw->facts)) == Verdict::holds)
      change.stated_pct.push_back(stated);
  }
}

/// How the claim's own figure stands, and the rules that speak against the statement whatever the figure is.
struct Standing {
  bool too_young = false, too_old = false;
  double wanted_y = kUnknown;  // the largest of the limits that the figure falls short of
  std::vector<std::string> forbidden_by{};
};

Standing standing_of(const std::vector<Judgement>& rows) {
  Standing standing;
  const auto figure = std::find_if(rows.begin(), rows.end(), [](const Judgement& row) { return row.rule == nullptr; });
  for (const Judgement& row : rows) {
    if (row.verdict != Verdict::fails) continue;
    const bool same = row.rule == nullptr || (figure != rows.end() && row.quantity == figure->quantity);
    if (!same) standing.forbidden_by.push_back(row.rule->id);
    else if (row.op != Operator::at_least && row.op != Operator::above) standing.too_old = true;
    else if (row.by_figure == Verdict::fails) {
      standing.too_young = true;
      if (!(standing.wanted_y >= row.limit)) standing.wanted_y = row.limit;
    }
  }
  return standing;
}

/// A claim on an age: a smaller draw changes the figure, and none changes a rule that forbids the statement.
void find_age(const LabelView& view, const Claim& claim, const std::vector<Judgement>& rows, DrawSearches& searches,
              LabelChange& change) {
  const Standing standing = standing_of(rows);
  change.forbidden_by = standing.forbidden_by;
  if (standing.too_old) return;
  if (!standing.too_young) {
    if (!standing.forbidden_by.empty()) change.remedy = Remedy::figure_holds;
  } else if (claim.say == Say::youngest) {
    change.remedy = Remedy::without_parts;
    for (const WinePart& part : change.draw->facts.parts)
      if (!is_known(part.age_y) || part.age_y < claim.at_least) change.names.push_back(part.name);
  } else find_smaller_draws(view, claim, standing.wanted_y, searches, change);
}

/// Names that stand in no lot: a slip of the pen, as a rule.
void find_names(const LabelView& view, const Claim& claim, LabelChange& change) {
  const auto stated = names_of_lots(view, claim.say);
  for (const auto& [name, share] : claim.of)
    if (std::find(stated.begin(), stated.end(), name) == stated.end()) change.names.push_back(name);
  change.remedy = change.names.empty() ? Remedy::state_names : Remedy::other_names;
}

}  // namespace

std::vector<std::string> names_of_lots(const LabelView& view, Say say) {
  std::vector<std::string> stated;
  for (const Lot& lot : view.outlook->line.lots)
    for (const auto& [name, share] : say == Say::variety ? lot.grapes : lot.grown) stated.push_back(name);
  return stated;
}

std::vector<LabelChange> label_changes(const LabelView& view) {
  std::vector<LabelChange> changes;
  DrawSearches searches;
  for (std::size_t c = 0; c < view.claims.size(); ++c) {
    const Claim& claim = view.claims[c];
    LabelChange change{.claim = c, .draw = last_covered(view, claim)};
    if (change.draw == nullptr) continue;
    const auto rows = judge_claim(view.book, view.sets, claim, change.draw->facts);
    if (worst(rows) != Verdict::fails) continue;
    switch (claim.say) {
      case Say::mean_age:
      case Say::quotient:
      case Say::youngest:
        if (is_known(claim.at_least)) find_age(view, claim, rows, searches, change);
        break;
      case Say::vintage: find_harvest(view, claim, change); break;
      case Say::alcohol: find_strength(view, change); break;
      case Say::variety:
      case Say::origin: find_names(view, claim, change); break;
      case Say::no_added_sulfites: change.remedy = Remedy::never_dose; break;
      default: break;
    }
    if (change.remedy != Remedy::none_found || !change.forbidden_by.empty()) changes.push_back(std::move(change));
  }
  return changes;
}

}  // namespace tierce
