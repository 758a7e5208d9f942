#include "cli/read/read_rules.h"

#include <algorithm>
#include <limits>

#include "cli/read/fields.h"
#include "cli/read/kept_files.h"
#include "cli/read/rule_keys.h"
#include "cli/read/suggest.h"
#include "cli/read/yaml_tree.h"
#include "engine/rules/verdict.h"
#include "engine/wine/alcoholometry.h"

namespace tierce {
namespace {

class RuleReader {
 public:
  RuleReader(RuleBook& book, Problems& problems) : book_(book), problems_(problems) {}

  void read(const Node& root) {
    Fields top(root, keys::rule_file(), problems_);
    if (!top.is_map()) return;
    RuleSet set{top.text("rules"), top.text("title"), "", false};
    if (const auto noted = top.date("noted")) set.noted = iso_text(*noted);
    set_ = set.name;
    const bool there = std::any_of(book_.sets.begin(), book_.sets.end(), [&](const RuleSet& other) {
      return other.name == set.name && other.title == set.title && other.noted == set.noted;
    });
    if (!there) book_.sets.push_back(set);  // a set may stand in several files
    for (const Node* node : top.list("list")) read_rule(*node);
    for (const Node* node : top.list("classes")) read_class(*node);
  }

 private:
  void once(Fields& fields, const std::string& id) {
    const auto same = [&](const auto& other) { return other.id == id; };
    if (!id.empty() && (std::any_of(book_.rules.begin(), book_.rules.end(), same) ||
                        std::any_of(book_.classes.begin(), book_.classes.end(), same)))
      fields.report(fields.at("id"), "there is a rule '" + id + "' already", "each id once, over all rule files");
  }

  InForce read_in_force(Fields& fields) {
    const InForce days{fields.date("from"), fields.date("until")};
    if (days.from && days.until && *days.until < *days.from)
      fields.report(fields.at("until"),
                    "'until': " + iso_text(*days.until) + " comes before 'from', " + iso_text(*days.from),
                    "the first day, and a last day that is not before it");
    return days;
  }

  Citation read_citation(Fields& fields) {
    Citation source{fields.text("citation"), fields.text("text"), Known::memory, fields.text("note")};
    const std::string known = fields.choice("known", "memory");
    source.known = known == "read" ? Known::read : known == "second hand" ? Known::second_hand : Known::memory;
    return source;
  }

  void read_rule(const Node& node) {
    Fields fields(node, keys::rule(), problems_);
    if (!fields.is_map()) return;
    Rule rule;
    rule.at = fields.at("id");
    rule.set = set_;
    rule.id = fields.text("id");
    rule.about = fields.text("about");
    once(fields, rule.id);
    rule.judges = words(fields, "judges");
    check_judges(fields, rule.judges);
    rule.strength_at_c = read_scale(fields);
    read_figure(fields, rule);
    read_year_ends(fields, rule);
    check_needs(fields, rule);
    const std::string spirit = fields.choice("spirit", "counted");
    rule.spirit = spirit == "left out"    ? SpiritIn::left_out
                  : spirit == "unsettled" ? SpiritIn::unsettled
                                          : SpiritIn::counted;
    rule.when = conditions(fields, "when");
    rule.unless = conditions(fields, "unless");
    rule.statement = fields.text("statement");
    rule.effect = rule.statement.empty() ? Effect::limit : Effect::statement;
    rule.family = fields.text("family");
    rule.gives_way_to = words(fields, "gives way to");
    rule.boundary = fields.text("boundary");
    if (!rule.boundary.empty() && rule.quantity != "strength")
      fields.report(fields.at("boundary"), "'boundary' belongs to a limit on strength", "quantity: strength");
    rule.open_point = fields.text("left open");
    if (is_known(rule.open_to) && rule.open_point.empty())
      fields.report(fields.at("open to"), "'open to' without 'left open'",
                    "left open: what the texts leave open there");
    rule.in_force = read_in_force(fields);
    rule.source = read_citation(fields);
    book_.rules.push_back(std::move(rule));
  }

