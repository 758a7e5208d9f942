// Why a refresh cannot be planned, in words, with the figure that would make it possible.
#pragma once

#include "cli/report/lot_choice.h"
#include "engine/plan/refresh.h"

namespace tierce {

int status_of(const RefreshRefusal& refusal);
Problem plan_refusal(const RefreshRefusal& refusal, const Scenario& scenario, Units units);
Problem choice_refusal(const LotChoice& choice, const std::vector<LotAtHand>& lots, const WantedWine& wanted,
                       const Date& date, Units units);

}  // namespace tierce
