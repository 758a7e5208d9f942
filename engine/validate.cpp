#include "engine/validate.h"

#include <algorithm>
#include <map>

namespace tierce {
namespace {

class Checks {
 public:
  explicit Checks(const Scenario& scenario) : scenario_(scenario) {}

  std::vector<Problem> all() {
    names();
    tiers();
    opening();
    log();
    habit();
    std::stable_sort(problems_.begin(), problems_.end(), [](const Problem& a, const Problem& b) {
      return std::pair(a.at.line, a.at.column) < std::pair(b.at.line, b.at.column);
    });
    return std::move(problems_);
  }

 private:
  void report(At at, std::string what, std::string allowed = "", std::string hint = "") {
    problems_.push_back({at, std::move(what), std::move(allowed), std::move(hint)});
  }

  void once(std::map<std::string, At>& seen, const std::string& kind, const std::string& name, At at) {
    if (name.empty()) return;
    const auto [first, added] = seen.emplace(name, at);
    if (!added) report(at, kind + " name '" + name + "' is given twice", "each name once", "the first stands in line " + std::to_string(first->second.line));
    if (name == "all" || name == "none") report(at, "'" + name + "' cannot be a name", "any other name", "");
  }

  void names() {
    std::map<std::string, At> places, lots;
    for (const Tier& tier : scenario_.tiers) once(places, "the", tier.name, tier.at);
    for (const Tank& tank : scenario_.tanks) once(places, "the", tank.name, tank.at);
    for (const Tier& tier : scenario_.tiers)
      for (const Vessel& vessel : tier.vessels)
        if (tier.vessels.size() > 1 || vessel.name != tier.name) once(places, "the", vessel.name, vessel.at);
    for (const Lot& lot : scenario_.lots) once(lots, "the lot", lot.name, lot.at);
  }

  void tiers() {
    for (int row = 0; row < scenario_.tier_count(); ++row) {
      const Tier& tier = scenario_.tiers[static_cast<std::size_t>(row)];
      if (tier.target_l > scenario_.capacity_of(row) * (1.0 + 1e-9))
        report(tier.at, "the target of tier '" + tier.name + "' is more than its vessels hold", "a target up to the sum of the capacities");
      if (tier.evaporation.per_year > 0.0 && !tier.vapour_stated)
        report(tier.at, "tier '" + tier.name + "' loses wine by evaporation, but the strength of what evaporates is not stated",
               "vapour: a strength, as in 10 %vol; or evaporation: 0 %/yr",
               tier.evaporation.stated ? "" : "without 'evaporation' a tier loses 3 %/yr");
    }
  }

  void opening() {
    for (const Opening& opening : scenario_.opening)
      for (const Opening::Part& part : opening.parts)
        if (part.lot >= 0) harvested_by(part.lot, opening.date, opening.at, "the opening stock holds");
  }

  void harvested_by(int index, const Date& date, At at, const std::string& act) {
    const Lot& lot = scenario_.lots[static_cast<std::size_t>(index)];
    if (lot.harvested <= date) return;
    const std::string harvested = "its harvest on " + iso_text(lot.harvested);
    report(at, act + " lot '" + lot.name + "' on " + iso_text(date) + ", before " + harvested, "a day from " + iso_text(lot.harvested),
           lot.harvested_stated ? "" : "without 'harvested' a lot counts from 1 Oct of its vintage (1 Apr in the south)");
  }

  void log() {
    Date last{0, 1, 1};
    for (const Entry& entry : scenario_.log) {
      if (entry.date < last) report(entry.at, "the log is out of order: " + iso_text(entry.date) + " stands after " + iso_text(last), "entries in order of their dates");
      last = std::max(last, entry.date);
      if (const auto* add = std::get_if<Add>(&entry.action)) harvested_by(add->lot, entry.date, add->lot_at, "the log adds");
      if (const auto* refill = std::get_if<Refill>(&entry.action)) harvested_by(refill->lot, entry.date, refill->lot_at, "the log refills with");
      if (const auto* move = std::get_if<Move>(&entry.action))
        if (move->from.row == move->to.row && move->from.vessel == move->to.vessel) report(move->to.at, "the move goes to where it comes from", "two different places");
    }
    if (scenario_.until && *scenario_.until < last.year) report(scenario_.until_at, "'until: " + std::to_string(*scenario_.until) + "' is before the log's last entry of " + iso_text(last), "a year from " + std::to_string(last.year));
  }

  void habit() {
    for (const Routine& routine : scenario_.habit)
      if (scenario_.log.empty() && scenario_.opening.empty() && !routine.from)
        report(routine.at, "the habit has no day to start from", "a log, an opening stock, or 'from:' with a date");
  }

  const Scenario& scenario_;
  std::vector<Problem> problems_;
};

}  // namespace

std::vector<Problem> validate(const Scenario& scenario) { return Checks(scenario).all(); }

}  // namespace tierce
