#include "cli/yaml_tree.h"

#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

#include <sstream>

#include "cli/yaml_causes.h"

namespace tierce {
namespace {

/// Builds the tree. A frame holds a list or map still open.
class TreeBuilder : public YAML::EventHandler {
 public:
  TreeBuilder(const Source& source, std::vector<Problem>& problems) : source_(source), problems_(problems) {}

  Node take() { return std::move(root_); }

  void OnDocumentStart(const YAML::Mark& mark) override {
    if (++documents_ == 2)
      problems_.push_back({at(mark), "a second document begins here", "one document in each file", "remove the line '---', or move what follows to a file of its own"});
  }
  void OnDocumentEnd() override {}

  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
    refuse_anchor(mark, anchor);
    add(Node{Node::Kind::nothing, at(mark), "", false, {}, {}});
  }
  void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override {
    problems_.push_back({at(mark), "an alias (*name) stands here", "values written out", "repeat the value; text that begins with '*' stands in double quotes"});
    add(Node{Node::Kind::nothing, at(mark), "", false, {}, {}});
  }
  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor, const std::string& value) override {
    refuse_anchor(mark, anchor);
    refuse_tag(mark, tag);
    if (value.find('\0') != std::string::npos) problems_.push_back({at(mark), "this text holds a zero character", "printable text", ""});
    add(Node{Node::Kind::scalar, at(mark), value, tag == "!", {}, {}});
  }
  void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor, YAML::EmitterStyle::value) override {
    open(mark, tag, anchor, Node::Kind::list);
  }
  void OnSequenceEnd() override { close(); }
  void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor, YAML::EmitterStyle::value) override {
    open(mark, tag, anchor, Node::Kind::map);
  }
  void OnMapEnd() override { close(); }

 private:
  struct Frame {
    Node node;
    bool has_key = false;
    Node key;
  };

  At at(const YAML::Mark& mark) const {
    if (mark.is_null()) return {1, 1};
    const auto row = static_cast<std::size_t>(mark.line);
    if (row >= source_.lines.size()) return {mark.line + 1, 1};
    return {mark.line + 1, character_column(source_.lines[row], static_cast<std::size_t>(mark.column))};
  }

  void refuse_anchor(const YAML::Mark& mark, YAML::anchor_t anchor) {
    if (anchor != 0) problems_.push_back({at(mark), "an anchor (&name) stands here", "values written out", "text that begins with '&' stands in double quotes"});
  }
  void refuse_tag(const YAML::Mark& mark, const std::string& tag) {
    if (!tag.empty() && tag != "?" && tag != "!")
      problems_.push_back({at(mark), "a tag (!name) stands here", "values without tags", "text that begins with '!' stands in double quotes"});
  }

  void open(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor, Node::Kind kind) {
    refuse_anchor(mark, anchor);
    refuse_tag(mark, tag);
    frames_.push_back({Node{kind, at(mark), "", false, {}, {}}, false, {}});
  }
  void close() {
    Node node = std::move(frames_.back().node);
    frames_.pop_back();
    add(std::move(node));
  }
  void add(Node node) {
    if (frames_.empty()) {
      if (documents_ == 1) root_ = std::move(node);
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
      if (node.kind == Node::Kind::nothing) node.at = frame.key.at;
      frame.node.entries.emplace_back(std::move(frame.key), std::move(node));
      frame.has_key = false;
    }
  }

  const Source& source_;
  std::vector<Problem>& problems_;
  Node root_;
  std::vector<Frame> frames_;
  int documents_ = 0;
};

}  // namespace

Node parse_yaml(const Source& source, std::vector<Problem>& problems) {
  if (auto problem = directive_line(source)) {
    problems.push_back(*problem);
    return {};
  }
  TreeBuilder builder(source, problems);
  std::istringstream in(source.text);
  try {
    YAML::Parser parser(in);
    while (parser.HandleNextDocument(builder)) continue;
  } catch (const YAML::Exception& error) {
    problems.clear();  // what was seen before a syntax error may be its consequence
    problems.push_back(likely_cause(source, {error.mark.line + 1, error.mark.column + 1}, error.msg));
    return {};
  }
  return builder.take();
}

}  // namespace tierce
