#include "cli/report/label/label_words.h"

#include <algorithm>
#include <cmath>

#include "cli/read/quantity_text.h"
#include "cli/read/read_rules.h"
#include "cli/read/suggest.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

const std::string kNoBreak = "\xC2\xA0";

std::string with_unit(const std::string& number, const std::string& unit) {
  return unit.empty() ? number : number + kNoBreak + unit;
}

/// Decimals of a figure. Ages and shares support a claim and are rounded down; one that has to be at most so much is
/// rounded up.
struct Places {
  int decimals;
  Rounding rounding;
};
Places places_of(const std::string& unit, bool upper) {
  if (unit == "years" || unit == "%") return {1, upper ? Rounding::up : Rounding::down};
  if (unit == "%vol" || unit == "g/L") return {2, Rounding::nearest};
  return {1, Rounding::nearest};
}

bool is_upper(Operator op) { return op == Operator::at_most || op == Operator::below; }

/// Days from the youngest harvest's year, as `kept until` counts them: "1 Sep of year 2".
std::string day_after_harvest(double days) {
  constexpr int kCommonYear = 2001;
  const int year = static_cast<int>(std::floor(days / 365.0));
  int day = static_cast<int>(days) - 365 * year, month = 1;
  while (day >= days_in_month(kCommonYear, month)) day -= days_in_month(kCommonYear, month++);
  const std::string shown = day_text({kCommonYear, month, day + 1});
  return shown.substr(0, shown.rfind(kNoBreak)) + " of year" + kNoBreak + std::to_string(year);
}

/// "4.1 years"; `upper`: of what is at most so much.
std::string label_value(double value, const std::string& unit, bool upper = false) {
  if (unit.empty()) return decimal_text(value, 0, false, false);  // a year or a count
  if (unit == "days") return day_after_harvest(value);
  const Places places = places_of(unit, upper);
  return with_unit(decimal_text(value, places.decimals, places.rounding), unit);
}

std::string upper_value(double value, const std::string& unit) { return label_value(value, unit, true); }

/// True where a figure looks as if it stood on the limit, and so on the other side of it than it does.
bool misleads(const Judgement& row, double value, const std::string& shown, int decimals) {
  if (!is_known(row.limit) || shown != decimal_text(row.limit, decimals, Rounding::nearest)) return false;
  switch (row.op) {
    case Operator::at_least: return value < row.limit;
    case Operator::above: return value > row.limit;
    case Operator::at_most: return value > row.limit;
    case Operator::below: return value < row.limit;
    default: return false;
  }
}

constexpr int kMostDecimals = 6;
constexpr double kNothing = 1e-9;  // of a figure worked out through a run

/// A figure with as many decimals as show on which side of its limit it stands.
std::string figure_beside_limit(const Judgement& row, double value) {
  if (row.unit.empty() || row.unit == "days") return label_value(value, row.unit);
  Places places = places_of(row.unit, is_upper(row.op));
  if (places.rounding == Rounding::up) ++places.decimals;
  const bool on_it = std::abs(value - row.limit) <= kNothing * std::max(1.0, std::abs(row.limit));
  std::string text = decimal_text(value, places.decimals, places.rounding);
  while (!on_it && places.decimals < kMostDecimals && misleads(row, value, text, places.decimals))
    text = decimal_text(value, ++places.decimals, places.rounding);
  return with_unit(text, row.unit);
}

/// Of the number that a text begins with.
int decimals_in(const std::string& text) {
  const auto point = text.find('.');
  if (point == std::string::npos) return 0;
  return static_cast<int>(std::min(text.find_first_not_of("0123456789", point + 1), text.size()) - point) - 1;
}

/// "17.20" of "17.20 %vol" where what stands beside it has the same unit.
std::string without_unit(const std::string& text, const std::string& beside, const std::string& unit) {
  const std::string end = unit.empty() ? "" : kNoBreak + unit;
  const bool both = !end.empty() && text.ends_with(end) && beside.ends_with(end);
  return both ? text.substr(0, text.size() - end.size()) : text;
}

