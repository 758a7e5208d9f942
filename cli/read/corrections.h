// The entries `do: correct` of a log: which entry each of them means, and what that entry says then.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "cli/read/reading.h"

namespace tierce {

class Corrections {
 public:
  /// Reads all of them; faults are reported. `log`: the items of the log, whose nodes must outlive this object.
  Corrections(Draft& draft, const std::vector<const Node*>& log);

  static bool is_one(const Node& entry);
  /// Whether an entry was in the book by the day that is asked for.
  bool knows(const Node& entry) const;

  struct Word {
    bool not_done = false;     // the entry is taken back
    std::optional<Node> node;  // as corrected
  };
  /// The last word on an entry; nothing if nobody corrected it, as far as is known.
  std::optional<Word> last_word(const Node& entry) const;

 private:
  struct Change {
    const Node* with = nullptr;  // a map, or `none`
    bool known = true;
  };

  /// The entries that have all these values, in order; many corrections that say the same ask once.
  const std::vector<const Node*>& entries_with(const Node& meant);
  void read(const Node& node);
  const Node* entry_meant(Fields& fields, const Node& correction);
  /// A correction that has these values: it was meant, but is none that can be corrected.
  const Node* correction_meant(const Node& meant) const;
  bool can_be_changed(Fields& fields);

  Draft& draft_;
  std::unordered_map<std::string, std::vector<const Node*>> having_;  // a key and its value -> entries, in order
  std::map<std::string, std::vector<const Node*>> asked_;             // what an entry was named by -> entries
  std::vector<const Node*> corrections_;                              // in the order of the file
  bool all_read_ = true;                                              // no entry of the log is unreadable
  std::map<const Node*, std::vector<Change>> changes_;
};

}  // namespace tierce
