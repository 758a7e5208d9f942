#include "cli/record/log_text.h"

#include <algorithm>
#include <cctype>

#include "cli/read/quantity_text.h"
#include "cli/read/source.h"

namespace tierce {
namespace {

using std::size_t;

/// The lines of a file as they stand on the disk, cut where Source cuts them.
class RawText {
 public:
  struct Line {
    size_t begin = 0, end = 0, next = 0;  // first byte, line end, first byte of the next line
  };

  explicit RawText(const std::string& bytes) : bytes_(bytes) {
    for (size_t begin = bytes.starts_with("\xEF\xBB\xBF") ? 3 : 0; begin < bytes.size();) {
      const size_t end = std::min(bytes.find_first_of("\r\n", begin), bytes.size());
      const size_t next = end + (bytes.compare(end, 2, "\r\n") == 0 ? 2 : 1);
      lines_.push_back({begin, end, std::min(next, bytes.size())});
      begin = next;
    }
  }

  size_t count() const { return lines_.size(); }
  size_t end_of(size_t row) const { return lines_[row].end; }
  size_t begin_of(size_t row) const { return lines_[row].begin; }
  std::string line(size_t row) const { return bytes_.substr(lines_[row].begin, lines_[row].end - lines_[row].begin); }

  /// How lines end around here: as this one does, else as the first one, else as everywhere.
  std::string line_end(size_t row) const {
    for (const size_t look : {row, size_t{0}})
      if (lines_[look].next > lines_[look].end)
        return bytes_.substr(lines_[look].end, lines_[look].next - lines_[look].end);
    return "\n";
  }

 private:
  const std::string& bytes_;
  std::vector<Line> lines_;
};

size_t text_begin(const std::string& line) { return std::min(line.find_first_not_of(" \t"), line.size()); }
bool says_nothing(const std::string& line) { return text_begin(line) == line.size() || line[text_begin(line)] == '#'; }

/// Behind the quote that closes the one at `begin`; a doubled quote stands for one.
size_t behind_single_quotes(const std::string& bytes, size_t begin) {
  size_t end = bytes.find('\'', begin + 1);
  while (end != std::string::npos && bytes.compare(end, 2, "''") == 0) end = bytes.find('\'', end + 2);
  return end == std::string::npos ? bytes.size() : end + 1;
}

/// Behind the brace or bracket that closes the one at `begin`; npos if none does.
size_t behind_flow(const std::string& bytes, size_t begin) {
  int depth = 0;
  for (size_t i = begin; i < bytes.size(); ++i) {
    const char c = bytes[i];
    const char before = i > 0 ? bytes[i - 1] : '\n';
    const bool starts = std::string(" \t\r\n,{[:").find(before) != std::string::npos;
    if (c == '{' || c == '[') ++depth;
    else if (c == '}' || c == ']') {
      if (--depth == 0) return i + 1;
    } else if (c == '"' && starts) {
      for (++i; i < bytes.size() && bytes[i] != '"'; ++i)
        if (bytes[i] == '\\') ++i;
    } else if (c == '\'' && starts) {
      i = behind_single_quotes(bytes, i) - 1;
    } else if (c == '#' && std::string(" \t\r\n").find(before) != std::string::npos) {
      i = std::min(bytes.find_first_of("\r\n", i), bytes.size() - 1);
    }
  }
  return std::string::npos;
}

bool same_tree(const Node& a, const Node& b) {
  return a.kind == b.kind && a.text == b.text &&
         std::equal(a.items.begin(), a.items.end(), b.items.begin(), b.items.end(), same_tree) &&
         std::equal(
             a.entries.begin(), a.entries.end(), b.entries.begin(), b.entries.end(),
             [](const auto& x, const auto& y) { return same_tree(x.first, y.first) && same_tree(x.second, y.second); });
}

const Node* value_of(const Node& map, const std::string& key) {
  for (const auto& [name, value] : map.entries)
    if (name.text == key) return &value;
  return nullptr;
}

/// True if `now` is `before` with one more entry in its log, at `index`.
bool only_adds(const Node& before, const Node& now, size_t index) {
  const Node* added = value_of(now, "log");
  if (added == nullptr || index >= added->items.size()) return false;
  Node wanted = before;
  bool known = false;
  for (auto& [key, value] : wanted.entries) {
    if (key.text != "log") continue;
    value.kind = Node::Kind::list;
    value.items.insert(value.items.begin() + static_cast<std::ptrdiff_t>(index), added->items[index]);
    known = true;
  }
  if (known) return same_tree(wanted, now);
  Node rest = now;
  std::erase_if(rest.entries, [](const auto& entry) { return entry.first.text == "log"; });
  return added->items.size() == 1 && same_tree(before, rest);
}

struct Insertion {
  size_t at = 0;
  std::string text;
};

class LogEditor {
 public:
  LogEditor(const std::string& bytes, const Source& source, const Node& root, const WrittenEntry& entry)
      : bytes_(bytes), raw_(bytes), columns_(source), root_(root), entry_(entry), log_(value_of(root, "log")) {
    if (log_ != nullptr) index_ = place_in(*log_);
  }

