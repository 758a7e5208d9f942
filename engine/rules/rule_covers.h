// Of which wines a rule speaks.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "engine/rules/verdict.h"

namespace tierce {

enum class Covers { yes, no, not_known };

/// What decides where a rule is not in force on the day of the wine.
constexpr const char* kOtherDay = "day";

bool contains(const std::vector<std::string>& words, const std::string& word);

/// `named`: the claim names the rule, so that what is not stated is taken to be as the rule has it.
Covers covers(const Condition& condition, const LabelCase& of, bool named);
/// Whether a rule speaks of this wine, and which condition decides that it does not or may not.
std::pair<Covers, std::string> covers(const Rule& rule, const LabelCase& of, bool named);

}  // namespace tierce
