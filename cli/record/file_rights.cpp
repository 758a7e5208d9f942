#include "cli/record/file_rights.h"

#include <sys/stat.h>
#include <sys/xattr.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <optional>

namespace tierce {
namespace {

constexpr const char* kAccessList = "system.posix_acl_access";

::mode_t mode_of_a_new_file() {
  const ::mode_t mask = ::umask(0);
  ::umask(mask);
  return 0666 & ~mask;
}

std::vector<std::string> attribute_names(const std::string& path) {
  std::string names;
  for (ssize_t size = ::listxattr(path.c_str(), nullptr, 0); size > 0;) {
    names.resize(static_cast<std::size_t>(size));
    const ssize_t got = ::listxattr(path.c_str(), names.data(), names.size());
    if (got < 0 && errno == ERANGE) {
      size = ::listxattr(path.c_str(), nullptr, 0);
      continue;
    }
    names.resize(static_cast<std::size_t>(std::max<ssize_t>(got, 0)));
    break;
  }
  std::vector<std::string> list;
  for (std::size_t begin = 0; begin < names.size(); begin = names.find('\0', begin) + 1)
    list.emplace_back(names.c_str() + begin);
  return list;
}

/// The value of an attribute; nothing if the file has none of that name.
std::optional<std::string> attribute(const std::string& path, const std::string& name) {
  const ssize_t size = ::getxattr(path.c_str(), name.c_str(), nullptr, 0);
  if (size < 0) return std::nullopt;
  std::string value(static_cast<std::size_t>(size), '\0');
  const ssize_t got = ::getxattr(path.c_str(), name.c_str(), value.data(), value.size());
  if (got < 0) return std::nullopt;
  value.resize(static_cast<std::size_t>(got));
  return value;
}

bool give(int fresh, const std::string& name, const std::string& value) {
  return ::fsetxattr(fresh, name.c_str(), value.data(), value.size(), 0) == 0;
}

/// Only root may give a file away; whoever else writes owns what is written, and may still give it to a group of
/// theirs.
bool give_group(int fresh, const struct stat& old) {
  struct stat now {};
  if (::fstat(fresh, &now) != 0) return false;
  if (now.st_uid != old.st_uid && ::fchown(fresh, old.st_uid, old.st_gid) == 0) return true;
  return now.st_gid == old.st_gid || ::fchown(fresh, static_cast<::uid_t>(-1), old.st_gid) == 0;
}

/// The mode with a group that may do no more than everybody.
::mode_t without_group(::mode_t mode) { return (mode & ~0070u) | (mode & ((mode & 0007u) << 3)); }

/// True if the access list is that of the old file: its own, or none, also where the folder gives one to new files.
bool give_access_list(int fresh, const std::optional<std::string>& list) {
  return !list || give(fresh, kAccessList, *list);
}

/// What the system itself marks files with is its own affair.
bool is_of_the_system(const std::string& name) {
  return name.starts_with("security.") || name.starts_with("system.posix_acl_");
}

}  // namespace

RightsGiven give_rights(int fresh, const std::string& old_path) {
  RightsGiven given;
  struct stat old {};
  if (::stat(old_path.c_str(), &old) != 0) {
    if (::fchmod(fresh, mode_of_a_new_file()) != 0) given.failure = std::strerror(errno);
    return given;
  }
  const bool group = give_group(fresh, old);
  if (!group) given.lost.emplace_back("its group");
  const auto list = attribute(old_path, kAccessList);
  ::fremovexattr(fresh, kAccessList);  // one that the folder gives to all new files
  // With a list the group's part of the mode is the list's mask, which would say too much of the group itself.
  const ::mode_t mode = old.st_mode & 07777;
  if (::fchmod(fresh, group && !list ? mode : without_group(mode)) != 0) given.failure = std::strerror(errno);
  if (!group && list) given.lost.emplace_back("its access list");
  else if (!give_access_list(fresh, list)) given.lost.emplace_back("its access list");
  for (const std::string& name : attribute_names(old_path)) {
    if (is_of_the_system(name)) continue;
    const auto value = attribute(old_path, name);
    if (value && !give(fresh, name, *value)) given.lost.push_back("its attribute " + name);
  }
  return given;
}

}  // namespace tierce
