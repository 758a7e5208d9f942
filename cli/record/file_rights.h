// What a file has beside its content, and a new file in its place has to have too: owner, group, mode, access list and
// extended attributes.
#pragma once

#include <string>
#include <vector>

namespace tierce {

struct RightsGiven {
  std::string failure{};            // why the new file cannot take the place of the old one at all
  std::vector<std::string> lost{};  // "the group": what the new file could not be given
};

/// Gives an open new file what the file at `old_path` has; what any new file has where nothing stands there. Where
/// the group or the access list cannot be kept, the new group may do no more than everybody.
RightsGiven give_rights(int fresh, const std::string& old_path);

}  // namespace tierce
