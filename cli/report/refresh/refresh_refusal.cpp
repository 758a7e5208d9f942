#include "cli/report/refresh/refresh_refusal.h"

#include <cmath>

#include "cli/io/exit_status.h"
#include "cli/read/quantity_text.h"
#include "cli/read/suggest.h"
#include "cli/report/fortify/fortify.h"
#include "cli/write/write.h"
#include "engine/wine/units.h"

namespace tierce {
namespace {

std::string litres(double volume_l, Units units) { return figure_text(volume_l, Figure::small_litres, units); }

/// Rounded down, so that what is printed as possible is possible.
std::string at_most_litres(double volume_l, Units units) {
  if (units == Units::us) return at_most_text(volume_l / kLitresPerGallon, 1) + " gal";
  return at_most_text(volume_l, 1) + " L";
}

Problem cannot_be_done(const RefreshRefusal& refusal, Units units) {
  Problem problem = refusal.problem;
  problem.what = "the refresh of " + iso_text(refusal.date) + " cannot be done: " + problem.what;
  if (is_known(refusal.draw_possible_l) && refusal.draw_possible_l > 0.0) {
    problem.allowed = "a draw of up to " + at_most_litres(refusal.draw_possible_l, units);
    if (is_known(refusal.draw_l)) problem.allowed += " in place of " + litres(refusal.draw_l, units);
    problem.allowed += ", as in --draw \"" + at_most_litres(refusal.draw_possible_l, units) + "\"";
    problem.hint = "";
  }
  if (is_known(refusal.refill_possible_l) && refusal.refill_possible_l > 0.0) {
    problem.allowed = "new wine of up to " + at_most_litres(refusal.refill_possible_l, units) + " in place of " +
                      litres(refusal.refill_l, units) +
                      ", as in refill: {volume: " + at_most_litres(refusal.refill_possible_l, units) + "}";
    problem.hint = "";
  }
  return problem;
}

std::string years(double value) { return at_most_text(value, 2) + " years"; }

/// The day on which the oldest lot has the age wanted.
std::string day_of_age(const Date& date, double years_more) {
  const Date day = add_months(date, static_cast<int>(std::ceil(years_more * 12.0 - 1e-9)));
  return iso_text(day);
}

std::string reach(const Reach& range, int decimals, const char* unit) {
  return at_least_text(range.low, decimals) + " to " + at_most_text(range.high, decimals) + " " + unit;
}

std::string nearest_choice(const LotChoice& choice, const std::vector<LotAtHand>& lots, Units units) {
  std::string text;
  for (std::size_t i = 0; i < choice.litres.size(); ++i)
    if (choice.litres[i] > 0.05)
      text += (text.empty() ? "nearest: " : " + ") + litres(choice.litres[i], units) + " of " + lots[i].name;
  if (text.empty()) return "";
  text += " = " + trimmed_text(choice.alcohol_pct, 2) + " %vol";
  if (choice.sugar_g_l > 0.0) text += ", " + trimmed_text(choice.sugar_g_l, 1) + " g/L";
  return text;
}

}  // namespace

int status_of(const RefreshRefusal& refusal) {
  switch (refusal.fault) {
    case RefreshFault::no_habit:
    case RefreshFault::no_day:
    case RefreshFault::day_in_the_book: return kBadInput;
    case RefreshFault::file:
    case RefreshFault::act:
    case RefreshFault::ullage: return kFails;
  }
  return kOurBug;
}

Problem plan_refusal(const RefreshRefusal& refusal, const Scenario& scenario, Units units) {
  const std::string lot = scenario.lots.empty() ? "LOT" : scenario.lots.back().name;
  switch (refusal.fault) {
    case RefreshFault::no_habit:
      return {
          {},
          scenario.reserve + " has no habit: nothing says what a refresh draws and adds",
          "'habit:' in the file; or --on DATE with --draw and --refill, as in --draw \"20 %\" --refill \"" + lot + "\"",
          ""};
    case RefreshFault::no_day:
      return {{},
              "the habit of " + scenario.reserve + " draws and refills on no day to come",
              "--on DATE with --draw or --refill, as in --draw \"20 %\" --refill \"" + lot + "\"",
              ""};
    case RefreshFault::day_in_the_book:
      return {{},
              "the book of " + scenario.reserve + " already goes to " + iso_text(refusal.date),
              "--on " + iso_text(refusal.date) + " or a later day",
              ""};
    case RefreshFault::ullage: return refusal.problem;
    case RefreshFault::file:
    case RefreshFault::act: break;
  }
  return cannot_be_done(refusal, units);
}

Problem choice_refusal(const LotChoice& choice, const std::vector<LotAtHand>& lots, const WantedWine& wanted,
                       const Date& date, Units units) {
  const std::string wanted_litres = litres(wanted.litres, units);
  switch (choice.fault) {
    case LotFault::no_lot_old_enough: {
      const std::string oldest = is_known(choice.oldest_y) ? "; the oldest has " + years(choice.oldest_y) : "";
      return {{},
              "no lot at hand is " + years(wanted.youngest_y) + " old on " + iso_text(date) + oldest,
              "--youngest up to \"" + years(choice.oldest_y) + "\", or a refresh on " +
                  day_of_age(date, wanted.youngest_y - choice.oldest_y) + " or later",
              ""};
    }
    case LotFault::too_little:
      return {{},
              wanted_litres + " of new wine are needed, and the lots at hand" +
                  (is_known(wanted.youngest_y) ? " that are old enough" : "") + " come to " +
                  litres(choice.available_l, units),
              litres(wanted.litres - choice.available_l, units) + " more, a smaller draw or a smaller target",
              ""};
    case LotFault::strength:
      return {{},
              "no choice of " + wanted_litres + " from these lots has " + trimmed_text(wanted.alcohol_pct, 2) + " %vol",
              reach(choice.strength, 2, "%vol"),
              nearest_choice(choice, lots, units)};
    case LotFault::sugar:
      return {{},
              "no choice of " + wanted_litres + " from these lots has " + trimmed_text(wanted.sugar_g_l, 1) + " g/L",
              reach(choice.sugar, 1, "g/L"),
              nearest_choice(choice, lots, units)};
    case LotFault::both_together:
      return {{},
              "these lots give " + trimmed_text(wanted.alcohol_pct, 2) + " %vol, and they give " +
                  trimmed_text(wanted.sugar_g_l, 1) + " g/L, but no choice of " + wanted_litres + " has both",
              "at " + trimmed_text(wanted.alcohol_pct, 2) + " %vol: " + reach(choice.sugar_at_strength, 1, "g/L"),
              nearest_choice(choice, lots, units)};
    case LotFault::none: break;
  }
  return {};
}

std::variant<SpiritNeed, Problem> spirit_for(const RefreshPlan& plan, const std::string& asked) {
  const auto& spirits = plan.booked.spirits;
  if (asked.empty() && spirits.size() == 1) return need_of(plan, spirits.front());
  std::vector<std::string> names;
  for (const Spirit& spirit : spirits) {
    if (spirit.name == asked) return need_of(plan, spirit);
    names.push_back(spirit.name);
  }
  const std::string strengths = "a strength, as in --spirit \"96 %vol\"";
  const std::string allowed = names.empty() ? strengths : strengths + ", or a spirit of the file: " + listed(names);
  if (asked.empty()) return Problem{{}, "--spirit is missing: what the must is fortified with", allowed, ""};
  const auto read = read_quantity(asked, Measure::strength);
  if (const auto* misread = std::get_if<Misread>(&read))
    return Problem{{}, "--spirit: " + misread->what, allowed, did_you_mean(nearest(asked, names))};
  SpiritNeed need;
  need.strength_pct = std::get<Quantity>(read).value;
  if (need.strength_pct > 0.0 && need.strength_pct <= 100.0) return need;
  return Problem{{}, "--spirit: '" + asked + "' is out of range", "above 0 %vol and up to 100 %vol", ""};
}

OrderRefusal making_refusal(const MakingRefusal& refusal, const RefreshOptions& options) {
  const WineOrder& wine = refusal.wine;
  const auto states_none = [&](const std::string& what, const std::string& follows) {
    return OrderRefusal{
        kBadInput,
        {{{},
          "lot " + wine.lot + " states no " + what + ", from which " + follows,
          "'" + (what == "sugar" ? what : std::string("alcohol")) + "' of that lot, or of the habit's refill",
          ""}}};
  };
  if (refusal.why == MakingRefusal::Why::no_sugar) return states_none("sugar", "the arrest would follow");
  if (refusal.why == MakingRefusal::Why::no_strength)
    return states_none("strength above 0 %vol", "the spirit would follow");
  const std::string strength = plain_number(wine.wine.alcohol_pct) + " %vol";
  const std::string sugar = plain_number(wine.wine.sugar_g_l) + " g/L";
  FortifyAsked asked;
  static_cast<FortifyWish&>(asked) = refusal.wish;
  asked.written = {{"sugar", options.sugar},
                   {"spirit", plain_number(refusal.wish.spirit_pct) + " %vol"},
                   {"to", strength},
                   {"sweet", sugar}};
  Problem problem = refusal_text(refusal.refusal, asked);
  problem.what =
      "new wine of " + strength + " and " + sugar + ", like lot " + wine.lot + ", cannot be made so: " + problem.what;
  return {kFails, {problem}};
}

}  // namespace tierce
