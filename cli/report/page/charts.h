// The charts of a reserve's page: which figures each one shows, and what it says in words.
#pragma once

#include "cli/report/dose.h"
#include "cli/report/label/label.h"
#include "cli/report/page/thinned.h"
#include "cli/write/page.h"
#include "engine/plan/draw_shares.h"
#include "engine/run/outlook.h"

namespace tierce {

/// Where a date lies on an axis of years.
double on_year_axis(const Date& date);

/// Shares of every vintage of one row, at each look of the run; of many in spans of years.
std::vector<Chart> vintage_charts(const Outlook& looked, const PageRoom& room);
Choice draw_choice(const Outlook& outlook, Units units, const PageRoom& room);
Chart mean_age_chart(const Outlook& outlook, const PageRoom& room);
Choice share_choice(const Outlook& outlook, const DrawShares& shares, Units units, const PageRoom& room);
Chart held_chart(const Outlook& outlook, Units units, const PageRoom& room);
Chart flow_chart(const Outlook& outlook, Units units, const PageRoom& room);
Chart strength_chart(const LabelView& view, const PageRoom& room);
/// `doses`: all of the run, worked out once for all rows.
Chart sulfur_chart(const Outlook& outlook, const DoseSchedule& schedule, const std::vector<PlannedDose>& doses, int row,
                   const PageRoom& room);

}  // namespace tierce
