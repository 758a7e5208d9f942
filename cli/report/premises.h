// Several reserves under one roof: what they hold together on a day, and what they lose.
#pragma once

#include <nlohmann/json.hpp>
#include <vector>

#include "cli/write/table.h"
#include "engine/run/outlook.h"

namespace tierce {

/// Each outlook ends on the day asked for.
Report premises_stock_report(const std::vector<Outlook>& reserves, Units units);
nlohmann::json premises_stock_json(const std::vector<Outlook>& reserves);

/// The losses of all, year by year, beside the allowance (unknown: none).
Report premises_losses_report(const std::vector<Outlook>& reserves, double allowance, Units units);
nlohmann::json premises_losses_json(const std::vector<Outlook>& reserves, double allowance);

}  // namespace tierce
