#include "cli/read/yaml_tree.h"

#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

#include <algorithm>
#include <cctype>
#include <optional>
#include <sstream>

#include "cli/read/yaml_causes.h"

namespace tierce {
namespace {

/// Thrown out of the parser, which knows no other way to stop.
struct TooMuch {
  Problem problem;
};

/// Builds the tree of the first document. A frame holds a list or map still open.
class TreeBuilder : public YAML::EventHandler {
 public:
  TreeBuilder(const Source& source, const Shape& shape, const Limits& limits, std::vector<Problem>& problems)
      : source_(source), shape_(shape), limits_(limits), problems_(problems), columns_(source) {}

  Node take() {
    root_.partial = root_.partial || documents_ > 1;
    return std::move(root_);
  }
  int documents() const { return documents_; }
  /// The line that no '---' parts from the document before it: as bad as a syntax error.
  const std::optional<Problem>& stray() const { return stray_; }

  void OnDocumentStart(const YAML::Mark& mark) override {
    if (++documents_ != 2 || stray_) return;
    const auto row = static_cast<std::size_t>(mark.line);
    if (const auto begins = line_of_dashes(row))
      report(
          {static_cast<int>(*begins) + 1, 1}, "a second document begins here", "one document in each file",
          "remove the line '" + source_.lines[*begins].substr(0, 3) + "', or move what follows to a file of its own");
    else stray_ = stray_line(source_, shape_, row, static_cast<std::size_t>(mark.column));
  }
  void OnDocumentEnd() override {}

  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
    if (documents_ > 1) return;
    refuse_anchor(mark, anchor);
    const std::string written = null_at(mark);
    const bool item = !frames_.empty() && frames_.back().node.kind == Node::Kind::list;
    add({.kind = Node::Kind::nothing, .at = item && written.empty() ? empty_item(mark) : at(mark), .text = written});
  }
  void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override {
    if (documents_ > 1) return;
    const bool merged = !frames_.empty() && frames_.back().has_key && frames_.back().key.text == "<<";
    if (!merged) problems_.push_back(alias_problem(at(mark)));  // else '<<' is reported
    add({.kind = Node::Kind::nothing, .at = at(mark), .reported = true});
  }
  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& value) override {
    if (documents_ > 1) return;
    refuse_anchor(mark, anchor);
    refuse_tag(mark, tag);
    if (value.size() > kLongestText)
      throw TooMuch{{at(mark), "a text of " + std::to_string(value.size()) + " bytes stands here",
                     std::to_string(kLongestText) + " bytes at most", ""}};
    Node node{.kind = Node::Kind::scalar, .at = at(mark), .text = value};
    if (const auto refused = refused_character(value)) {
      report(node.at, refused->name + " stands in this text", "text that can be seen", "");
      problems_.back().rest_is_sound = false;
      node.reported = true;
    }
    if (tag == "?") look_behind(mark, node);
    add(std::move(node));
  }
  void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value) override {
    open(mark, tag, anchor, Node::Kind::list);
  }
  void OnSequenceEnd() override { close(); }
  void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value) override {
    open(mark, tag, anchor, Node::Kind::map);
  }
  void OnMapEnd() override { close(); }

 private:
  struct Frame {
    Node node;
    bool has_key = false;
    Node key;
  };

  At at(const YAML::Mark& mark) {
    if (mark.is_null()) return {1, 1};
    const auto row = static_cast<std::size_t>(mark.line);
    if (row >= source_.lines.size()) return {static_cast<int>(source_.lines.size()), 1};
    return {mark.line + 1, columns_.column_of(row, static_cast<std::size_t>(mark.column))};
  }

  void report(At where, std::string what, std::string allowed, std::string hint) {
    problems_.push_back({where, std::move(what), std::move(allowed), std::move(hint), true});
  }
  void refuse_anchor(const YAML::Mark& mark, YAML::anchor_t anchor) {
    if (anchor != 0)
      report(at(mark), "an anchor (&name) stands here", "values written out",
             "text that begins with '&' stands in double quotes");
  }
  void refuse_tag(const YAML::Mark& mark, const std::string& tag) {
    if (!tag.empty() && tag != "?" && tag != "!")
      report(at(mark), "a tag (!name) stands here", "values without tags",
             "text that begins with '!' stands in double quotes");
  }

  /// `~` or `null` as written; nothing where nothing is written (the parser is then at the next key).
  std::string null_at(const YAML::Mark& mark) const {
    const auto row = static_cast<std::size_t>(mark.line), column = static_cast<std::size_t>(mark.column);
    if (row >= source_.lines.size() || column >= source_.lines[row].size()) return "";
    const std::string word = source_.lines[row].substr(column, 4);
    if (word.starts_with('~')) return "~";
    return word == "null" || word == "Null" || word == "NULL" ? word : "";
  }

  /// The dash of a list item without a value: the parser is then at what follows, perhaps some lines below.
  At empty_item(const YAML::Mark& mark) {
    for (auto row = std::min(static_cast<std::size_t>(mark.line) + 1, source_.lines.size()); row-- > 0;) {
      const bool same = row == static_cast<std::size_t>(mark.line);
      const std::string line =
          source_.lines[row].substr(0, same ? static_cast<std::size_t>(mark.column) : std::string::npos);
      const auto text = line.find_first_not_of(" \t");
      if (text == std::string::npos || line[text] == '#') continue;
      const auto behind = line.find_first_not_of(" \t-", text);
      if (behind != std::string::npos && line[behind] != '#') break;
      return {static_cast<int>(row) + 1, columns_.column_of(row, text)};
    }
    return at(mark);
  }

  /// The line '---' (or '...' before it) that begins a document whose first content stands in `row`.
  std::optional<std::size_t> line_of_dashes(std::size_t row) const {
    for (std::size_t above = std::min(row + 1, source_.lines.size()); above-- > 0;) {
      const std::string& line = source_.lines[above];
      if (line.starts_with("---") || line.starts_with("...")) return above;
      const auto text = line.find_first_not_of(" \t");
      if (above < row && text != std::string::npos && line[text] != '#') break;
    }
    return std::nullopt;
  }

  /// What follows plain text: its next line, or a comment so close that it may belong to the text.
  void look_behind(const YAML::Mark& mark, Node& node) {
    const auto row = static_cast<std::size_t>(mark.line);
    if (row >= source_.lines.size()) return;
    const std::string& line = source_.lines[row];
    const auto first = static_cast<std::size_t>(mark.column);
    node.runs_on = line.compare(std::min(first, line.size()), node.text.size(), node.text) != 0;
    if (node.runs_on) return;
    const auto next = line.find_first_not_of(" \t", first + node.text.size());
    if (next == std::string::npos || line[next] != '#' || next + 1 >= line.size()) return;
    if (std::isalnum(static_cast<unsigned char>(line[next + 1])) != 0)
      node.comment = {mark.line + 1, columns_.column_of(row, next)};
  }

  void open(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor, Node::Kind kind) {
    if (documents_ > 1) return;
    refuse_anchor(mark, anchor);
    refuse_tag(mark, tag);
    frames_.push_back({{.kind = kind, .at = at(mark)}, false, {}});
    if (frames_.size() > kDeepest)
      throw TooMuch{{at(mark), "lists and maps stand too deep inside one another",
                     std::to_string(kDeepest) + " levels; a scenario needs six", ""}};
  }
  void close() {
    if (documents_ > 1) return;
    Node node = std::move(frames_.back().node);
    frames_.pop_back();
    add(std::move(node));
  }
  void add(Node node) {
    if (++values_ > limits_.values)
      throw TooMuch{{node.at, "the file holds more than " + std::to_string(limits_.values) + " keys and values",
                     "a scenario of up to " + std::to_string(limits_.entries) + " log entries",
                     "--large lifts this limit"}};
    if (problems_.size() > kMostFaults)
      throw TooMuch{
          {node.at, "more than " + std::to_string(kMostFaults) + " faults stand above this line", "a scenario", ""}};
    if (frames_.empty()) {
      root_ = std::move(node);
      return;
    }
    Frame& frame = frames_.back();
    if (frame.node.kind == Node::Kind::list) {
      frame.node.items.push_back(std::move(node));
    } else if (!frame.has_key) {
      frame.key = std::move(node);
      frame.has_key = true;
    } else {
      // The parser places an empty value at the next key; the place to point at is its own key.
      if (node.kind == Node::Kind::nothing && !node.reported && node.text.empty()) node.at = frame.key.at;
      frame.node.entries.emplace_back(std::move(frame.key), std::move(node));
      frame.has_key = false;
    }
  }

  const Source& source_;
  const Shape& shape_;
  const Limits& limits_;
  std::size_t values_ = 0;
  std::vector<Problem>& problems_;
  Columns columns_;
  Node root_;
  std::vector<Frame> frames_;
  int documents_ = 0;
  std::optional<Problem> stray_;
};