  /// Where the entry comes among those of the log.
  size_t index() const { return index_; }

  std::vector<Insertion> insertions() {
    if (log_ == nullptr)
      return {offset(root_.at) < bytes_.size() && bytes_[offset(root_.at)] == '{' ? new_log_in_braces() : new_log()};
    if (log_->kind == Node::Kind::nothing) return {behind_line(row_of_key("log"), first_item_text())};
    if (bytes_[offset(log_->at)] == '[') return into_brackets();
    return {into_block()};
  }

 private:
  size_t offset(const At& at) {
    const auto row = static_cast<size_t>(at.line - 1);
    return raw_.begin_of(row) + columns_.byte_of(row, at.column);
  }
  static size_t row(const At& at) { return static_cast<size_t>(at.line - 1); }

  size_t place_in(const Node& log) const {
    size_t place = 0;
    for (size_t i = 0; i < log.items.size(); ++i) {
      const Node* date = value_of(log.items[i], "date");
      const auto read = date != nullptr ? read_date(date->text) : Read<Date>(Misread{});
      if (const auto* known = std::get_if<Date>(&read); known != nullptr && *known <= entry_.date) place = i + 1;
    }
    return place;
  }

  size_t row_of_key(const std::string& key) const {
    for (const auto& [name, value] : root_.entries)
      if (name.text == key) return row(name.at);
    return 0;
  }

  /// The row of the next key of the file, or of its end.
  size_t row_behind(const std::string& key) const {
    for (size_t i = 0; i + 1 < root_.entries.size(); ++i)
      if (root_.entries[i].first.text == key) return row(root_.entries[i + 1].first.at);
    for (size_t end = row_of_key(key); end < raw_.count(); ++end)
      if (raw_.line(end).starts_with("...")) return end;
    return raw_.count();
  }

  /// The last row before `limit` that belongs to what stands above it: text, and the comments right below it that are
  /// indented deeper than `column`.
  size_t last_row(size_t limit, size_t column) const {
    size_t last = limit - 1;
    while (last > 0 && says_nothing(raw_.line(last))) --last;
    for (size_t next = last + 1; next < limit; ++next) {
      const std::string line = raw_.line(next);
      const size_t text = text_begin(line);
      if (text == line.size()) continue;  // what follows may still be text of many lines
      if (text <= column) break;
      last = next;
    }
    return last;
  }

  Insertion behind_line(size_t at_row, const std::string& text) const {
    return {raw_.end_of(at_row), raw_.line_end(at_row) + text};
  }

  /// Spaces before the first key of the file.
  size_t margin() const {
    return root_.entries.empty() ? 0 : static_cast<size_t>(root_.entries.front().first.at.column - 1);
  }
  std::string first_item_text() const { return std::string(margin() + 2, ' ') + "- " + in_braces(entry_); }

  /// Behind what the reserve is made of, before what will be done.
  Insertion new_log() const {
    std::string anchor = root_.entries.back().first.text;
    for (const auto& [key, value] : root_.entries)
      for (const char* part : {"tiers", "tanks", "lots", "spirits", "opening"})
        if (key.text == part) anchor = part;
    const size_t last = last_row(row_behind(anchor), margin());
    const size_t first = row_of_key(anchor);
    const bool spaced = first > 0 && text_begin(raw_.line(first - 1)) == raw_.line(first - 1).size();
    const std::string end = raw_.line_end(last);
    return behind_line(last, (spaced ? end : "") + std::string(margin(), ' ') + "log:" + end + first_item_text());
  }

  Insertion new_log_in_braces() { return {offset(root_.at) + 1, "log: [" + in_braces(entry_) + "], "}; }

  /// The row and column of the dash of an item.
  std::pair<size_t, size_t> dash_of(const Node& item) const {
    size_t at_row = row(item.at);
    while (at_row > 0 && (says_nothing(raw_.line(at_row)) || raw_.line(at_row)[text_begin(raw_.line(at_row))] != '-'))
      --at_row;
    return {at_row, text_begin(raw_.line(at_row))};
  }

  Insertion into_block() {
    const auto& items = log_->items;
    const auto [dash_row, dash] = dash_of(items[index_ > 0 ? index_ - 1 : 0]);
    const std::string text = std::string(dash, ' ') + "- " + like(items[index_ > 0 ? index_ - 1 : 0], dash_row, dash);
    if (index_ == 0) return behind_line(row_of_key("log"), text);
    const size_t limit = index_ < items.size() ? dash_of(items[index_]).first : row_behind("log");
    return behind_line(last_row(limit, dash), text);
  }

