#include "cli/read/read_claims.h"

#include <algorithm>

#include "cli/read/fields.h"
#include "cli/read/read_rules.h"
#include "cli/read/suggest.h"
#include "engine/rules/verdict.h"

namespace tierce {
namespace {

/// The keys that a subject takes, and the unit of its figures.
struct Subject {
  Say say;
  const char* unit;
  std::vector<std::string> keys;    // beside say, rule, for, since
  std::vector<std::string> one_of;  // of which at least one is needed, unless a rule is named
  bool rule_is_enough = true;
};

const std::vector<Subject>& subjects() {
  static const std::vector<Subject> kSubjects = {
      {Say::mean_age, "years", {"at least", "at most", "stated", "term"}, {"at least", "at most", "stated"}},
      {Say::youngest, "years", {"at least", "at most", "stated", "term"}, {"at least", "at most", "stated"}},
      {Say::oldest, "years", {"at least", "at most", "stated"}, {"at least", "at most", "stated"}},
      {Say::oldest_share, "%", {"at least", "at most", "before"}, {"at least", "at most"}, false},
      {Say::vintage, "%", {"year", "at least"}, {"year"}, false},
      {Say::variety, "%", {"of", "at least"}, {"of"}, false},
      {Say::origin, "%", {"of", "at least"}, {"of"}, false},
      {Say::alcohol,
       "%vol",
       {"stated", "at least", "at most", "measured", "error"},
       {"stated", "at least", "at most"},
       false},
      {Say::sweetness, "g/L", {"term", "at least", "at most", "measured", "error"}, {"at least", "at most"}},
      {Say::no_added_sulfites, "mg/L", {"measured", "error"}, {}},
      {Say::quotient, "years", {"at least", "at most", "stated", "term"}, {"at least", "at most", "stated"}},
      {Say::started, "", {"year"}, {"year"}, false},
      {Say::harvests, "", {"stated", "at least", "at most"}, {"stated", "at least", "at most"}, false},
      {Say::fill, "L", {"stated", "measured", "error"}, {"stated"}, false},
      {Say::wording, "", {"term"}, {"term"}, false},
      {Say::figure, "", {"measured", "error"}, {"measured"}, false},
  };
  return kSubjects;
}

class ClaimReader {
 public:
  ClaimReader(Fields& fields, const Subject& subject) : fields_(fields), subject_(subject) { claim_.say = subject.say; }

  Claim read() {
    claim_.at = fields_.at("say");
    check_keys();
    claim_.at_least = figure("at least");
    claim_.at_most = figure("at most");
    read_stated();
    claim_.year = fields_.whole("year", 0);
    claim_.before = fields_.whole("before", 0);
    claim_.since = fields_.whole("since", 0);
    read_of();
    claim_.term = fields_.text("term");
    claim_.rule = fields_.text("rule");
    claim_.rule_at = fields_.at("rule");
    claim_.draw = fields_.text("for");
    claim_.draw_at = fields_.at("for");
    claim_.measured = claim_.say == Say::figure ? any_figure("measured") : figure("measured");
    claim_.error = claim_.say == Say::figure ? any_figure("error") : figure("error");
    claim_.written = in_words();
    return claim_;
  }

 private:
  bool takes(const std::string& key) const {
    return std::find(subject_.keys.begin(), subject_.keys.end(), key) != subject_.keys.end();
  }

  void check_keys() {
    static const std::vector<std::string> kAlways = {"say", "rule", "for", "since"};
    std::vector<std::string> allowed = kAlways;
    allowed.insert(allowed.end(), subject_.keys.begin(), subject_.keys.end());
    for (const Key& key : keys::claim().keys)
      if (fields_.has(key.name) && std::find(allowed.begin(), allowed.end(), key.name) == allowed.end())
        fields_.report(fields_.at(key.name), "a claim of " + word_of(claim_.say) + " has no '" + key.name + "'",
                       listed(allowed));
    if (claim_.say == Say::figure && !fields_.has("rule"))
      fields_.report(fields_.at(), "a claim of figure has no 'rule'", "rule: the rule that the figure is held against");
    if (claim_.say == Say::fill && !fields_.has("measured"))
      fields_.report(fields_.at(), "a claim of fill has no 'measured'", "measured: what the bottle holds");
    if (subject_.one_of.empty() || !fields_.given(subject_.one_of).empty()) return;
    if (subject_.rule_is_enough && fields_.has("rule")) return;
    if (claim_.say == Say::sweetness && fields_.has("term")) return;
    const bool one = subject_.one_of.size() == 1;
    fields_.report(
        fields_.at(),
        "a claim of " + word_of(claim_.say) + (one ? " has no '" + subject_.one_of.front() + "'" : " says no figure"),
        listed(subject_.one_of) + (subject_.rule_is_enough ? ", or a rule" : ""));
  }

  double figure_of(const std::string& key, const std::string& text) {
    const auto value = read_in_unit(text, subject_.unit);
    if (const auto* misread = std::get_if<Misread>(&value)) {
      fields_.report(fields_.at(key), *misread, key);
      return kUnknown;
    }
    if (std::get<double>(value) >= 0.0) return std::get<double>(value);
    fields_.report(fields_.at(key), "'" + key + "': " + text + " is negative", "0 or more");
    return kUnknown;
  }

  double figure(const std::string& key) {
    if (!fields_.has(key) || !takes(key)) return kUnknown;
    const std::string text = fields_.text(key);
    return text.empty() ? kUnknown : figure_of(key, text);
  }