/// The line in which more brackets stand open than anything could need; 0 if none.
int line_of_too_many_open(const Source& source) {
  std::size_t open = 0;
  int line = 1;
  for (const char c : source.text) {
    if (c == '\n') ++line;
    if (c == '[' || c == '{') ++open;
    if ((c == ']' || c == '}') && open > 0) --open;
    if (open > kMostOpen) return line;
  }
  return 0;
}

}  // namespace

Node parse_yaml(const Source& source, std::vector<Problem>& problems, const Limits& limits) {
  if (const int line = line_of_too_many_open(source); line > 0) {
    problems.push_back({{line, 1},
                        "lists and maps stand too deep inside one another",
                        std::to_string(kDeepest) + " levels; a scenario needs six",
                        ""});
    return {};
  }
  const Shape shape = shape_of(source);
  std::optional<Problem> error = silent_loss(source, shape);
  TreeBuilder builder(source, shape, limits, problems);
  try {
    std::istringstream in(source.text);
    YAML::Parser parser(in);
    // Never further than the second document: from some texts the parser makes documents without end.
    while (!error && builder.documents() < 2 && parser.HandleNextDocument(builder)) error = builder.stray();
  } catch (const YAML::Exception& thrown) {
    const YAML::Mark& mark = thrown.mark;
    error = likely_cause(source, shape, static_cast<std::size_t>(std::max(mark.line, 0)),
                         static_cast<std::size_t>(std::max(mark.column, 0)), thrown.msg);
  } catch (const TooMuch& thrown) { error = thrown.problem; }
  if (!error) return builder.take();
  problems = {*error};  // what was seen before a syntax error may be its consequence
  return {};
}

}  // namespace tierce