std::string reading_text(const LabelReading& reading, const Judgement& row) {
  if (reading.exact()) return figure_beside_limit(row, reading.low);
  if (std::isfinite(reading.low) && std::isfinite(reading.high)) {
    const std::string high = upper_value(reading.high, row.unit);
    return without_unit(label_value(reading.low, row.unit), high, row.unit) + " to " + high;
  }
  if (std::isfinite(reading.low)) return "at least " + label_value(reading.low, row.unit);
  if (std::isfinite(reading.high)) return "at most " + upper_value(reading.high, row.unit);
  return "not known";
}

/// "6.0 years above": a stated age held against that of the youngest part.
bool is_over_youngest(const Judgement& row) { return row.quantity == "stated age less youngest" && row.limit == 0.0; }
std::string over_youngest_text(const LabelReading& reading) {
  if (!reading.exact())
    return std::isfinite(reading.high) ? "up to " + upper_value(reading.high, "years") + " above" : "not known";
  if (std::abs(reading.low) <= kNothing) return "the same";
  return reading.low > 0.0 ? upper_value(reading.low, "years") + " above"
                           : label_value(-reading.low, "years") + " below";
}

std::string readings_text(const Judgement& row) {
  std::string text;
  for (const LabelReading& reading : row.readings)
    text += (text.empty() ? "" : "; ") +
            (row.year != nullptr && reading.exact()
                 ? with_unit(decimal_text(reading.low, 1, false), row.unit)  // to the nearest
                 : reading_text(reading, row)) +
            (reading.how.empty() ? "" : ' ' + reading.how);
  return text;
}

bool readings_differ(const Judgement& row) {
  return std::any_of(row.readings.begin(), row.readings.end(), [&](const LabelReading& one) {
    return reading_text(one, row) != reading_text(row.readings.front(), row);
  });
}

bool is_share(const std::string& quantity) { return quantity.find("share") != std::string::npos; }

std::string hidden_spirit(const Judgement& row, const LabelFacts& facts) {
  if (!is_share(row.quantity) || facts.spirit_not_stated.empty()) return "";
  return "no spirit is stated for " + listed_briefly(facts.spirit_not_stated) + ", so all of it counts as wine";
}

/// "from 2018-01-01", "until 2017-12-31", "from ... until ...", or nothing.
std::string days_text(const InForce& days) {
  if (!days.from && !days.until) return "";
  if (!days.until) return "from " + iso_text(*days.from);
  return (days.from ? "from " + iso_text(*days.from) + " " : "") + "until " + iso_text(*days.until);
}

std::string reason(const Judgement& row) {
  const std::string figure = row.by_figure == Verdict::holds   ? "by the figure it would hold"
                             : row.by_figure == Verdict::fails ? "by the figure it would fail"
                                                               : "the figure does not decide it either";
  switch (row.because) {
    case Because::figure:
      return row.quantity == "strength" && row.op == Operator::same_side && row.verdict == Verdict::fails
                 ? "what is stated and what was found lie on different sides; the limit itself is the lower side's"
                 : "";
    case Because::not_known:
      if (row.quantity == "not in the book") return "the book does not tell; look at the label";
      return "the " + row.quantity + " is not known";
    case Because::bounds: return "part of the wine is not known, and it could lie on either side";
    case Because::readings_differ:
      return (row.year != nullptr ? "lots do not say how they came, and it matters: "
                                  : "the texts do not say how to reckon, and it matters: ") +
             readings_text(row);
    case Because::years_differ:
      return "the text knows two annual periods, and they do not agree; state `filing: {inventory: ...}`";
    case Because::limits_differ:
      return "the text joins this limit and another by 'or', and they do not agree; ask the authority";
    case Because::at_limit: return "it stands on the limit itself, on which the sources differ";
    case Because::memory: return "the text is known from memory only; " + figure;
    case Because::open_point: return row.rule->open_point;
    case Because::not_in_force: return "it is not in force on that day: " + days_text(row.rule->in_force);
    case Because::condition_unknown:
      return row.of + " is not known, on which it depends; if the rule speaks of this " + "wine, it fails";
    case Because::not_covered: return "it does not speak of this wine (" + row.of + ")";
    case Because::gives_way: return "by itself it would hold, but it does not reach across " + row.of;
    case Because::no_rule: return "the rules of " + row.set + " that are on file have nothing on it";
  }
  return "";
}

