// A file, read, checked and run through its log: everything that can be wrong with it, found at once.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/limits.h"
#include "cli/read_scenario.h"
#include "cli/source.h"
#include "engine/rule.h"
#include "engine/scenario.h"

namespace tierce {

struct LoadedScenario {
  Source source;
  Scenario scenario;
  std::vector<Problem> problems{};        // sorted by place; empty = the file is sound
  std::optional<RuleBook> own_rules{};    // those built in, and those of files that `rules:` names
  std::vector<std::string> rule_files{};  // the paths of these
};

/// `through`: the files, by their whole paths, that led here; each names a draw of the next.
LoadedScenario load_scenario(const std::string& path, const Limits& limits = kUsualLimits,
                             const std::vector<std::string>& through = {});
/// The same from text already read; with `known_on`, of the book as it stood then; with `change`, of the tree changed.
LoadedScenario check_source(Source source, const Limits& limits = kUsualLimits,
                            const std::vector<std::string>& through = {},
                            const std::optional<Date>& known_on = std::nullopt, const TreeChange& change = {});

}  // namespace tierce
