// What would have to change for a claim to hold, in words.
#include <algorithm>

#include "cli/read/suggest.h"
#include "cli/report/label/label_words.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

std::string shown_share(double share) { return figure_text(share, Figure::share, Units::metric); }

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

std::string smaller_draws(const LabelView& view, const LabelChange& change, Units units) {
  const std::string& name = change.draw->draw->name;
  if (change.remedy == Remedy::smaller_draws)
    return "the figure would hold for " + name + " if every draw of the habit were at most " +
           shown_share(change.share) + " of what it is" + in_litres(view.outlook->scenario, change.share, units);
  return "no smaller draw of the habit brings " + name + " there; it takes more years, or older wine" +
         (change.why_no_less.empty() ? ""
                                     : " (draws of less than " + shown_share(change.share) +
                                           " of what they are cannot be tried: " + change.why_no_less + ")");
}

std::string other_strengths(const LabelChange& change) {
  std::vector<std::string> good;
  for (const double stated : change.stated_pct) good.push_back(decimal_text(stated, 1, false));
  const std::string found =
      decimal_text(change.draw->facts.wine.alcohol_pct, 2, false) + " %vol, " + change.draw->draw->name;
  return good.empty() ? "nothing in whole or half %vol stands by every rule set at " + found
                      : "at " + found + ", these would hold: " + listed(good) + " %vol";
}

std::string other_names(const LabelView& view, const LabelChange& change) {
  std::string text;
  for (const std::string& name : change.names) {
    const std::string near = nearest(name, names_of_lots(view, view.claims[change.claim].say));
    text += (text.empty() ? "" : "; ") + std::string("no lot states '") + name + "'" +
            (near.empty() ? "" : " (" + did_you_mean(near) + ")");
  }
  return text;
}

std::string remedy_text(const LabelView& view, const LabelChange& change, Units units) {
  const Claim& claim = view.claims[change.claim];
  switch (change.remedy) {
    case Remedy::none_found: return "";
    case Remedy::figure_holds: return "the figure holds as it is";
    case Remedy::smaller_draws:
    case Remedy::no_smaller_draws: return smaller_draws(view, change, units);
    case Remedy::without_parts:
      return "it would hold for " + change.draw->draw->name + " without " + listed(change.names) +
             ": draw before such wine goes in, or let it wait longer before the refill";
    case Remedy::larger_refill:
      return "the most that any bottling holds of " + std::to_string(claim.year) + " is " + shown_share(change.share) +
             " (" + change.draw->draw->name +
             "); a refill must bring at least the limit's share of the tier, of one harvest, for the draw after it to "
             "hold so much";
    case Remedy::no_such_harvest: return "no bottling holds wine of " + std::to_string(claim.year);
    case Remedy::other_strength: return other_strengths(change);
    case Remedy::measure_strength: return "its strength is not known: state the lots' strength, or an analysis";
    case Remedy::other_names: return other_names(view, change);
    case Remedy::state_names:
      return std::string("state '") + (claim.say == Say::variety ? "grapes" : "grown") +
             "' for every lot, and refill with lots that hold more of what is named";
    case Remedy::never_dose: return "only wine that never had a dose can say so";
  }
  return "";
}

}  // namespace

std::string change_text(const LabelView& view, const LabelChange& change, Units units) {
  const std::string remedy = remedy_text(view, change, units);
  if (change.forbidden_by.empty()) return remedy;
  return (remedy.empty() ? "" : remedy + "; ") + listed(change.forbidden_by) +
         (change.forbidden_by.size() == 1 ? " does" : " do") + " not allow the statement, whatever is drawn";
}

}  // namespace tierce
