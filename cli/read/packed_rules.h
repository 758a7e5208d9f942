// The built-in rules as one text of fields that reads in a fraction of a millisecond: to read their YAML took most of
// the time of every command.
#pragma once

#include <string>
#include <string_view>

#include "engine/rules/rule.h"

namespace tierce {

/// Every field of every set, rule and class, in order.
std::string packed(const RuleBook& book);
/// The same book again. Throws std::logic_error where the text is none of packed().
RuleBook unpacked(std::string_view text);

/// The rules of cli/data/rules, packed when the program was built (cli/data/rules/pack.cpp).
std::string packed_rules();

}  // namespace tierce
