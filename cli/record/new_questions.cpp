#include "cli/record/new_questions.h"

#include <algorithm>

#include "cli/read/quantity_text.h"
#include "cli/read/scenario_keys.h"
#include "cli/read/source.h"

namespace tierce {
namespace {

constexpr std::size_t kLongestName = 60;  // bytes of the reserve's name
constexpr int kMostTiers = 20;
constexpr int kMostVessels = 500;   // of one tier
constexpr double kOldest = 1000.0;  // years
constexpr int kLastYear = 9999;     // of the calendar

std::string in_words(const Misread& misread) {
  return misread.what + (misread.allowed.empty() ? "" : " (" + misread.allowed + ")") +
         (misread.hint.empty() ? "" : "; " + misread.hint);
}

template <class T>
std::string fault_of(const Read<T>& read) {
  const auto* misread = std::get_if<Misread>(&read);
  return misread != nullptr ? in_words(*misread) : "";
}

/// A quantity held against the row of its key.
std::string fault_of_quantity(const std::string& answer, const Section& section, const std::string& name) {
  const Key& key = *section.find(name);
  const auto read = read_quantity(answer, key.measure);
  if (std::holds_alternative<Misread>(read)) return fault_of(read);
  if (key.range.holds(std::get<Quantity>(read).value)) return "";
  return "'" + answer + "' is out of range (" + allowed_text(key) + ")";
}

std::string fault_of_evaporation(const std::string& answer) {
  const bool per_vessel = answer.find("vessel") != std::string::npos;
  const auto read = read_quantity(answer, per_vessel ? Measure::volume_per_vessel_year : Measure::share_per_year);
  if (std::holds_alternative<Misread>(read)) return fault_of(read);
  const double value = std::get<Quantity>(read).value;
  const bool holds = value >= 0.0 && (per_vessel ? value <= kLargestAmount : value < 1.0);
  return holds ? "" : "'" + answer + "' is out of range (0 %/yr or more, below 100 %/yr)";
}

std::string fault_of_name(const std::string& answer) {
  const bool one_line = answer.find_first_of("\n\r\t") == std::string::npos;
  const bool text = fit_to_show(answer) == answer;
  if (one_line && text && answer.size() <= kLongestName) return "";
  return "this is no name (one line of text, up to " + std::to_string(kLongestName) + " bytes)";
}

std::string fault_of_day(const std::string& answer) {
  const auto read = read_date(answer);
  if (std::holds_alternative<Misread>(read)) return fault_of(read);
  const int most = kLastYear - kYearsOfAStarter, year = std::get<Date>(read).year;
  if (year >= 2 && year <= most) return "";
  return "'" + answer + "' is out of range (a day of the years 2 to " + std::to_string(most) + ")";
}

std::string fault_of_age(const std::string& answer) {
  if (answer == "new" || answer == "unknown") return "";
  const auto read = read_quantity(answer, Measure::years);
  if (const auto* misread = std::get_if<Misread>(&read))
    return misread->what + " (new, unknown, or a time, as in 12 years)";
  const double years = std::get<Quantity>(read).value;
  return years >= 0.0 && years <= kOldest ? "" : "'" + answer + "' is out of range (new, unknown, or 0 to 1000 years)";
}

std::string fault_of_draw(const std::string& answer) { return answer == "none" ? "" : fault_of(read_amount(answer)); }

}  // namespace

const std::vector<NewQuestion>& new_questions() {
  static const std::vector<NewQuestion> kQuestions = {
      {"reserve", "NAME", "What is the reserve called", ""},
      {"tiers", "N", "How many tiers has it; the wine moves from each to the next older one", "1"},
      {"vessels", "N", "How many vessels are in each tier", "4"},
      {"capacity", "VOLUME", "What does each vessel hold when full", "225 L"},
      {"volume", "VOLUME", "How much wine is in them, all together", "full"},
      {"filled", "DATE", "On which day was it there, as 2027-02-10", ""},
      {"age", "AGE", "How old was it then: new, a time as 12 years, or unknown", "new"},
      {"alcohol", "STRENGTH", "What is its strength", "18 %vol"},
      {"evaporation", "LOSS", "How much evaporates, as 3 %/yr or 8 L/yr per vessel", "3 %/yr"},
      {"draw", "AMOUNT", "What will be drawn each year, as 20 %, 300 L, 500 x 375 mL or none", "20 %"},
      {"day", "DAY", "On which day of the year", "10 Feb"},
      {"units", "metric|us", "Shall reports print litres or US gallons: metric or us", "metric"},
  };
  return kQuestions;
}

std::string fault_of_answer(const std::string& name, const std::string& answer) {
  if (name == "reserve") return fault_of_name(answer);
  if (name == "tiers") return fault_of(read_whole(answer, 1, kMostTiers));
  if (name == "vessels") return fault_of(read_whole(answer, 1, kMostVessels));
  if (name == "capacity") return fault_of_quantity(answer, keys::vessel(), "capacity");
  if (name == "volume") return answer == "full" ? "" : fault_of_quantity(answer, keys::opening(), "volume");
  if (name == "filled") return fault_of_day(answer);
  if (name == "age") return fault_of_age(answer);
  if (name == "alcohol") return fault_of_quantity(answer, keys::lot(), "alcohol");
  if (name == "evaporation") return fault_of_evaporation(answer);
  if (name == "draw") return fault_of_draw(answer);
  if (name == "day") return fault_of(read_day_of_year(answer));
  return answer == "metric" || answer == "us" ? "" : "unknown '" + answer + "' (metric, us)";
}

}  // namespace tierce
