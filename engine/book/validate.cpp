#include "engine/book/validate.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "engine/book/cost.h"

namespace tierce {
namespace {

constexpr int kLongestForecastYears = 1000;

bool before(const At& a, const At& b) { return std::pair(a.line, a.column) < std::pair(b.line, b.column); }

class Checks {
 public:
  explicit Checks(const Scenario& scenario) : scenario_(scenario) {}

  std::vector<Problem> all() {
    names();
    opening();
    lots();
    costs();
    log();
    until();
    habit();
    doses();
    std::stable_sort(problems_.begin(), problems_.end(),
                     [](const Problem& a, const Problem& b) { return before(a.at, b.at); });
    return std::move(problems_);
  }

 private:
  /// A fault after which the scenario cannot be run.
  void report(At at, std::string what, std::string allowed = "", std::string hint = "") {
    problems_.push_back({at, std::move(what), std::move(allowed), std::move(hint)});
  }
  /// A fault that leaves the litres as they are.
  void report_only(At at, std::string what, std::string allowed, std::string hint = "") {
    problems_.push_back({at, std::move(what), std::move(allowed), std::move(hint), true});
  }

  void once(std::map<std::string, At>& seen, const std::string& kind, const std::string& name, At at) {
    if (name.empty()) return;
    const auto [first, added] = seen.emplace(name, at);
    const bool said =
        !problems_.empty() && problems_.back().at.line == at.line && problems_.back().at.column == at.column;
    if (!added && !said)  // of vessels counted under one name the first tells all
      report(at, kind + " '" + name + "' is given twice", "each name once",
             "the first stands in line " + std::to_string(first->second.line));
  }

  void is_a_name(const std::string& name, At at, const std::vector<std::string>& words_of_the_file) {
    for (const std::string& word : words_of_the_file)
      if (name == word)
        report(at, "'" + name + "' cannot be a name", "any other name", "the file uses this word itself");
  }

  void names() {
    std::vector<std::pair<At, std::string>> places;
    for (const Tier& tier : scenario_.tiers) {
      places.emplace_back(tier.at, tier.name);
      for (const Vessel& vessel : tier.vessels)
        if (tier.vessels.size() > 1 || vessel.name != tier.name) places.emplace_back(vessel.at, vessel.name);
    }
    for (const Tank& tank : scenario_.tanks) places.emplace_back(tank.at, tank.name);
    std::stable_sort(places.begin(), places.end(),
                     [](const auto& a, const auto& b) { return before(a.first, b.first); });
    std::map<std::string, At> seen_places, seen_lots, seen_spirits;
    for (const auto& [at, name] : places) {
      once(seen_places, "the name", name, at);
      is_a_name(name, at, {"all", "none"});
    }
    for (const Lot& lot : scenario_.lots) {
      once(seen_lots, "the lot", lot.name, lot.at);
      is_a_name(lot.name, lot.at, {"unknown", "none"});
    }
    for (const Spirit& spirit : scenario_.spirits) once(seen_spirits, "the spirit", spirit.name, spirit.at);
  }

  void opening() {
    for (const Opening& opening : scenario_.opening)
      for (const Opening::Part& part : opening.parts)
        if (part.lot >= 0) harvested_by(part.lot, opening.date, opening.at, "the opening stock holds");
  }

  void harvested_by(int index, const Date& date, At at, const std::string& act) {
    const Lot& lot = scenario_.lots[static_cast<std::size_t>(index)];
    if (lot.made && lot.made->date && *lot.made->date > date && (lot.origin || lot.harvested <= date)) {
      const std::string came = lot.origin ? "was drawn" : "was made";
      report_only(at,
                  act + " lot '" + lot.name + "' on " + iso_text(date) + ", before it " + came + " on " +
                      iso_text(*lot.made->date),
                  "a day from " + iso_text(*lot.made->date));
      return;
    }
    if (lot.harvested <= date) return;
    report_only(
        at, act + " lot '" + lot.name + "' on " + iso_text(date) + ", before its harvest on " + iso_text(lot.harvested),
        "a day from " + iso_text(lot.harvested),
        lot.harvested_stated ? "" : "without 'harvested' a lot counts from 1 Oct of its vintage (1 Apr in the south)");
  }

  /// A lot in a tank is in the book already: it is used by what takes it out of the tank.
  void stands_in_no_tank(int index, At at, const std::string& verb) {
    const Lot& lot = scenario_.lots[static_cast<std::size_t>(index)];
    if (!lot.made || !lot.made->in) return;
    const std::string& tank = scenario_.name_of(lot.made->in->row);
    report_only(at, "lot '" + lot.name + "' stands in tank '" + tank + "' from " + iso_text(*lot.made->date),
                "do: " + verb + ", from: " + tank);
  }

