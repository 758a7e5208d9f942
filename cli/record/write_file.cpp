#include "cli/record/write_file.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <filesystem>
#include <thread>

#include "cli/io/characters.h"
#include "cli/read/kept_files.h"
#include "cli/record/file_rights.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;

std::string why_not() { return std::strerror(errno); }

bool write_all(int file, const std::string& content) {
  std::size_t done = 0;
  while (done < content.size()) {
    const ssize_t n = ::write(file, content.data() + done, content.size() - done);
    if (n < 0 && errno == EINTR) continue;
    if (n == 0) errno = EIO;
    if (n <= 0) return false;
    done += static_cast<std::size_t>(n);
  }
  return true;
}

/// A device or a pipe cannot be replaced by a new file; it is written to as it stands.
std::string write_in_place(const std::string& path, const std::string& content) {
  const int file = ::open(path.c_str(), O_WRONLY | O_CLOEXEC);
  if (file < 0) return why_not();
  std::string failure = write_all(file, content) ? "" : why_not();
  if (::close(file) != 0 && failure.empty()) failure = why_not();
  return failure;
}

/// Where a path leads to in the end, also if nothing is there yet: a link keeps pointing where it points.
fs::path followed(fs::path path) {
  constexpr int kMostLinks = 40;
  std::error_code error;
  for (int i = 0; i < kMostLinks && fs::is_symlink(fs::symlink_status(path, error)); ++i) {
    const fs::path next = fs::read_symlink(path, error);
    if (error) break;
    path = next.is_absolute() ? next : path.parent_path() / next;
  }
  return path;
}

/// The new name is on the disk only when the folder is. Some file systems know no sync of a folder.
std::string sync_folder(const std::string& folder) {
  const int file = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (file < 0) return "";  // a folder that may be written but not read
  const bool synced = ::fsync(file) == 0 || errno == EINVAL || errno == ENOTSUP;
  const std::string failure = synced ? "" : "it is written, but whether it stays is not sure: " + why_not();
  ::close(file);
  return failure;
}

/// What the others are told of this process.
std::string who_writes(const std::string& doing) {
  std::array<char, 32> time{};
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  localtime_r(&now, &local);
  std::strftime(time.data(), time.size(), "%Y-%m-%d %H:%M:%S", &local);
  return "process " + std::to_string(::getpid()) + " (" + doing + ") since " + time.data();
}

std::string held_by(int lock) {
  std::array<char, 200> text{};
  const ssize_t n = ::pread(lock, text.data(), text.size() - 1, 0);
  return n > 0 ? fit_to_show(std::string(text.data(), static_cast<std::size_t>(n))) : "another process";
}

/// Nobody holds it, and nobody ever can.
std::string no_locks() {
  return "its file system knows no locks (" + why_not() +
         "), so two could write at once; keep it in a folder on a disk of this machine";
}

/// Why the new file did not take the place of the old one.
std::string why_not_renamed() {
  if (errno == EEXIST) return "another program has made a file of that name meanwhile; look at it and try again";
  if (errno == EBUSY || errno == EXDEV)
    return "it is mounted by itself, as containers do it, and cannot be replaced whole (" + why_not() +
           "); mount its folder instead";
  return why_not();
}

/// Renames to a name that is free. Not every file system can; then a second name for the file is refused or made whole.
bool rename_to_free(const std::string& fresh, const std::string& target) {
  if (::renameat2(AT_FDCWD, fresh.c_str(), AT_FDCWD, target.c_str(), RENAME_NOREPLACE) == 0) return true;
  if (errno != EINVAL && errno != ENOSYS) return false;
  if (::link(fresh.c_str(), target.c_str()) != 0) return false;
  ::unlink(fresh.c_str());
  return true;
}

bool same_file(int open_file, const std::string& path) {
  struct stat a {
  }, b{};
  return ::fstat(open_file, &a) == 0 && ::stat(path.c_str(), &b) == 0 && a.st_ino == b.st_ino && a.st_dev == b.st_dev;
}

}  // namespace

std::optional<FileStamp> stamp_of(const std::string& path) {
  struct stat now {};
  if (::stat(path.c_str(), &now) != 0) return std::nullopt;
  return FileStamp{now.st_dev, now.st_ino, now.st_size, now.st_mtim.tv_sec, now.st_mtim.tv_nsec};
}

WritingTurn::WritingTurn(const std::string& path, const std::string& doing, std::chrono::milliseconds patience) {
  const fs::path target = followed(path);
  target_ = target.string();
  folder_ = target.has_parent_path() ? target.parent_path().string() : ".";
  take(doing, patience);
}