  double read_scale(Fields& fields) {
    return fields.choice("strength at", "20 °C") == "60 °F" ? kSixtyFahrenheitC : kStrengthC;
  }

  void read_year_ends(Fields& fields, Rule& rule) {
    for (const Node* node : fields.list("year ends")) {
      const auto text = scalar_text(*node, "an item of 'year ends'", problems_);
      if (!text) continue;
      const auto day = read_day_of_year(*text);
      if (const auto* misread = std::get_if<Misread>(&day)) fields.report(node->at, *misread, "year ends");
      else rule.year_ends.push_back(std::get<DayOfYear>(day));
    }
    if (!rule.year_ends.empty() && std::find(rule.judges.begin(), rule.judges.end(), "year") == rule.judges.end())
      fields.report(fields.at("year ends"), "'year ends' belongs to a rule on a year", "judges: [year]");
  }

  void read_figure(Fields& fields, Rule& rule) {
    rule.quantity = known_quantity(fields);
    rule.open_at_limit = fields.choice("at the limit", "decided") == "open";
    const std::string written = fields.text("limit");
    if (rule.quantity.empty() || written.empty()) return;
    const auto limit = read_limit(written, rule.quantity);
    if (const auto* misread = std::get_if<Misread>(&limit)) return fields.report(fields.at("limit"), *misread, "limit");
    rule.op = std::get<Limit>(limit).op;
    rule.limit = on_own_scale(std::get<Limit>(limit), rule.strength_at_c);
    rule.unit = std::get<Limit>(limit).unit;
    rule.open_at_limit = rule.open_at_limit || std::get<Limit>(limit).open_at_limit;
    read_open_to(fields, rule);
  }

  /// How far beyond the limit the texts leave it open.
  void read_open_to(Fields& fields, Rule& rule) {
    const std::string written = fields.text("open to");
    if (written.empty()) return;
    const bool up = rule.op == Operator::at_most || rule.op == Operator::below;
    const bool down = rule.op == Operator::at_least || rule.op == Operator::above;
    if (!up && !down)
      return fields.report(fields.at("open to"), "'open to' belongs to a limit on one side",
                           "at least, above, at most or below");
    rule.open_to = up ? std::numeric_limits<double>::infinity() : -std::numeric_limits<double>::infinity();
    if (written == "any figure") return;
    const auto read = read_value(written, rule.quantity, rule.unit);
    if (const auto* misread = std::get_if<Misread>(&read))
      return fields.report(fields.at("open to"), *misread, "open to");
    rule.open_to = std::get<double>(read);
    if (up ? rule.open_to <= rule.limit : rule.open_to >= rule.limit)
      fields.report(fields.at("open to"), "'open to': " + written + " is not beyond the limit",
                    std::string("a value ") + (up ? "above" : "below") + " that of 'limit', or any figure");
  }

  /// A limit in %vol is one on the rule's scale already; proof was brought to 20 °C.
  static double on_own_scale(const Limit& limit, double temperature_c) {
    if (!limit.in_proof || temperature_c == kStrengthC) return limit.value;
    return alcohol_pct_at(limit.value, temperature_c).value_or(kUnknown);
  }

  std::string known_quantity(Fields& fields) {
    const std::string name = fields.text("quantity");
    if (name.empty() || find_quantity(name) != nullptr) return name;
    std::vector<std::string> names;
    for (const LabelQuantity& row : label_quantities()) names.emplace_back(row.name);
    fields.report(fields.at("quantity"), "there is no quantity '" + name + "'", listed(names),
                  did_you_mean(nearest(name, names)));
    return "";
  }

  void check_judges(Fields& fields, const std::vector<std::string>& judges) {
    std::vector<std::string> allowed = say_words();
    allowed.insert(allowed.end(), {"draw", "year", "fortify"});
    for (const std::string& word : judges)
      if (std::find(allowed.begin(), allowed.end(), word) == allowed.end())
        fields.report(fields.at("judges"), "'judges' cannot hold '" + word + "'", listed(allowed),
                      did_you_mean(nearest(word, allowed)));
    if (const Node* node = fields.find("judges"); node != nullptr && node->kind == Node::Kind::list && judges.empty())
      fields.report(node->at, "'judges' is an empty list", "at least one of " + listed(allowed));
  }