  /// The day on which the book begins; nothing if it has none.
  std::optional<Date> first_day() const {
    std::optional<Date> first;
    const auto take = [&](const Date& date) {
      if (date.year < 9999 && (!first || date < *first)) first = date;
    };
    for (const Opening& opening : scenario_.opening) take(opening.date);
    for (const Entry& entry : scenario_.log) take(entry.date);
    return first;
  }

  /// `vintage: 22` is the year 22.
  void vintage_in_reach(const Lot& lot, const std::optional<Date>& first) {
    constexpr int kMostYears =
        100;  // common practice, no source: older wine enters a book as opening stock with an age
    if (!first || lot.origin || lot.elsewhere || lot.vintage == 0 || lot.vintage >= first->year - kMostYears) return;
    const int century = first->year / 100 * 100, meant = century + lot.vintage;
    const std::string opening = "wine so old stands in the opening under a name of its own, with its age under 'ages'";
    report_only(lot.at,
                "lot '" + lot.name + "' is of the vintage " + std::to_string(lot.vintage) + ", more than " +
                    std::to_string(kMostYears) + " years before the book begins on " + iso_text(*first),
                "a vintage from " + std::to_string(first->year - kMostYears),
                lot.vintage < 100
                    ? "did you mean " + std::to_string(meant <= first->year + 1 ? meant : meant - 100) + "?"
                    : opening);
  }

  /// Grapes may hang until February for sweet wine. In the south the year of the harvest is that of the vintage; what
  /// is picked there from September on may count for the next (Wine Australia: docs/sources.md [vintage-south]).
  void harvested_in_its_vintage(const Lot& lot) {
    if (!lot.harvested_stated || lot.origin || lot.elsewhere || lot.vintage == 0 || lot.harvested.year < 2) return;
    const bool south = scenario_.cellar.southern;
    const Date from{south ? lot.vintage - 1 : lot.vintage, south ? 9 : 1, 1};
    const Date to = south ? Date{lot.vintage, 12, 31} : Date{lot.vintage + 1, 2, 29};
    if (lot.harvested >= from && lot.harvested <= to) return;
    const Date last = south || is_leap_year(to.year) ? to : Date{to.year, 2, 28};
    report_only(lot.at,
                "lot '" + lot.name + "' of the vintage " + std::to_string(lot.vintage) + " is harvested on " +
                    iso_text(lot.harvested),
                "a day from " + iso_text(from) + " to " + iso_text(last) +
                    (south ? " (in the south the year of the harvest)" : ""));
  }

  void lots() {
    const std::optional<Date> first = first_day();
    for (const Lot& lot : scenario_.lots) {
      vintage_in_reach(lot, first);
      harvested_in_its_vintage(lot);
      if (lot.made && lot.made->date && *lot.made->date < lot.harvested && !lot.origin)
        report_only(lot.made->at,
                    "lot '" + lot.name + "' is made on " + iso_text(*lot.made->date) + ", before its harvest on " +
                        iso_text(lot.harvested),
                    "a day from " + iso_text(lot.harvested));
      if (lot.analysed && *lot.analysed < lot.harvested && !lot.origin)
        report_only(lot.at,
                    "lot '" + lot.name + "' is analysed on " + iso_text(*lot.analysed) + ", before its harvest on " +
                        iso_text(lot.harvested),
                    "a day from " + iso_text(lot.harvested));
    }
  }

  /// Money adds up in one currency only.
  void costs() {
    const std::vector<Cost> costs = stated_costs(scenario_);
    for (const Cost& cost : costs)
      if (const Cost& first = costs.front(); cost.currency != first.currency)
        report_only(cost.at,
                    "a cost in " + cost.currency + ", where line " + std::to_string(first.at.line) + " states one in " +
                        first.currency,
                    "one currency for the whole file: " + first.currency);
  }

  void log() {
    order_of_log();
    for (const Entry& entry : scenario_.log) {
      if (const auto* add = std::get_if<Add>(&entry.action)) stands_in_no_tank(add->lot, add->lot_at, "move");
      if (const auto* refill = std::get_if<Refill>(&entry.action); refill && !refill->from)
        stands_in_no_tank(refill->lot, refill->lot_at, "refill");
      if (const auto* add = std::get_if<Add>(&entry.action))
        harvested_by(add->lot, entry.date, add->lot_at, "the log adds");
      if (const auto* refill = std::get_if<Refill>(&entry.action); refill && !refill->from)
        harvested_by(refill->lot, entry.date, refill->lot_at, "the log refills with");
      if (const auto* move = std::get_if<Move>(&entry.action))
        if (move->from.row == move->to.row && move->from.vessel == move->to.vessel)
          report_only(move->to.at, "the move goes to where it comes from", "two different places");
    }
  }