WritingTurn::~WritingTurn() {
  if (lock_ < 0) return;
  ::unlink(beside("lock").c_str());  // before the lock is given back: who waits for it then looks again
  ::close(lock_);
}

std::string WritingTurn::beside(const char* what) const {
  return (fs::path(folder_) / ("." + fs::path(target_).filename().string() + ".tierce-" + what)).string();
}

/// One try. False: somebody else has it, or the lock was taken away meanwhile.
bool WritingTurn::take_once() {
  const std::string path = beside("lock");
  lock_ = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0644);
  if (lock_ < 0) {
    failure_ = why_not();
    if (errno == EACCES) lock_ = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW);  // of another user
    if (lock_ < 0) return true;
  }
  const bool locked = ::flock(lock_, LOCK_EX | LOCK_NB) == 0;
  if (locked && same_file(lock_, path)) return true;
  const bool never = !locked && errno != EWOULDBLOCK && errno != EINTR;
  failure_ = never ? no_locks() : "being written by " + held_by(lock_);
  if (never) ::unlink(path.c_str());
  ::close(lock_);
  lock_ = -1;
  return never;
}

void WritingTurn::take(const std::string& doing, std::chrono::milliseconds patience) {
  constexpr std::chrono::milliseconds kPause{20};
  const auto until = std::chrono::steady_clock::now() + patience;
  while (!take_once()) {
    if (std::chrono::steady_clock::now() >= until) return;
    std::this_thread::sleep_for(kPause);
  }
  if (lock_ < 0) return;
  failure_.clear();
  const std::string who = who_writes(doing);
  // Only a courtesy to those who wait: without it they are told of another process.
  if (::ftruncate(lock_, 0) != 0 || ::pwrite(lock_, who.data(), who.size(), 0) < 0) errno = 0;
}

/// The new content on the disk, under another name.
std::string WritingTurn::write_fresh(const std::string& content) {
  const std::string fresh = beside("new");
  ::unlink(fresh.c_str());  // of a writer that was killed: nobody else writes while the lock is held
  const int file = ::open(fresh.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0600);
  if (file < 0) return why_not();
  std::string failure;
  if (!write_all(file, content)) failure = why_not();
  const RightsGiven given = failure.empty() ? give_rights(file, target_) : RightsGiven{};
  lost_ = given.lost;
  if (failure.empty()) failure = given.failure;
  if (failure.empty() && ::fsync(file) != 0) failure = why_not();
  if (::close(file) != 0 && failure.empty()) failure = why_not();
  return failure;
}

std::string WritingTurn::replace(const std::string& content, const std::optional<FileStamp>& seen) {
  if (!failure_.empty()) return failure_;
  // A folder that may be written to lets any file in it be replaced, also one that is locked against writing.
  if (::access(target_.c_str(), F_OK) == 0 && ::access(target_.c_str(), W_OK) != 0) return why_not();
  const std::string fresh = beside("new");
  std::string failure = write_fresh(content);
  if (failure.empty() && seen && stamp_of(target_) != seen)
    failure = "another program has changed it meanwhile; look at it and try again";
  if (failure.empty() && std::rename(fresh.c_str(), target_.c_str()) != 0) failure = why_not_renamed();
  if (failure.empty()) return sync_folder(folder_);
  ::unlink(fresh.c_str());
  return failure;
}

std::string WritingTurn::create(const std::string& content) {
  if (!failure_.empty()) return failure_;
  const std::string fresh = beside("new");
  std::string failure = write_fresh(content);
  if (failure.empty() && !rename_to_free(fresh, target_)) failure = why_not_renamed();
  if (failure.empty()) return sync_folder(folder_);
  ::unlink(fresh.c_str());
  return failure;
}

std::string write_file(const std::string& path, const std::string& content) {
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  if (fs::is_directory(status)) return "is a directory";
  if (fs::exists(status) && !fs::is_regular_file(status)) return write_in_place(path, content);
  if (std::string kept = why_kept(path); !kept.empty()) return kept;  // before a lock stands beside it
  WritingTurn turn(path, "a report");
  const auto seen = stamp_of(path);
  if (std::string kept = why_kept(path); !kept.empty()) return kept;
  return seen ? turn.replace(content, seen) : turn.create(content);
}

std::string write_new_file(const std::string& path, const std::string& content) {
  WritingTurn turn(path, "a new file");
  return turn.create(content);
}

}  // namespace tierce
