// YAML text as a tree whose every key and value knows its line and column.
// Built from the parser's events, because its own nodes lose positions of empty values, repeated keys and aliases.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "cli/read/limits.h"
#include "cli/read/source.h"
#include "engine/book/scenario.h"

namespace tierce {

struct Node {
  enum class Kind { nothing, scalar, list, map };
  Kind kind = Kind::nothing;
  At at{};
  std::string text{};                            // scalar; of nothing, `~` or `null` where that is written
  std::vector<Node> items{};                     // list
  std::vector<std::pair<Node, Node>> entries{};  // map, in the order of the file, repeated keys kept
  bool reported = false;  // it has a fault that is reported already: it reads as unknown, without a second report
  bool partial = false;   // a map from which something is missing for a reason that is reported already
  bool runs_on = false;   // plain text that goes on in the next line
  At comment{};           // of a '#' right behind plain text and right before more text: perhaps no comment
};

/// Parses the source. Problems: the one syntax error with its likely cause; a second document; tags; anchors and
/// aliases; characters that no text may hold, written as escapes.
Node parse_yaml(const Source& source, std::vector<Problem>& problems, const Limits& limits = kUsualLimits);

}  // namespace tierce
