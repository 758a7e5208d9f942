// What people most likely meant where YAML reports a syntax error, or would read something else without a word.
#pragma once

#include <optional>
#include <string>

#include "cli/read/yaml_shape.h"

namespace tierce {

/// What YAML takes in without an error, though it swallows part of the file: a line that begins with '%', an open
/// quote.
std::optional<Problem> silent_loss(const Source& source, const Shape& shape);

/// The syntax error as a problem: at its cause if one is recognised, else where the parser stopped.
Problem likely_cause(const Source& source, const Shape& shape, std::size_t row, std::size_t byte,
                     const std::string& parser_message);

/// A second document that no line '---' begins: where YAML stopped understanding the first one.
Problem stray_line(const Source& source, const Shape& shape, std::size_t row, std::size_t byte);

Problem alias_problem(At at);

}  // namespace tierce
