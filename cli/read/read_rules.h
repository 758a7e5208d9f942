// A rule file as rules, with every fault found on the way.
#pragma once

#include <optional>
#include <variant>
#include <vector>

#include "cli/read/quantity_text.h"
#include "cli/read/source.h"
#include "engine/rules/rule.h"

namespace tierce {

/// Adds what the file holds to the book. Ids that the book has already are faults.
void read_rules(const Source& source, RuleBook& book, std::vector<Problem>& problems);

/// Of a file with faults that is something else altogether: the one thing to say of it, without its text.
std::optional<Problem> no_rule_file(const Source& source, const std::vector<Problem>& problems);

/// "at least 95 %": an operator and a value, in the unit of the quantity.
struct Limit {
  Operator op = Operator::at_least;
  double value = kUnknown;
  std::string unit{};
  bool open_at_limit = false;
  bool in_proof = false;  // as written; the value is at 20 °C
};
Read<Limit> read_limit(const std::string& text, const std::string& quantity);
/// A value of a quantity with this unit ("" = a plain number): shares in %, else the unit itself.
Read<double> read_in_unit(const std::string& text, const std::string& unit);

/// The same, or a day of `kept until`.
Read<double> read_value(const std::string& text, const std::string& quantity, const std::string& unit);

const char* operator_word(Operator op);  // "at least"

}  // namespace tierce
