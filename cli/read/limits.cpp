#include "cli/read/limits.h"

#include <algorithm>
#include <string>

namespace tierce {
namespace {

/// 50000 as "50,000".
std::string grouped(double number) {
  std::string digits = std::to_string(static_cast<long long>(number));
  for (auto at = static_cast<std::ptrdiff_t>(digits.size()) - 3; at > 0; at -= 3)
    digits.insert(static_cast<std::size_t>(at), ",");
  return digits;
}

constexpr const char* kLifts = "--large lifts this limit; it may then take long and much memory";

class Sizes {
 public:
  Sizes(const Scenario& scenario, const Span& span, const Limits& limits, bool sound)
      : scenario_(scenario), span_(span), limits_(limits), sound_(sound) {}

  std::vector<Problem> all() {
    lists();
    if (problems_.empty() && span_.habit) habit();
    if (problems_.empty()) run();
    return std::move(problems_);
  }

 private:
  void refuse(At at, const std::string& what, const std::string& allowed) {
    problems_.push_back({at, what, allowed, kLifts});
  }
  template <class T>
  void list(const std::vector<T>& items, std::size_t most, const std::string& what) {
    if (items.size() <= most) return;
    refuse(items[most].at, "the file has " + grouped(static_cast<double>(items.size())) + ' ' + what,
           grouped(static_cast<double>(most)) + ' ' + what + " at most");
  }

  void lists() {
    list(scenario_.tiers, limits_.tiers, "tiers");
    list(scenario_.tanks, limits_.tanks, "tanks");
    list(scenario_.lots, limits_.lots, "lots");
    list(scenario_.spirits, limits_.spirits, "spirits");
    list(scenario_.log, limits_.entries, "log entries");
    list(scenario_.habit, limits_.routines, "routines");
    list(scenario_.claims, limits_.claims, "claims");
    for (const Claim& claim : scenario_.claims)
      if (claim.of.size() > limits_.claimed_names)
        refuse(claim.at, "this claim names " + grouped(static_cast<double>(claim.of.size())) + " things",
               grouped(static_cast<double>(limits_.claimed_names)) + " names at most in one claim");
    std::size_t parts = 0;
    for (const Opening& opening : scenario_.opening) {
      parts += opening.parts.size() + 1;
      if (parts <= limits_.parts) continue;
      return refuse(opening.at,
                    "the opening stocks have more than " + grouped(static_cast<double>(limits_.parts)) + " parts",
                    grouped(static_cast<double>(limits_.parts)) + " parts at most");
    }
  }

  /// Years from the first day of the habit to the last of the forecast, no fewer than one.
  double years() const {
    int first = 0;
    for (const Opening& opening : scenario_.opening) first = std::max(first, opening.date.year);
    for (const Entry& entry : scenario_.log) first = std::max(first, entry.date.year);
    if (first == 0)
      for (const Routine& routine : scenario_.habit)
        if (routine.from) first = std::max(first, routine.from->year);
    return std::max(1, last_year(scenario_, span_) - first + 1);
  }

  void habit() {
    double a_year = 0.0;
    for (const Routine& routine : scenario_.habit)
      a_year += routine.every_months > 0 ? 12.0 / routine.every_months : 1.0;
    habit_days_ = a_year * years();
    if (habit_days_ <= limits_.habit_days) return;
    refuse(scenario_.habit.front().at,
           "the habit has " + grouped(habit_days_) + " days until " + std::to_string(last_year(scenario_, span_)),
           grouped(limits_.habit_days) + " days at most: fewer routines, longer periods or an earlier 'until'");
  }

  /// Lots that there can be in the run: with the clock `entry` one for each day on which wine comes in, with `wood` one
  /// for each time in wood as well.
  double parcels() const {
    if (scenario_.clock == Clock::wood && sound_) return static_cast<double>(timeline(scenario_, span_).parcels.size());
    double known = static_cast<double>(scenario_.lots.size());
    for (const Opening& opening : scenario_.opening) known += static_cast<double>(opening.parts.size());
    const double new_days = scenario_.clock == Clock::harvest ? std::min(habit_days_, 2.0 * years()) : habit_days_;
    if (scenario_.clock == Clock::harvest) return known + new_days;
    int days = 0;
    Date last{0, 1, 1};
    for (const Entry& entry : scenario_.log) {
      days += entry.date != last ? 1 : 0;
      last = entry.date;
    }
    return known + new_days + days;
  }

  double claims() const { return static_cast<double>(scenario_.claims.size()); }

  void run() {
    const double acts = static_cast<double>(scenario_.log.size() + scenario_.opening.size()) + 3.0 * habit_days_;
    const double lots = parcels();
    const double steps = acts * scenario_.rows() * lots;
    const auto draws =
        static_cast<double>(std::count_if(scenario_.log.begin(), scenario_.log.end(), [](const Entry& entry) {
          return std::holds_alternative<Draw>(entry.action);
        }));
    const double kept = (draws + habit_days_) * lots, judged = (draws + habit_days_) * claims();
    if (judged > limits_.judged)
      refuse(scenario_.claims.front().at,
             grouped(claims()) + " claims on up to " + grouped(draws + habit_days_) + " draws are too many verdicts",
             "claims x draws up to " + grouped(limits_.judged) + ": fewer claims, or an earlier 'until'");
    if (steps <= limits_.steps && kept <= limits_.kept) return;
    const bool by_habit = habit_days_ > static_cast<double>(scenario_.log.size());
    refuse(by_habit ? scenario_.habit.front().at : At{1, 1},
           "the run is too large: " + grouped(acts) + " acts, " + grouped(scenario_.rows()) +
               " tiers and tanks, up to " + grouped(lots) + " lots",
           "acts x tiers x lots up to " + grouped(limits_.steps) + ", draws x lots up to " + grouped(limits_.kept));
  }

  const Scenario& scenario_;
  const Span& span_;
  const Limits& limits_;
  bool sound_;
  double habit_days_ = 0.0;
  std::vector<Problem> problems_;
};

}  // namespace

std::vector<Problem> too_large(const Scenario& scenario, const Span& span, const Limits& limits, bool sound) {
  return Sizes(scenario, span, limits, sound).all();
}

}  // namespace tierce