  /// A figure in the unit of the rule that it is held against; the unit is compared when the rule is known.
  double any_figure(const std::string& key) {
    const std::string text = fields_.text(key);
    if (text.empty()) return kUnknown;
    const auto [number, unit] = split_number(text);
    const auto value = read_number(number);
    if (const auto* misread = std::get_if<Misread>(&value)) {
      fields_.report(fields_.at(key), *misread, key);
      return kUnknown;
    }
    if (key == "measured") claim_.measured_text = text;
    return std::get<double>(value);
  }

  /// One figure, or a range: 17 to 19 %vol.
  void read_stated() {
    if (!fields_.has("stated") || !takes("stated")) return;
    const std::string text = fields_.text("stated");
    if (text.empty()) return;
    claim_.stated_in_proof = split_number(text).second.ends_with("proof");
    const auto to = text.find(" to ");
    if (claim_.say != Say::alcohol || to == std::string::npos) {
      claim_.stated = claim_.stated_to = figure_of("stated", text);
      const bool of_age = subject_.unit == std::string("years");
      if (of_age && !is_known(claim_.at_least)) claim_.at_least = claim_.stated;
      return;
    }
    std::string low = trimmed(text.substr(0, to));
    const std::string high = trimmed(text.substr(to + 4));
    if (split_number(low).second.empty()) low += ' ' + split_number(high).second;
    claim_.stated = figure_of("stated", low);
    claim_.stated_to = figure_of("stated", high);
    if (claim_.stated >= claim_.stated_to)
      fields_.report(fields_.at("stated"), "'stated': " + text + " is no range", "the lower end first");
  }

  /// One name, a list of names, or names with their shares.
  void read_of() {
    const Node* node = fields_.find("of");
    if (node == nullptr || !takes("of")) return;
    if (node->kind == Node::Kind::map) {
      for (const auto& [name, share] : fields_.quantities("of", Measure::share, {0.0, 1.0, true}))
        claim_.of.emplace_back(name->text, 100.0 * share);
    } else if (node->kind == Node::Kind::list) {
      for (const Node& item : node->items)
        if (item.kind == Node::Kind::scalar && !item.text.empty()) claim_.of.emplace_back(item.text, kUnknown);
        else fields_.report(item.at, "a name is text, not " + kind_text(item), "as in [Verdelho, Touriga]");
    } else if (const std::string name = fields_.text("of"); !name.empty()) {
      claim_.of.emplace_back(name, kUnknown);
    }
    if (node->kind != Node::Kind::scalar && !node->reported && node->items.empty() && node->entries.empty())
      fields_.report(node->at, "'of' names nothing", "a name, a list of names, or names with their shares");
  }

  std::string names_in_words() const {
    std::string text;
    for (const auto& [name, share] : claim_.of)
      text += (text.empty() ? "" : ", ") + name + (is_known(share) ? ' ' + plain_number(share) + " %" : "");
    return text;
  }

  std::string in_words() {
    std::string text = claim_.say == Say::figure ? fields_.text("measured") : word_of(claim_.say);
    if (claim_.say == Say::sweetness && !claim_.term.empty()) text = claim_.term;
    else if (!claim_.term.empty()) text += ", " + claim_.term;
    if (claim_.say == Say::started) text += " in";
    if (claim_.year > 0) text += ' ' + std::to_string(claim_.year);
    if (!claim_.of.empty()) text += ' ' + names_in_words();
    for (const std::string key : {"stated", "at least", "at most"})
      if (fields_.has(key) && takes(key)) text += (key == "stated" ? " " : ' ' + key + ' ') + fields_.text(key);
    if (claim_.before > 0) text += " before " + std::to_string(claim_.before);
    if (claim_.say != Say::figure && is_known(claim_.measured)) text += ", measured " + fields_.text("measured");
    return text;
  }

  Fields& fields_;
  const Subject& subject_;
  Claim claim_;
};

}  // namespace

std::optional<Claim> read_claim(const Node& node, Problems& problems) {
  Fields fields(node, keys::claim(), problems);
  if (!fields.is_map() || !fields.has("say")) return std::nullopt;
  const std::string word = fields.text("say");
  for (const Subject& subject : subjects())
    if (word_of(subject.say) == word) return ClaimReader(fields, subject).read();
  if (!word.empty())
    fields.report(fields.at("say"), "'say' cannot be '" + word + "'", listed(say_words()),
                  did_you_mean(nearest(word, say_words())));
  return std::nullopt;
}

std::optional<Claim> claim_from_option(const std::string& text, Source& source, std::vector<Problem>& problems) {
  std::string map = trimmed(text);
  if (!map.starts_with("{")) {
    const auto colon = map.find(':'), comma = map.find(',');
    const bool begins_with_key = colon != std::string::npos && (comma == std::string::npos || colon < comma);
    if (!begins_with_key) map = "say: " + map;
    map = "{" + map + "}";
  }
  source = source_from("--claim", map, problems);
  if (!problems.empty()) return std::nullopt;
  Problems found;
  const Node root = parse_yaml(source, found.found);
  std::optional<Claim> claim;
  if (root.kind != Node::Kind::nothing) claim = read_claim(root, found);
  problems = std::move(found.found);
  if (!problems.empty()) return std::nullopt;
  return claim;
}

}  // namespace tierce