  /// A draw alone has no stated strength, a bottling no loss of a year.
  void check_needs(Fields& fields, const Rule& rule) {
    const LabelQuantity* quantity = find_quantity(rule.quantity);
    if (quantity == nullptr) return;
    for (const std::string& word : rule.judges) {
      const bool year = word == "year", of_year = quantity->needs == NeedsOf::year;
      if (word == "fortify" && !of_year && quantity->needs != NeedsOf::claim) continue;
      if (word == "draw" && quantity->needs == NeedsOf::fortify) continue;  // of a draw it is never known
      if (word == "figure" || (year == of_year && !(word == "draw" && quantity->needs == NeedsOf::claim))) continue;
      fields.report(fields.at("quantity"),
                    "'" + rule.quantity + "' cannot be known of what the rule judges, '" + word + "'",
                    quantity->needs == NeedsOf::claim  ? "judges: what is claimed"
                    : quantity->needs == NeedsOf::year ? "judges: [year]"
                                                       : "judges: [draw], or what is claimed");
    }
  }

  std::vector<std::string> words(Fields& fields, const std::string& key) {
    std::vector<std::string> result;
    for (const Node* node : fields.list(key))
      if (const auto text = scalar_text(*node, "an item of '" + key + "'", problems_)) result.push_back(*text);
    return result;
  }

  std::vector<Condition> conditions(Fields& fields, const std::string& key) {
    std::vector<Condition> result;
    const Node* node = fields.find(key);
    if (node == nullptr) return result;
    if (node->reported) return result;
    if (node->kind != Node::Kind::map) {
      fields.report(node->at, "'" + key + "' is written as names with values, not as " + kind_text(*node),
                    "as in {product: wine, sugar: below 5 g/L}");
      return result;
    }
    for (const auto& [name, value] : node->entries) {
      const auto word = std::find_if(keys::fact_words().begin(), keys::fact_words().end(),
                                     [&text = name.text](const keys::FactWord& one) { return one.name == text; });
      if (word != keys::fact_words().end()) read_words(fields, *word, value, result);
      else if (find_quantity(name.text) != nullptr) read_limits(fields, name.text, value, result);
      else no_such_fact(fields, name);
    }
    return result;
  }

  void no_such_fact(Fields& fields, const Node& name) {
    std::vector<std::string> names;
    for (const keys::FactWord& word : keys::fact_words()) names.push_back(word.name);
    for (const LabelQuantity& row : label_quantities()) names.emplace_back(row.name);
    fields.report(name.at, "nothing called '" + name.text + "' is known of a wine", listed(names),
                  did_you_mean(nearest(name.text, names)));
  }

  /// The texts of one value or of a list of them.
  std::vector<std::pair<std::string, At>> texts(const Node& value, const std::string& what) {
    std::vector<std::pair<std::string, At>> result;
    const auto take = [&](const Node& node) {
      if (const auto text = scalar_text(node, what, problems_)) result.emplace_back(*text, node.at);
    };
    if (value.kind == Node::Kind::list)
      for (const Node& item : value.items) take(item);
    else take(value);
    return result;
  }

  void read_words(Fields& fields, const keys::FactWord& word, const Node& value, std::vector<Condition>& result) {
    Condition condition{.fact = word.name};
    for (const auto& [text, at] : texts(value, "'" + word.name + "'")) {
      const auto& choices = word.choices;
      if (text != "not stated" && !choices.empty() && std::find(choices.begin(), choices.end(), text) == choices.end())
        fields.report(at, "'" + word.name + "' cannot be '" + text + "'", listed(choices),
                      did_you_mean(nearest(text, choices)));
      condition.words.push_back(text);
    }
    if (!condition.words.empty()) result.push_back(condition);
  }

