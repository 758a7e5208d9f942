// `tierce target`: its report and its JSON.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>

#include "cli/report/freshen.h"
#include "cli/report/target_work.h"
#include "cli/write/table.h"

namespace tierce {

Report target_report(const TargetAnswer& answer, const std::optional<FreshenAnswer>& fresh, Units units);
nlohmann::json target_json(const TargetAnswer& answer, const std::optional<FreshenAnswer>& fresh);

/// "by volume", "by alcohol", "by what does not evaporate"; nothing for the youngest part.
std::string weighting_text(AgeKind kind);
/// "mean age of 5 years, by volume" or "youngest part of 3 years"
std::string target_text(const AgeTarget& target);
/// Why no draw reaches the age, with the figure that stands in the way; and what would make it possible.
std::string why_never(const TargetAnswer& answer, const AgeTarget& target);
std::string what_would(const TargetAnswer& answer, const AgeTarget& target);

/// Freshening, as a part of the report.
void report_freshening(Report& report, const FreshenAnswer& fresh);

}  // namespace tierce
