// Files that nothing is written over: those that this run has read, and every book, whoever wrote it. The one place
// that knows them: load_bytes() tells what it reads, write_file() and deliver() ask.
#pragma once

#include <optional>
#include <string>

#include "cli/read/scenario_keys.h"

namespace tierce {

/// The whole path of a file, links followed, also where nothing is there yet.
std::string whole_path(const std::string& path);

/// This file has been read; by device and inode, so that links and other names lead to it too, and by its whole path,
/// so that an editor's new file of that name counts as well.
void note_read(const std::string& path);

/// Why nothing may be written over what stands at a path; empty where nothing stands there, or something else does.
std::string why_kept(const std::string& path);
/// The same of an open file, such as standard output led into a book.
std::string why_kept(int open_file);

/// The first key of a text as YAML reads it: behind comments, the marks of a document, an opening brace. Nothing where
/// the text begins with something else.
std::optional<std::string> first_key(const std::string& text);
/// Whether that is one of these keys. What begins with none of them is no such file, and no message shows its text: a
/// scenario of a stranger may name any file of this machine.
bool begins_with_key_of(const Section& section, const std::string& text);

}  // namespace tierce
