// The words of the dose report: levels as text, and the sentences around its tables.
#pragma once

#include <string>
#include <vector>

#include "cli/write/table.h"
#include "engine/plan/dose_schedule.h"

namespace tierce {

/// A number in metric units, rounded as a table would round it, without its unit.
std::string metric_text(double value, Figure figure);
/// "25", "0.5", "12.25": as somebody would write it.
std::string short_number(double value);
bool held_down(const PlannedDose& dose);   // by `at most`
std::string asked_text(const Dose& dose);  // "add 25", "15 free", "0.5 molecular", "40 g salt"

std::string low_end_text(const PlannedDose& dose);  // what the low end would take; empty where it is the same
std::string applies_to_text(const Rule& rule);      // its conditions
/// The year in which a limit is passed, or that it is not.
std::string passed_text(const SulfurVerdict& verdict, const SulfurLongRun& long_run);
std::string largest_text(double dose_mg_l);
/// "the file states no habit"; empty where the habit settles.
std::string why_unsettled_text(const SulfurLongRun& long_run);
/// What to beware of with SO2.
const std::vector<std::string>& sulfur_cautions();

// Sentences; empty where there is nothing to say.
std::vector<std::string> shortfall_texts(const Outlook& outlook, const DoseSchedule& schedule);
/// What the column of the low end is for.
std::string low_end_note(const DoseSchedule& schedule);
/// On which scale a molecular target is, and what it is on the other.
std::string scales_text(const Outlook& outlook, const std::vector<const PlannedDose*>& doses);
std::string footnotes_text(const Outlook& outlook, const DoseSchedule& schedule);
std::string sources_text(const DoseSchedule& schedule);
std::string steady_text(const Outlook& outlook, const SulfurLongRun& long_run);
std::string sulfate_text(const Outlook& outlook, const DoseSchedule& schedule);
std::string oxygen_text(const Outlook& outlook, const std::vector<const PlannedDose*>& doses);
std::string sulfur_balance_text(const Outlook& outlook);

}  // namespace tierce
