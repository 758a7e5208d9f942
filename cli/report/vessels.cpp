// What is known of single vessels: their notes, and those that are to be left out.
#include <map>

#include "cli/report/report.h"
#include "cli/write/write.h"

namespace tierce {

std::string place_name(const Scenario& scenario, int row, int vessel) {
  if (vessel < 0 || scenario.is_tank(row)) return scenario.name_of(row);
  return scenario.tiers[static_cast<std::size_t>(row)].vessels[static_cast<std::size_t>(vessel)].name;
}

std::vector<const Reading*> to_be_left_out(const Trajectory& run) {
  std::map<std::pair<int, int>, const Reading*> last;
  for (const Reading& reading : run.readings)
    if (reading.leave_out) last[{reading.row, reading.vessel}] = &reading;
  std::vector<const Reading*> marked;
  for (const auto& [place, reading] : last)
    if (*reading->leave_out) marked.push_back(reading);
  return marked;
}

namespace {

/// All that one analysis of a vessel found, beside what the book had of its tier.
std::string analysis_text(const Outlook& outlook, const Reading& of, Units units) {
  std::string text;
  for (const Reading& reading : outlook.run.readings) {
    if (reading.at.line != of.at.line || reading.row != of.row || reading.vessel != of.vessel) continue;
    const Figure figure = figure_of_reading(reading.quantity);
    text += (text.empty() ? "" : ", ") + reading.quantity + " " + figure_text(reading.measured, figure, units);
    if (is_known(reading.book))
      text += " (" + outlook.scenario.name_of(of.row) + " " + number_text(reading.book, figure, units) + ")";
  }
  return text + " on " + day_text(of.date);
}

}  // namespace

std::vector<std::string> remarks_on_vessels(const Outlook& outlook, const Stock& stock, Units units) {
  const Scenario& scenario = outlook.scenario;
  std::vector<std::string> lines;
  for (const Reading* reading : to_be_left_out(outlook.run))
    if (stock.levels.capacities_of(reading->row)[static_cast<std::size_t>(reading->vessel)] > 0.0)
      lines.push_back("LEAVE OUT " + place_name(scenario, reading->row, reading->vessel) + ": " +
                      analysis_text(outlook, *reading, units) + ". The book still counts its wine with the tier.");
  for (int row = 0; row < scenario.tier_count(); ++row) {
    const auto& vessels = scenario.tiers[static_cast<std::size_t>(row)].vessels;
    for (std::size_t i = 0; i < vessels.size(); ++i) {
      const bool said = i > 0 && vessels[i].note == vessels[i - 1].note;  // of vessels counted under one name
      if (!vessels[i].note.empty() && !said && stock.levels.capacities_of(row)[i] > 0.0)
        lines.push_back(vessels[i].name + ": " + vessels[i].note);
    }
  }
  for (const Tank& tank : scenario.tanks)
    if (!tank.note.empty()) lines.push_back(tank.name + ": " + tank.note);
  return lines;
}

}  // namespace tierce