  void read_limits(Fields& fields, const std::string& quantity, const Node& value, std::vector<Condition>& result) {
    for (const auto& [text, at] : texts(value, "'" + quantity + "'")) {
      const auto limit = read_limit(text, quantity);
      if (const auto* misread = std::get_if<Misread>(&limit)) {
        fields.report(at, *misread, quantity);
        continue;
      }
      const Limit& read = std::get<Limit>(limit);
      result.push_back({.fact = quantity, .op = read.op, .limit = read.value, .open_at_limit = read.open_at_limit});
    }
  }

  void read_class(const Node& node) {
    Fields fields(node, keys::tax_class(), problems_);
    if (!fields.is_map()) return;
    TaxClass one;
    one.at = fields.at("id");
    one.set = set_;
    one.id = fields.text("id");
    once(fields, one.id);
    one.name = fields.text("name");
    one.credit = fields.choice("kind", "class") == "credit";
    one.above_pct = fields.quantity("above", one.above_pct);
    one.takes_in_lower = fields.has("at least");
    if (one.takes_in_lower && fields.has("above"))
      fields.report(fields.at("at least"), "a class has 'above' or 'at least', not both", "one of them");
    if (one.takes_in_lower) one.above_pct = fields.quantity("at least", one.above_pct);
    one.up_to_pct = fields.quantity("up to", one.up_to_pct);
    one.volume_l = fields.quantity("volume");
    one.rounded_to_l = fields.quantity("rounded to", 0.0);
    one.strength_at_c = read_scale(fields);
    one.when = conditions(fields, "when");
    read_rate(fields, one);
    if (one.credit && (!fields.has("volume") || !fields.has("rate")))
      fields.report(fields.at(), "a credit has a 'volume' and a 'rate'", "volume: 30000 gal, rate: 1.00 USD/gal");
    one.in_force = read_in_force(fields);
    one.boundary = fields.text("boundary");
    if (!one.boundary.empty() && !fields.has("above"))
      fields.report(fields.at("boundary"), "'boundary' without 'above'", "above: the strength that it is about");
    one.source = read_citation(fields);
    book_.classes.push_back(std::move(one));
  }

  void read_rate(Fields& fields, TaxClass& one) {
    const std::string written = fields.text("rate");
    if (written.empty()) return;
    const auto [number, unit] = split_number(written);
    const auto value = read_number(number);
    const double* rate = std::get_if<double>(&value);
    const bool currency = unit.size() > 4 && unit[3] == '/' &&
                          std::all_of(unit.begin(), unit.begin() + 3, [](char c) { return c >= 'A' && c <= 'Z'; });
    if (currency && rate != nullptr && *rate >= 0.0)
      for (const Unit& volume : units_of(Measure::volume))
        if (unit.substr(4) == volume.name) {
          one.rate = *rate;
          one.currency = unit.substr(0, 3);
          one.unit = volume.name;
          one.unit_l = volume.factor;
          return;
        }
    fields.report(fields.at("rate"), "'rate': '" + written + "' is no rate",
                  "an amount, a currency of three capitals, a unit of volume: 1.07 USD/gal");
  }

  RuleBook& book_;
  Problems& problems_;
  std::string set_;
};

}  // namespace

std::optional<Problem> no_rule_file(const Source& source, const std::vector<Problem>& problems) {
  if (problems.empty() || source.text.empty() || begins_with_key_of(keys::rule_file(), source.text))
    return std::nullopt;
  return Problem{{}, "this is no rule file: it begins with none of its keys", listed(keys::rule_file().names()), ""};
}

void read_rules(const Source& source, RuleBook& book, std::vector<Problem>& problems) {
  Problems found;
  const Node root = parse_yaml(source, found.found);
  if (root.kind == Node::Kind::nothing && found.found.empty())
    found.add({{1, 1}, "the file holds no keys", "a rule file: rules, title, noted, list", ""});
  else if (root.kind != Node::Kind::nothing) RuleReader(book, found).read(root);
  std::stable_sort(found.found.begin(), found.found.end(), [](const Problem& a, const Problem& b) {
    return std::pair(a.at.line, a.at.column) < std::pair(b.at.line, b.at.column);
  });
  problems.insert(problems.end(), found.found.begin(), found.found.end());
}

}  // namespace tierce
