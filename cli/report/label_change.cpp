#include "cli/report/label_change.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "cli/read/suggest.h"
#include "cli/report/label_words.h"
#include "cli/report/share_search.h"
#include "cli/write/write.h"

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

constexpr int kBits = 20;  // to which a share is found: litres are printed to a tenth

/// The draw of the same day and name in another run; null where that run does not come so far.
const DrawRecord* same_draw(const Outlook& outlook, const DrawRecord& draw) {
  for (const DrawRecord* other : labelled_wines(outlook.run))
    if (other->date == draw.date && other->name == draw.name) return other;
  return nullptr;
}

/// The draw as it would be with every draw of the habit this share of what it is.
ShareTrial with_share(const Scenario& scenario, const DrawRecord& draw, double share) {
  const Outlook outlook = run_scenario(with_draws(scenario, share), {.until_year = draw.date.year});
  ShareTrial trial;
  const DrawRecord* other = same_draw(outlook, draw);
  if (outlook.run.stopped) trial.why_not = outlook.run.stopped->problem.what;
  if (other == nullptr) return trial;
  trial.goes = true;
  const LabelFacts facts = label_facts(outlook.scenario, outlook.line, outlook.run, *other);
  trial.last[AgeKind::by_volume] = is_known(facts.age.mean_y) ? facts.age.mean_y : facts.age.mean_at_least_y;
  trial.quotient_y = facts.quotient_y;
  return trial;
}

/// One search for each draw that claims are about; its runs serve all of them.
class DrawSearches {
 public:
  explicit DrawSearches(const Scenario& scenario) : scenario_(scenario) {}

  ShareSearch& of(const DrawRecord& draw) {
    const auto run = [this, &draw](double share) { return with_share(scenario_, draw, share); };
    return searches_.try_emplace(&draw, run, kBits).first->second;
  }

 private:
  const Scenario& scenario_;
  std::map<const DrawRecord*, ShareSearch> searches_;
};

/// ", 4,617.3 L in place of 5,000.0 L", where one routine draws litres.
std::string in_litres(const Scenario& scenario, double share, Units units) {
  const auto draws = [](const Routine& routine) { return routine.usual.draw.has_value(); };
  if (std::count_if(scenario.habit.begin(), scenario.habit.end(), draws) != 1) return "";
  const Amount& usual = *std::find_if(scenario.habit.begin(), scenario.habit.end(), draws)->usual.draw;
  if (usual.kind != Amount::Kind::litres) return "";
  const std::string at_most = decimal_text(in_shown_unit(share * usual.value, Figure::small_litres, units), 1, true) +
                              " " + unit_text(Figure::small_litres, units);
  return ", " + at_most + " in place of " + figure_text(usual.value, Figure::small_litres, units);
}

std::string shown_share(double share) { return figure_text(share, Figure::share, Units::metric); }

/// The largest share of the habit's draws with which the claim's figure is what is wanted.
std::string smaller_draws(const LabelView& view, const Claim& claim, const DrawRecord& draw, double wanted_y,
                          DrawSearches& searches, Units units) {
  const Scenario& scenario = view.outlook->scenario;
  if (draw.past || !draws_by_habit(scenario)) return "";
  ShareSearch& search = searches.of(draw);
  const bool quotient = claim.say == Say::quotient;
  const AgeOfTrial figure = [quotient](const ShareTrial& trial) {
    return quotient ? trial.quotient_y : trial.last[AgeKind::by_volume];
  };
  const LargestShare found = search.largest(figure, wanted_y);
  if (found.limit == LargestShare::Limit::unknown) return "";
  if (found.limit != LargestShare::Limit::never)
    return "the figure would hold for " + draw.name + " if every draw of the habit were at most " +
           shown_share(found.at.share) + " of what it is" + in_litres(scenario, found.at.share, units);
  std::string text = "no smaller draw of the habit brings " + draw.name + " there; it takes more years, or older wine";
  if (const std::string why = search.why_no_less(); !why.empty())
    text += " (draws of less than " + shown_share(search.least()) + " of what they are cannot be tried: " + why + ")";
  return text;
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
std::string age_change(const LabelView& view, const Claim& claim, const LabelledDraw& labelled, DrawSearches& searches,
                       Units units) {
  const Standing standing = standing_of(judge_claim(view.book, view.sets, claim, labelled.facts));
  const bool one = standing.forbidden_by.size() == 1;
  const std::string forbidden =
      standing.forbidden_by.empty()
          ? ""
          : listed(standing.forbidden_by) + (one ? " does" : " do") + " not allow the statement, whatever is drawn";
  if (standing.too_old) return forbidden;
  if (!standing.too_young) return forbidden.empty() ? "" : "the figure holds as it is; " + forbidden;
  const std::string change = claim.say == Say::youngest
                                 ? youngest_change(claim, labelled)
                                 : smaller_draws(view, claim, *labelled.draw, standing.wanted_y, searches, units);
  return change.empty() || forbidden.empty() ? change + forbidden : change + "; " + forbidden;
}

std::string change_for(const LabelView& view, const Claim& claim, const LabelledDraw& labelled, DrawSearches& searches,
                       Units units) {
  switch (claim.say) {
    case Say::mean_age:
    case Say::quotient:
    case Say::youngest: return is_known(claim.at_least) ? age_change(view, claim, labelled, searches, units) : "";
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

std::vector<std::pair<std::size_t, std::string>> changes_wanted(const LabelView& view, Units units) {
  std::vector<std::pair<std::size_t, std::string>> changes;
  DrawSearches searches(view.outlook->scenario);
  for (std::size_t c = 0; c < view.claims.size(); ++c) {
    const Claim& claim = view.claims[c];
    const LabelledDraw* last = last_covered(view, claim);
    if (last == nullptr) continue;
    const auto rows = judge_claim(view.book, view.sets, claim, last->facts);
    const bool fails = worst(rows) == Verdict::fails;
    if (!fails) continue;
    const std::string change = change_for(view, claim, *last, searches, units);
    if (!change.empty()) changes.emplace_back(c, change);
  }
  return changes;
}

}  // namespace tierce
