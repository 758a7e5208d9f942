// The plan as text for the scenario: entries of the log, and the lots that they need, one line each.
#pragma once

#include <string>
#include <vector>

#include "engine/plan/refresh.h"

namespace tierce {

/// Lines for `lots`, for what the plan's habit brings and the file does not state yet.
std::vector<std::string> lot_lines(const RefreshPlan& plan);

/// Lines for `log`. Read back, they make the book say what the plan says, to the last digit.
std::vector<std::string> log_lines(const RefreshPlan& plan);

/// An entry over as many lines as the width asks for, broken between its keys.
std::vector<std::string> entry_on_lines(const std::string& entry, std::size_t width);

/// "20 %", "250 L", "600 x 375 mL"
std::string amount_text(const Amount& amount);

/// A name as the file wants it: in quotes where it would mean something else.
std::string yaml_name(const std::string& name);

}  // namespace tierce
