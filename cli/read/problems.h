// Faults collected while a file is read, and whether a run can still be trusted in spite of them.
#pragma once

#include <cstddef>
#include <utility>
#include <vector>

#include "cli/read/limits.h"
#include "engine/book/scenario.h"

namespace tierce {

struct Problems {
  std::vector<Problem> found;
  std::size_t dropped = 0;  // found beyond those kept
  int unread = 0;           // values that could not be read: what depends on them cannot be run

  void add(Problem problem) {
    if (!problem.rest_is_sound) ++unread;
    if (found.size() < kMostFaults) found.push_back(std::move(problem));
    else ++dropped;
  }
  /// Whatever is found now is counted and not shown: what was probably meant need not be looked for.
  bool full() const { return found.size() >= kMostFaults; }
};

/// While it lives, faults do not count as unread: no litre depends on what is read here (a note, a price).
class Harmless {
 public:
  explicit Harmless(Problems& problems) : problems_(problems), before_(problems.unread) {}
  ~Harmless() { problems_.unread = before_; }
  Harmless(const Harmless&) = delete;
  Harmless& operator=(const Harmless&) = delete;

 private:
  Problems& problems_;
  int before_;
};

}  // namespace tierce