  /// The entry in the style of its neighbour.
  std::string like(const Node& neighbour, size_t dash_row, size_t dash) {
    if (bytes_[offset(neighbour.at)] == '{') return in_braces(entry_);
    std::string text;
    for (const auto& [key, value] : entry_.keys)
      text += (text.empty() ? "" : raw_.line_end(dash_row) + std::string(dash + 2, ' ')) + key + ": " + value;
    return text;
  }

  std::vector<Insertion> into_brackets() {
    const auto& items = log_->items;
    const std::string text = in_braces(entry_);
    if (items.empty()) return {{offset(log_->at) + 1, text}};
    if (index_ < items.size()) {
      const size_t next = offset(items[index_].at);
      return {{next, text + "," + (begins_line(items[index_]) ? new_line_like(items[index_]) : " ")}};
    }
    const Node& last = items.back();
    const size_t end = behind_flow(bytes_, offset(last.at));
    if (end == std::string::npos) return {};
    return begins_line(last) ? on_own_line(last, end, text) : std::vector<Insertion>{{end, ", " + text}};
  }

  /// Behind the last entry of brackets in which each entry has its line, and behind the comment on that line.
  std::vector<Insertion> on_own_line(const Node& last, size_t end, const std::string& text) {
    size_t end_row = row(last.at);
    while (raw_.end_of(end_row) < end) ++end_row;
    const std::string rest = bytes_.substr(end, raw_.end_of(end_row) - end);
    const size_t next = text_begin(rest);
    const bool comma = next < rest.size() && rest[next] == ',';
    if (!says_nothing(comma ? rest.substr(next + 1) : rest)) return {{end, ", " + text}};
    const Insertion entry{raw_.end_of(end_row), new_line_like(last) + text + (comma ? "," : "")};
    return comma ? std::vector<Insertion>{entry} : std::vector<Insertion>{{end, ","}, entry};
  }

  bool begins_line(const Node& item) {
    const std::string line = raw_.line(row(item.at));
    return raw_.begin_of(row(item.at)) + text_begin(line) == offset(item.at);
  }
  std::string new_line_like(const Node& item) const {
    const std::string line = raw_.line(row(item.at));
    return raw_.line_end(row(item.at)) + line.substr(0, text_begin(line));
  }

  const std::string& bytes_;
  const RawText raw_;
  Columns columns_;
  const Node& root_;
  const WrittenEntry& entry_;
  const Node* log_;
  size_t index_ = 0;
};

}  // namespace

std::string in_braces(const WrittenEntry& entry) {
  std::string text = "{";
  for (const auto& [key, value] : entry.keys) text += (text.size() > 1 ? ", " : "") + key + ": " + value;
  return text + "}";
}

std::string yaml_value(const std::string& text) {
  const auto is_plain = [](char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || static_cast<unsigned char>(c) >= 0x80;
  };
  const auto stays = [&](char c) { return is_plain(c) || std::string(" .-/%_()+").find(c) != std::string::npos; };
  const bool number = text.size() > 1 && text[0] == '-' && std::isdigit(static_cast<unsigned char>(text[1])) != 0;
  const bool plain = !text.empty() && (is_plain(text[0]) || number) && text.back() != ' ' &&
                     std::all_of(text.begin(), text.end(), stays);
  const bool nothing = text == "null" || text == "Null" || text == "NULL";
  if (plain && !nothing) return text;
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' || c == '\\' ? std::string("\\") + c : std::string(1, c);
  return quoted + '"';
}

AddedEntry add_to_log(const std::string& bytes, const WrittenEntry& entry) {
  const std::string odd = "the log is written in a way that nothing can be added to without touching the rest";
  std::vector<Problem> problems;
  const Source old_source = source_from("", bytes, problems);
  const Node old = problems.empty() ? parse_yaml(old_source, problems) : Node{};
  if (old.kind != Node::Kind::map || old.entries.empty()) return {.failure = "the file is no scenario"};
  AddedEntry added{.bytes = bytes};
  LogEditor editor(bytes, old_source, old, entry);
  auto insertions = editor.insertions();
  // From the end of the file, so that offsets hold; of two at one place the one that comes later goes in first.
  std::reverse(insertions.begin(), insertions.end());
  std::stable_sort(insertions.begin(), insertions.end(), [](const auto& a, const auto& b) { return a.at > b.at; });
  for (const Insertion& insertion : insertions) added.bytes.insert(insertion.at, insertion.text);
  problems.clear();
  const Source source = source_from("", added.bytes, problems);
  const Node now = problems.empty() ? parse_yaml(source, problems) : Node{};
  if (insertions.empty() || !only_adds(old, now, editor.index())) return {.failure = odd};
  const Node& log = *value_of(now, "log");
  added.at = log.items[editor.index()].at;
  added.before = editor.index();
  added.behind = log.items.size() - 1 - editor.index();
  return added;
}

}  // namespace tierce
