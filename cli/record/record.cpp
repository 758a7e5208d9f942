#include "cli/record/record.h"

#include <memory>
#include <utility>

#include "cli/record/write_file.h"

namespace tierce {
namespace {

LoadedScenario checked(const std::string& path, const std::string& bytes) {
  std::vector<Problem> problems;
  Source source = source_from(path, bytes, problems);
  if (!problems.empty()) return {std::move(source), {}, std::move(problems)};
  return check_source(std::move(source));
}

/// A log without a value is a fault that the first entry mends.
bool only_lacks_a_log(const LoadedScenario& loaded) {
  return loaded.problems.size() == 1 && loaded.problems.front().what == "'log' has no value";
}

std::string put_in(std::string bytes, const std::vector<WrittenEntry>& entries, Recorded& recorded) {
  for (const WrittenEntry& entry : entries) {
    AddedEntry added = add_to_log(bytes, entry);
    if (!added.failure.empty()) {
      recorded.failure = added.failure;
      return "";
    }
    bytes = std::exchange(added.bytes, "");
    recorded.added.push_back(std::move(added));
  }
  return bytes;
}

}  // namespace

Recorded record_entries(const std::string& path, const std::vector<WrittenEntry>& entries, const std::string& doing,
                        bool only_show) {
  Recorded recorded;
  const auto unreadable = [&] {
    std::vector<Problem> problems;
    if (load_bytes(path, problems)) return false;
    recorded.after = {Source{fit_to_show(path), "", {}}, {}, std::move(problems)};
    return recorded.faulty_before = true;
  };
  if (unreadable()) return recorded;
  std::unique_ptr<WritingTurn> turn;
  if (!only_show) turn = std::make_unique<WritingTurn>(path, doing);
  if (turn && !turn->failure().empty()) {
    recorded.failure = turn->failure();
    return recorded;
  }
  const auto seen = stamp_of(path);
  std::vector<Problem> problems;
  const auto bytes = load_bytes(path, problems);
  if (!bytes) {
    unreadable();
    return recorded;
  }
  recorded.before = checked(path, *bytes);
  if (!recorded.before.problems.empty() && !only_lacks_a_log(recorded.before)) {
    recorded.after = recorded.before;
    recorded.faulty_before = true;
    return recorded;
  }
  const std::string fresh = put_in(*bytes, entries, recorded);
  if (!recorded.failure.empty()) return recorded;
  recorded.after = checked(path, fresh);
  if (!recorded.after.problems.empty() || !turn) return recorded;
  recorded.failure = turn->replace(fresh, seen);
  recorded.written = recorded.failure.empty();
  if (recorded.written) recorded.lost = turn->lost();
  return recorded;
}

}  // namespace tierce