  /// As written: a correction stands where it was made, and may move the entry that it corrects to another day.
  void order_of_log() {
    std::vector<std::pair<At, Date>> written;
    for (const Entry& entry : scenario_.log) written.emplace_back(entry.at, entry.first_date.value_or(entry.date));
    for (const Correction& correction : scenario_.corrections) written.emplace_back(correction.at, correction.date);
    if (!scenario_.corrections.empty())
      std::stable_sort(written.begin(), written.end(),
                       [](const auto& a, const auto& b) { return before(a.first, b.first); });
    Date last{0, 1, 1};
    for (const auto& [at, date] : written) {
      if (date < last)
        report_only(at, "the log is out of order: " + iso_text(date) + " stands after " + iso_text(last),
                    "entries in the order of their dates");
      last = std::max(last, date);
    }
  }

  void until() {
    if (!scenario_.until) return;
    const std::string stated = "'until: " + std::to_string(*scenario_.until) + "'";
    Date last{0, 1, 1};
    for (const Opening& opening : scenario_.opening) last = std::max(last, opening.date);
    for (const Entry& entry : scenario_.log) last = std::max(last, entry.date);
    if (*scenario_.until < last.year && last.year < 9999)
      report_only(scenario_.until_at, stated + " is before the last entry of the book, of " + iso_text(last),
                  "a year from " + std::to_string(last.year));
    for (const Routine& routine : scenario_.habit)
      if (routine.from) last = std::max(last, *routine.from);
    if (last.year > 0 && *scenario_.until > last.year + kLongestForecastYears)
      report(scenario_.until_at, stated + " is more than " + std::to_string(kLongestForecastYears) + " years ahead",
             "a year up to " + std::to_string(last.year + kLongestForecastYears));
  }

  void like_no_brought_wine(const HabitRefill& refill) {
    if (refill.kind != HabitRefill::Kind::like || refill.lot < 0) return;
    const Lot& lot = scenario_.lots[static_cast<std::size_t>(refill.lot)];
    if (lot.origin)
      report(refill.at, "no harvest is like '" + lot.name + "', which is wine of another reserve",
             "a lot of this file");
  }

  /// Salt for vessels that are all full is the least that a litre can get of it.
  void dose_in_bounds(const Dose& dose) {
    if (dose.kind != Dose::Kind::metabisulfite || !std::isinf(dose.at_most_total_mg_l)) return;
    double most_l = dose.place ? scenario_.capacity_of(dose.place->row) : 0.0;
    for (int row = 0; !dose.place && row < scenario_.tier_count(); ++row) most_l += scenario_.capacity_of(row);
    const double mg_l = 1000.0 * so2_grams_of_metabisulfite(dose.value, scenario_.metabisulfite_yield) / most_l;
    if (!(mg_l > kLargestDoseMgL)) return;
    const double most_g = metabisulfite_grams(kLargestDoseMgL * most_l / 1000.0, scenario_.metabisulfite_yield);
    report_only(dose.at,
                "the dose of " + std::to_string(std::llround(dose.value)) + " g of metabisulfite is " +
                    std::to_string(std::llround(mg_l)) + " mg/L of SO2 even where all is full",
                "up to 2000 mg/L: here " + std::to_string(static_cast<long long>(most_g)) + " g",
                "grams for kilograms?");
  }

  void doses() {
    for (const Entry& entry : scenario_.log)
      if (const auto* dose = std::get_if<Dose>(&entry.action)) dose_in_bounds(*dose);
    for (const Routine& routine : scenario_.habit) {
      for (const Dose& dose : routine.usual.doses) dose_in_bounds(dose);
      for (const auto& [year, day] : routine.except)
        for (const Dose& dose : day.doses) dose_in_bounds(dose);
    }
  }

  void habit() {
    for (const Routine& routine : scenario_.habit) {
      like_no_brought_wine(routine.usual.refill);
      for (const auto& [year, day] : routine.except) like_no_brought_wine(day.refill);
    }
    for (const Routine& routine : scenario_.habit)
      if (scenario_.log.empty() && scenario_.opening.empty() && !routine.from)
        report_only(routine.at, "the habit has no day to start from",
                    "a log, an opening stock, or 'from:' with a date");
  }

  const Scenario& scenario_;
  std::vector<Problem> problems_;
};

}  // namespace

std::vector<Problem> validate(const Scenario& scenario) { return Checks(scenario).all(); }

}  // namespace tierce
