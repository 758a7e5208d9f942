#include "cli/read/corrections.h"

#include <algorithm>

#include "cli/read/suggest.h"

namespace tierce {
namespace {

const Node* value_of(const Node& map, const std::string& key) {
  for (const auto& [name, value] : map.entries)
    if (name.kind == Node::Kind::scalar && name.text == key) return &value;
  return nullptr;
}

/// A date of an entry, quietly: whoever reads the entry itself reports what is wrong with it.
std::optional<Date> date_in(const Node& entry, const std::string& key) {
  const Node* node = value_of(entry, key);
  if (node == nullptr || node->kind != Node::Kind::scalar) return std::nullopt;
  const auto read = read_date(node->text);
  return std::holds_alternative<Date>(read) ? std::optional(std::get<Date>(read)) : std::nullopt;
}

std::optional<Date> known_since(const Node& entry) {
  const auto entered = date_in(entry, "entered");
  return entered ? entered : date_in(entry, "date");
}

std::string as_written(const Node& meant) {
  std::string text;
  for (const auto& [key, value] : meant.entries)
    if (key.text != "which") text += (text.empty() ? "" : ", ") + key.text + ": " + value.text;
  return text;
}

/// "5, 7 and 9"; of many the first, and how many more.
std::string lines_text(const std::vector<const Node*>& nodes) {
  constexpr std::size_t kMostLines = 12;
  const std::size_t shown = nodes.size() > kMostLines + 1 ? kMostLines : nodes.size();
  std::vector<std::string> lines;
  for (std::size_t i = 0; i < shown; ++i) lines.push_back(std::to_string(nodes[i]->at.line));
  return listed(lines) + (shown < nodes.size() ? " and " + std::to_string(nodes.size() - shown) + " more" : "");
}

/// The entries up to a day. The log stands in the order of its days, so that later ones come last.
std::vector<const Node*> up_to(const std::optional<Date>& day, std::vector<const Node*> entries) {
  while (day && !entries.empty()) {
    const auto date = date_in(*entries.back(), "date");
    if (!date || *date <= *day) break;
    entries.pop_back();
  }
  return entries;
}

std::string key_and_value(const std::string& key, const std::string& value) { return key + '\n' + value; }

std::string counted(std::size_t entries) {
  return std::to_string(entries) + (entries == 1 ? " entry of the log has" : " entries of the log have");
}

bool has_all(const Node& entry, const Node& meant) {
  return std::all_of(meant.entries.begin(), meant.entries.end(), [&](const auto& wanted) {
    if (wanted.first.text == "which") return true;
    const Node* value = value_of(entry, wanted.first.text);
    return value != nullptr && value->kind == Node::Kind::scalar && value->text == wanted.second.text;
  });
}

/// ", and says 'entry: {ref: D-1}'" of a correction
std::string said_of(const Node& correction) {
  const Node* entry = value_of(correction, "entry");
  return entry == nullptr || as_written(*entry).empty() ? "" : ", and says 'entry: {" + as_written(*entry) + "}'";
}

/// 2 for `which: 2`; 0 where nothing is stated.
std::size_t which_of(Fields& fields, const Node& meant) {
  const Node* stated = value_of(meant, "which");
  if (stated == nullptr) return 0;
  const auto read = read_whole(stated->text, 1, 1000000);
  if (const auto* number = std::get_if<int>(&read)) return static_cast<std::size_t>(*number);
  fields.report(stated->at, std::get<Misread>(read), "which");
  return 0;
}

/// The entry with the keys of `with` in place of its own.
Node replaced(Node entry, const Node& with) {
  entry.at = with.at;
  for (const auto& said : with.entries) {
    std::erase_if(entry.entries, [&](const auto& own) { return own.first.text == said.first.text; });
    if (!says_none(said.second)) entry.entries.push_back(said);
  }
  return entry;
}

}  // namespace

Corrections::Corrections(Draft& draft, const std::vector<const Node*>& log) : draft_(draft) {
  if (std::none_of(log.begin(), log.end(), [](const Node* node) { return is_one(*node); })) return;
  for (const Node* node : log) {
    all_read_ = all_read_ && node->kind == Node::Kind::map && !node->reported;
    if (is_one(*node)) {
      corrections_.push_back(node);
      continue;
    }
    for (const auto& [key, value] : node->entries)
      if (value.kind == Node::Kind::scalar) having_[key_and_value(key.text, value.text)].push_back(node);
  }
  for (const Node* node : corrections_) read(*node);
}

const std::vector<const Node*>& Corrections::entries_with(const Node& meant) {
  const auto [found, is_new] = asked_.try_emplace(as_written(meant));
  if (!is_new) return found->second;
  static const std::vector<const Node*> kNone;
  const std::vector<const Node*>* fewest = nullptr;  // of the values asked for, the entries of the rarest are enough
  for (const auto& [key, value] : meant.entries) {
    if (key.text == "which") continue;
    const auto these = having_.find(key_and_value(key.text, value.text));
    const std::vector<const Node*>& entries = these == having_.end() ? kNone : these->second;
    if (fewest == nullptr || entries.size() < fewest->size()) fewest = &entries;
  }
  for (const Node* node : *fewest)
    if (has_all(*node, meant)) found->second.push_back(node);
  return found->second;
}

bool Corrections::is_one(const Node& entry) {
  const Node* verb = value_of(entry, "do");
  return verb != nullptr && verb->text == "correct";
}

bool Corrections::knows(const Node& entry) const {
  const auto since = known_since(entry);
  return !draft_.known_on || !since || *since <= *draft_.known_on;
}

std::optional<Corrections::Word> Corrections::last_word(const Node& entry) const {
  const auto found = changes_.find(&entry);
  if (found == changes_.end()) return std::nullopt;
  std::optional<Word> word;
  for (const Change& change : found->second) {
    if (!change.known) continue;
    Node so_far = word && word->node ? *word->node : entry;
    word = Word{says_none(*change.with), replaced(std::move(so_far), *change.with)};
  }
  return word;
}

bool Corrections::can_be_changed(Fields& fields) {
  const Node& with = *fields.find("with");
  if (says_none(with)) return true;
  if (with.kind != Node::Kind::map || with.entries.empty()) {
    if (with.reported) ++draft_.problems.unread;
    else
      fields.report(with.at, "'with' changes nothing",
                    "keys and values, as in {volume: 221 L}, or none: it was not done");
    return false;
  }
  for (const auto& [key, value] : with.entries)
    if (key.text == "do" || key.text == "entered") {
      fields.report(key.at, "a correction leaves '" + key.text + "' as it is", "other keys of the entry",
                    key.text == "do" ? "if something else was done: with: none, and an entry of its own" : "");
      return false;
    }
  return true;
}

const Node* Corrections::entry_meant(Fields& fields, const Node& correction) {
  const Node& meant = *fields.find("entry");
  const std::string how = "values that the entry has, as in {ref: D-17} or {date: 2027-02-10, do: draw}";
  if (meant.kind != Node::Kind::map || as_written(meant).empty()) {
    if (meant.reported) ++draft_.problems.unread;
    else fields.report(meant.at, "'entry' does not say which entry is meant", how);
    return nullptr;
  }
  const std::vector<const Node*> matches = up_to(date_in(correction, "date"), entries_with(meant));
  const std::size_t which = which_of(fields, meant);
  if (which > 0 && which <= matches.size()) return matches[which - 1];
  if (matches.size() == 1 && which == 0) return matches.front();
  if (which > 0 && !matches.empty())
    fields.report(meant.at,
                  counted(matches.size()) + " '" + as_written(meant) + "', no " + std::to_string(which) + " of them",
                  "'which' up to " + std::to_string(matches.size()));
  else if (matches.size() > 1)
    fields.report(meant.at, counted(matches.size()) + " '" + as_written(meant) + "'",
                  "values that only one of them has, or 'which: 2' for the second of them",
                  "they stand in the lines " + lines_text(matches));
  else if (const Node* corrected = correction_meant(meant))
    fields.report(meant.at, "'" + as_written(meant) + "' is a correction, and a correction is not corrected",
                  "the entry that it corrects, once more: a later correction goes on from the earlier one",
                  "it stands in line " + std::to_string(corrected->at.line) + said_of(*corrected));
  else if (all_read_)
    fields.report(meant.at, "no entry of the log up to that day has '" + as_written(meant) + "'", how);
  else ++draft_.problems.unread;
  return nullptr;
}

const Node* Corrections::correction_meant(const Node& meant) const {
  for (const Node* node : corrections_)
    if (has_all(*node, meant)) return node;
  return nullptr;
}

void Corrections::read(const Node& node) {
  Fields fields(node, *keys::entry("correct"), draft_.problems);
  if (!fields.is_map()) return;
  Correction correction{node.at, {}, {}, {}, ""};
  const auto date = fields.date("date");
  correction.entered = read_entered(fields, date);
  {
    const Harmless harmless(draft_.problems);
    correction.because = fields.text("because");
    fields.text("note");
    fields.text("ref");
  }
  const Node* with = value_of(node, "with");
  if (!fields.has("entry") || !fields.has("with") || with == nullptr) return;
  const Node* entry = entry_meant(fields, node);
  if (!can_be_changed(fields) || entry == nullptr || !date) return;
  correction.date = *date;
  correction.entry = entry->at;
  const bool known = knows(node);
  changes_[entry].push_back({with, known});
  if (known) draft_.scenario.corrections.push_back(correction);
  else if (draft_.scenario.as_known) ++draft_.scenario.as_known->corrections_left_out;
}

}  // namespace tierce