void add(std::string& text, const std::string& more) {
  if (!more.empty()) text += (text.empty() ? "" : "; ") + more;
}

}  // namespace

std::string period_text(const LossYear& year) {
  if (year.last.month == 12 && year.last.day == 31) return std::to_string(year.last.year);
  std::string text = "to " + day_text(year.last);
  for (auto at = text.find(kNoBreak); at != std::string::npos; at = text.find(kNoBreak)) text.replace(at, 2, " ");
  return text;
}

std::string loss_row_name(const LossYear& year) {
  return period_text(year) + (year.part < 1.0 ? " (" + decimal_text(12.0 * year.part, 0, false) + " months)" : "");
}

bool is_idle(const Judgement& row) {
  constexpr double kHalfAMonth = 0.5 / 12.0;
  return row.because == Because::not_known || row.year->part < kHalfAMonth;
}

std::string claim_word(const Judgement& row) {
  if (row.rule->effect != Effect::statement) return verdict_word(row.verdict);
  return row.verdict == Verdict::holds ? "a claim is needed" : row.verdict == Verdict::fails ? "none needed" : "open";
}

const char* verdict_word(Verdict verdict) {
  return verdict == Verdict::holds ? "holds" : verdict == Verdict::fails ? "fails" : "open";
}

const char* needed_word(Verdict verdict) {
  return verdict == Verdict::holds ? "yes" : verdict == Verdict::fails ? "no" : "open";
}

const char* known_word(Known known) {
  return known == Known::read ? "read" : known == Known::second_hand ? "second hand" : "memory";
}

/// "2.8 % or 3.5 %": a loss supports no claim and is rounded to the nearest.
std::string loss_text(const Judgement& row) {
  std::string text;
  for (const LabelReading& reading : row.readings)
    text += (text.empty() ? "" : " or ") +
            (reading.unknown() ? "not known" : with_unit(decimal_text(reading.low, 1, false), row.unit));
  return text;
}

std::string value_text(const Judgement& row) {
  if (row.readings.empty() || row.quantity == "not in the book") return "";
  if (row.quantity == "age statement") return "an age";
  if (is_over_youngest(row)) return over_youngest_text(row.readings.front());
  if (row.quantity == "kept words") return "such words";
  if (row.quantity == "statement") return "stated";
  if (row.year != nullptr) return loss_text(row);
  if (row.quantity == "strength outside the stated range" && row.readings.front().exact())
    return label_value(std::abs(row.value), row.unit) + (row.value > 0.0 ? " outside" : " inside");
  const LabelReading& one = row.readings.front();
  const std::string first = reading_text(one, row);
  if (row.readings.size() < 2) return first;
  const LabelReading& other = row.readings[1];
  if (!one.exact() && !other.exact())  // two ranges are one, from the least to the most
    return reading_text({std::min(one.low, other.low), std::max(one.high, other.high), ""}, row);
  const std::string second = reading_text(other, row);
  return first == second ? first : without_unit(first, second, row.unit) + " or " + second;
}

std::string limit_text(const Judgement& row) {
  if (!is_known(row.limit)) return "";
  if (is_over_youngest(row)) return "its youngest part";
  if (row.quantity == "age statement" || row.quantity == "kept words" || row.quantity == "statement") return "none";
  if (row.quantity == "strength outside the stated range" && row.limit == 0.0) return "inside the range";
  if (row.quantity == "not in the book" && row.unit.empty() && row.op == Operator::exactly) return "";  // yes or no
  const std::string unit = row.unit == "years" && row.limit == 1.0 ? "year" : row.unit;
  const std::string side = row.op == Operator::same_side ? "one side of" : operator_word(row.op);
  if (row.unit == "days") return side + ' ' + label_value(row.limit, row.unit);
  return side + ' ' + with_unit(plain_number(row.limit), unit);
}

