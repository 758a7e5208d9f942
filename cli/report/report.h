// Runs become reports: which rows, columns and sentences a reader gets. No rounding, no formatting of numbers.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/write/document.h"
#include "cli/write/table.h"
#include "engine/measure/yearly_age.h"
#include "engine/plan/long_run.h"
#include "engine/run/outlook.h"

namespace tierce {

struct PlaceRow;

/// `why_this_day`: why the stock is shown on its day, in a few words.
Document stock_report(const Outlook& outlook, const Stock& stock, const std::string& why_this_day, Units units);
/// Draws, and the bottlings of what stood in a tank.
struct ChosenWines {
  std::vector<const DrawRecord*> draws;
  std::vector<const BottlingRecord*> bottlings;
};
Document age_report(const Outlook& outlook, const ChosenWines& wines, const std::string& why_this_draw, Units units);
/// Every part of these wines, for CSV.
Table parts_table(const Outlook& outlook, const ChosenWines& wines);
/// A certificate of what a draw is made of, for its buyer; no label, no legal claim.
Document certificate_report(const Outlook& outlook, const std::vector<const DrawRecord*>& draws, Units units);
Document forecast_report(const Outlook& outlook, const LongRun& long_run, Units units);

/// Whether any draw holds wine of unknown age.
bool any_of_unknown_age(const Outlook& outlook);
/// Where the strength of the draws passes into another class, or leaves what a claim states.
std::vector<std::string> strength_warnings(const Outlook& outlook);
/// What the "+" behind an age means, with a space before it; empty where none stands there.
std::string unknown_age_note(bool any);
/// An age, or where part of the wine has none, what it is at least: "5.1+".
Cell age_cell(double age_y, double at_least_y);

/// What was bottled so far; nothing if nothing was.
Table bottling_table(const Outlook& outlook);
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
std::string bottle_text(double bottle_l);                          // 375 mL
std::string strength_class(const Scenario& scenario, double pct);  // between which limits of the law a strength lies
std::string use_text(Use use);                                     // the word of the scenario file

/// "7.93 EUR"
std::string money_text(double amount, const std::string& currency);
/// "7.93 EUR/L"
std::string cost_per_volume_text(double per_litre, const std::string& currency, Units units);
/// The content of the bottles that a draw is counted in; 0 if it is not.
double bottle_of(const Outlook& outlook, const DrawRecord& draw);
/// What bottles of a wine have cost: 750 mL, 375 mL and its own; or why that is not known.
std::string cost_text(const Outlook& outlook, const DrawRecord& wine, double bottle_l);
/// "no cost is stated of GG20"; empty if everything that came in has one.
std::string why_cost_unknown(const Outlook& outlook);
/// What all draws and bottlings have cost; nothing if the file states no cost.
Table cost_table(const Outlook& outlook, Units units);
Table stock_cost_table(const Outlook& outlook, const std::vector<PlaceRow>& filled, Units units);
/// What the costs of a report count; empty if the file states none.
std::string cost_note(const Outlook& outlook);
/// Money in + interest = held + drawn + lost; empty where it is not known.
std::string money_balance_text(const Outlook& outlook);

}  // namespace tierce
