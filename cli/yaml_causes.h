// What people most likely meant where YAML reports a syntax error.
#pragma once

#include <optional>
#include <string>

#include "cli/source.h"

namespace tierce {

/// A line that begins with '%', which YAML takes for a directive and drops.
std::optional<Problem> directive_line(const Source& source);

/// The syntax error as a problem: at its cause if one is recognised, else where the parser stopped.
Problem likely_cause(const Source& source, At parser_at, const std::string& parser_message);

}  // namespace tierce
