// A file is replaced whole or not at all, by one writer at a time, and stays so when the power fails.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <vector>

namespace tierce {

/// What tells a version of a file from the next one.
struct FileStamp {
  unsigned long long device = 0, inode = 0;
  long long bytes = 0, changed_s = 0, changed_ns = 0;
  friend bool operator==(const FileStamp&, const FileStamp&) = default;
};
std::optional<FileStamp> stamp_of(const std::string& path);

/// The right to replace one file, held while the object lives. Others who want to write it wait, and after a while are
/// told who holds it. A lock that a killed process left behind is no lock.
class WritingTurn {
 public:
  /// `doing`: what the others are told, as in "record draw". Links are followed.
  WritingTurn(const std::string& path, const std::string& doing,
              std::chrono::milliseconds patience = std::chrono::seconds(3));
  ~WritingTurn();
  WritingTurn(const WritingTurn&) = delete;
  WritingTurn& operator=(const WritingTurn&) = delete;

  /// Why the turn was not had; empty if it was.
  const std::string& failure() const { return failure_; }
  /// To a new file in the same folder with the mode of the old one, synced, then renamed; then the folder is synced.
  /// With `seen`, only if the file is still the one that was seen. Empty, or why not; then the old file stands.
  std::string replace(const std::string& content, const std::optional<FileStamp>& seen = std::nullopt);
  /// The same where nothing stands yet; what has appeared there meanwhile stays.
  std::string create(const std::string& content);
  /// What the new file could not be given of the old one: its group, access list, attributes.
  const std::vector<std::string>& lost() const { return lost_; }

 private:
  void take(const std::string& doing, std::chrono::milliseconds patience);
  bool take_once();
  std::string beside(const char* what) const;
  std::string write_fresh(const std::string& content);

  std::string target_, folder_, failure_;
  std::vector<std::string> lost_;
  int lock_ = -1;
};

/// Writes `content` to `path` as WritingTurn does; a device or a pipe is written to as it stands, and what
/// kept_files.h names is not written over. Empty, or why not.
std::string write_file(const std::string& path, const std::string& content);
/// The same only where nothing stands.
std::string write_new_file(const std::string& path, const std::string& content);

}  // namespace tierce
