// How wine came to the premises, and what the accounts that are filed rest on.
#pragma once

#include <cstddef>
#include <optional>

#include "engine/book/calendar.h"
#include "engine/book/value.h"

namespace tierce {

struct RuleBook;  // rule.h: what the accounts and labels of a scenario are held against

/// Losses that the law allows may be reckoned on what was received in bond alone.
enum class Came { not_stated, made_here, in_bond, tax_paid };
constexpr std::size_t kCameCount = 4;

/// What the accounts that are filed with an authority rest on.
struct Filing {
  At at{};
  std::optional<DayOfYear> inventory{};  // the annual period ends with it
};

}  // namespace tierce
