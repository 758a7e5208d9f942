// Why a refresh cannot be planned, in words, with the figure that would make it possible.
#pragma once

#include <variant>

#include "cli/report/refresh/refresh_work.h"

namespace tierce {

int status_of(const RefreshRefusal& refusal);
Problem plan_refusal(const RefreshRefusal& refusal, const Scenario& scenario, Units units);
Problem choice_refusal(const LotChoice& choice, const std::vector<LotAtHand>& lots, const WantedWine& wanted,
                       const Date& date, Units units);
/// The spirit that the options name: one of the file, or a strength; the file's own where it has just one.
std::variant<SpiritNeed, Problem> spirit_for(const RefreshPlan& plan, const std::string& asked);
OrderRefusal making_refusal(const MakingRefusal& refusal, const RefreshOptions& options);

}  // namespace tierce
