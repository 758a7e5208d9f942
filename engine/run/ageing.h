// Time passes: evaporation, what oxidises or forms in the wine.
#pragma once

#include <optional>

#include "engine/run/run.h"

namespace tierce {

/// Lets every row age to `day`. Any split of a period equals the whole. False, with a fault: the wine holds less
/// alcohol than would evaporate, or a tier dries up.
bool age_to(Run& run, int day, std::optional<Fault>& fault);

/// How a row ages.
AgeingLaw ageing_of(const Scenario& scenario, int row);
/// How a tier ages that is worked like this one.
AgeingLaw ageing_of(const Scenario& scenario, const Tier& tier);

/// To be called when the laws of rows are set: finds the rows that can evaporate together.
void follow_laws(Run& run);

/// The law by which a row loses SO2: its own, the reserve's, or the default of design decision 13.
SulfurLoss sulfur_loss_of(const AgeingLaw& law, bool acetaldehyde_known);
SulfurLoss sulfur_loss_of(const Scenario& scenario, const Stock& stock, int row);

}  // namespace tierce
