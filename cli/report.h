// Runs become reports: which rows, columns and sentences a reader gets. No rounding, no formatting of numbers.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/outlook.h"
#include "cli/table.h"

namespace tierce {

/// `why_this_day`: why the stock is shown on its day, in a few words.
Report stock_report(const Outlook& outlook, const Stock& stock, const std::string& why_this_day, Units units);
/// Draws, and the bottlings of what stood in a tank.
struct ChosenWines {
  std::vector<const DrawRecord*> draws;
  std::vector<const BottlingRecord*> bottlings;
};
Report age_report(const Outlook& outlook, const ChosenWines& wines, const std::string& why_this_draw, Units units);
/// A certificate of what a draw is made of, for its buyer; no label, no legal claim.
Report certificate_report(const Outlook& outlook, const std::vector<const DrawRecord*>& draws, Units units);
Report forecast_report(const Outlook& outlook, const LongRun& long_run, Units units);

/// What was bottled so far; nothing if nothing was.
std::optional<Table> bottling_table(const Outlook& outlook);
/// What is noted of vessels, and which are to be left out.
std::vector<std::string> remarks_on_vessels(const Outlook& outlook, const Stock& stock, Units units);
Figure figure_of_reading(const std::string& quantity);
std::string place_name(const Scenario& scenario, int row, int vessel);
/// The vessels whose last mark, up to the end of the run, is "leave out", with the analysis that says so.
std::vector<const Reading*> to_be_left_out(const Trajectory& run);
/// "In T1 stands Bottling 2027, drawn on 10 Feb 2027."; empty if none does.
std::string standing_text(const Outlook& outlook, int row);
/// The bottlings in which wine of a draw may be.
std::vector<const BottlingRecord*> bottlings_of(const Trajectory& run, const DrawRecord& draw);
std::string bottle_text(double bottle_l);  // 375 mL
std::string strength_class(double pct);    // between which limits of the law a strength lies
std::string use_text(Use use);             // the word of the scenario file

/// The line that closes every report, and what the reader has to know.
void close_report(Report& report, const Outlook& outlook, Units units);

}  // namespace tierce
