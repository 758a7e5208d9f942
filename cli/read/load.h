// A file, read, checked and run through its log: everything that can be wrong with it, found at once.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cli/read/limits.h"
#include "cli/read/read_scenario.h"
#include "cli/read/source.h"
#include "engine/book/scenario.h"
#include "engine/rules/rule.h"

namespace tierce {

struct LoadedScenario {
  Source source;
  Scenario scenario;
  std::vector<Problem> problems{};        // sorted by place; empty = the file is sound
  std::vector<std::string> rule_files{};  // the paths of those that `rules:` names
};

/// What has been read before a file, as the files of a cellar name draws of one another.
struct ReadBefore {
  std::vector<std::string> through{};  // the files, by their whole paths, that led here; each names a draw of the next
  /// Files read on the way, by their whole paths: many lots may come from one file, and it is read once.
  std::shared_ptr<std::map<std::string, LoadedScenario>> known =
      std::make_shared<std::map<std::string, LoadedScenario>>();
};

LoadedScenario load_scenario(const std::string& path, const Limits& limits = kUsualLimits,
                             const ReadBefore& before = {});
/// The same from text already read; with `known_on`, of the book as it stood then; with `change`, of the tree changed.
LoadedScenario check_source(Source source, const Limits& limits = kUsualLimits, const ReadBefore& before = {},
                            const std::optional<Date>& known_on = std::nullopt, const TreeChange& change = {});

}  // namespace tierce