std::string margin_text(const Judgement& row) {
  if (!is_known(row.margin) || row.op == Operator::exactly || row.quantity == "age statement" ||
      row.quantity == "statement")
    return "";
  if (row.op == Operator::multiple_of && row.margin == 0.0) return "";
  // As the figure beside it, from which it follows: +12.5 at 19.5 and a limit of 7. A margin that is not nothing never
  // reads as nothing.
  auto [decimals, rounding] = places_of(row.unit, false);
  if (row.readings.size() == 1 && row.readings.front().exact())
    decimals = std::max(decimals, decimals_in(figure_beside_limit(row, row.readings.front().low)));
  std::string text = decimal_text(row.margin, decimals, rounding);
  while (std::abs(row.margin) > kNothing && decimals < kMostDecimals &&
         text.find_first_of("123456789") == std::string::npos)
    text = decimal_text(row.margin, ++decimals, rounding);
  return (row.margin >= 0.0 && text.front() != '-' ? "+" : "") + text;
}

std::string by_text(const Judgement& row) {
  if (row.rule != nullptr) return row.rule->id;
  if (row.quantity == "least named share") return "each of them";
  return row.because == Because::no_rule ? row.set + ": no rule" : "the figure";
}

std::string citation_text(const Citation& source, const InForce& days) {
  const std::string in_force = days_text(days);
  return source.where + " (text: " + source.text_of + "; " +
         (source.known == Known::memory ? "from memory" : known_word(source.known)) +
         (in_force.empty() ? "" : "; " + in_force) + ")";
}

std::string source_text(const Rule& rule) { return citation_text(rule.source, rule.in_force); }

Table with_dashes(Table table) {
  for (auto& row : table.rows)
    for (Cell& cell : row)
      if (const auto* text = std::get_if<std::string>(&cell); text != nullptr && text->empty()) cell = "-";
  return table;
}

bool needs_why(const Judgement& row, const LabelFacts& facts) {
  if (row.because == Because::no_rule) return false;
  return row.verdict != Verdict::holds || row.within_error || readings_differ(row) ||
         !hidden_spirit(row, facts).empty();
}

std::string why_text(const Judgement& row, const LabelFacts& facts) {
  std::string text = reason(row);
  const bool settled = row.because == Because::figure || row.because == Because::gives_way;
  const bool two_readings =
      readings_differ(row) && row.because != Because::readings_differ && row.because != Because::not_known;
  const char* how = row.verdict == Verdict::open ? "the readings are: " : "both readings say so: ";
  if (two_readings) add(text, how + readings_text(row));
  if (row.quantity == "official quotient" && is_known(facts.quotient_after_y))
    add(text, "with the stock after the draw " + decimal_text(facts.quotient_after_y, 1, true) +
                  ", with losses counted as drawn " + decimal_text(facts.quotient_with_losses_y, 1, true) +
                  "; the volume-weighted mean age is " + label_value(facts.age.mean_y, "years"));
  if (settled && row.within_error)
    add(text, std::string(verdict_word(row.verdict)) + ", but within the error of " +
                  with_unit(decimal_text(row.error, 2, false), row.unit) +
                  (row.verdict == Verdict::holds ? ": treat it as not passed, and measure" : ": measure"));
  add(text, hidden_spirit(row, facts));
  if (row.rule != nullptr && row.because != Because::not_covered && row.because != Because::not_in_force)
    add(text, row.rule->source.note);
  return text;
}

std::vector<std::string> label_cautions() {
  return {
      "These verdicts compare figures with limits as noted on the dates shown. They are no legal advice and take the "
      "place of no label approval; look up the texts in force before you print.",
      "A verdict is about the figures given. Have strength, sugar, SO2 and volatile acidity measured: a computed value "
      "is an estimate, and close to a limit it has not passed.",
      "Ages are computed means of a mixture. In many places a mean may not be shown on a label at all; often only the "
      "youngest part counts.",
      "A vintage, a variety or a place needs records that lead back to the grapes. Protected names and their age "
      "classes belong to their areas; their limits are shown for comparison.",
      "Making or adding spirit and selling wine need permits and tax accounts in most countries. Where a verdict is "
      "open, ask the authority.",
  };
}

}  // namespace tierce
