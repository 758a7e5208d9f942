#include "cli/read/claim_check.h"

#include <algorithm>
#include <filesystem>
#include <memory>

#include "cli/io/exit_status.h"
#include "cli/read/print_problems.h"
#include "cli/read/read_rules.h"
#include "cli/read/rule_book.h"
#include "cli/read/suggest.h"
#include "engine/rules/label_facts.h"
#include "engine/rules/verdict.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;

bool is_file(const std::string& name) { return name.ends_with(".yaml") || name.ends_with(".yml"); }

/// What a file of the user adds to the book, and its text.
Source add_rules_of(const std::string& path, RuleBook& book, std::vector<Problem>& problems) {
  Source source = load_source(path, problems);
  const std::size_t before = book.sets.size();
  if (problems.empty()) read_rules(source, book, problems);
  for (std::size_t i = before; i < book.sets.size(); ++i) book.sets[i].added = true;
  return source;
}

/// One file of rules into the book; `name` becomes that of its set. A faulty one is a fault of the line that names it.
void take_file(LoadedScenario& loaded, RuleBook& book, std::string& name, const At& at) {
  const std::string path = (fs::path(loaded.source.path).parent_path() / name).lexically_normal().string();
  const std::size_t sets = book.sets.size();
  std::vector<Problem> problems;
  const Source source = add_rules_of(path, book, problems);
  if (problems.empty()) {
    loaded.rule_files.push_back(path);
    name = book.sets.size() > sets ? book.sets.back().name : book.rules.back().set;
    return;
  }
  const Problem first = no_rule_file(source, problems).value_or(problems.front());
  loaded.problems.push_back(
      {at,
       name + (first.at.line > 0 ? " is faulty in line " + std::to_string(first.at.line) : " is not read") + ": " +
           first.what,
       first.at.line > 0 ? first.allowed : "a rule file, by its path from the scenario's folder", first.hint});
  name.clear();
}

Problem no_such_set(const std::string& name, const At& at, const RuleBook& book) {
  const std::vector<std::string> names = set_names(book);
  const std::string near = did_you_mean(nearest(name, names));
  return {at, "there is no rule set '" + name + "'",
          listed(names) + ", or a rule file of your own, as in my_rules.yaml", near};
}

std::vector<Problem> no_such_rule(const Claim& claim, const RuleBook& book) {
  std::vector<std::string> ids;
  for (const Rule& one : book.rules) ids.push_back(one.id);
  return {{claim.rule_at, "there is no rule '" + claim.rule + "'",
           "a rule of " + listed(set_names(book)) + ", or of a rule file under 'rules'",
           did_you_mean(nearest(claim.rule, ids))}};
}

/// --rules names neither a set nor a file.
Problem no_such_rules(const std::vector<std::string>& names, const std::string& asked) {
  return {{},
          "there is no rule set and no file '" + asked + "'",
          listed(names) + ", or a rule file of your own",
          did_you_mean(nearest(asked, names))};
}

}  // namespace

void take_rules_of_scenario(LoadedScenario& loaded) {
  Scenario& scenario = loaded.scenario;
  if (std::any_of(scenario.rules.begin(), scenario.rules.end(), [](const auto& one) { return is_file(one.first); })) {
    RuleBook book = built_in_rules();
    for (auto& [name, at] : scenario.rules)
      if (is_file(name)) take_file(loaded, book, name, at);
    std::erase_if(scenario.rules, [](const auto& one) { return one.first.empty(); });
    scenario.own_rules = std::make_shared<const RuleBook>(std::move(book));
  }
  const RuleBook& book = rules_of(scenario);
  const std::vector<std::string> names = set_names(book);
  for (const auto& [name, at] : scenario.rules)
    if (std::find(names.begin(), names.end(), name) == names.end())
      loaded.problems.push_back(no_such_set(name, at, book));
  for (Claim& claim : scenario.claims)
    for (Problem& problem : claim_problems(claim, book)) loaded.problems.push_back(std::move(problem));
  if (const auto name = scenario.label.find("designation"); name != scenario.label.end())
    if (auto problem = misspelt_designation(name->second, scenario.designation_at, book))
      loaded.problems.push_back(std::move(*problem));
}

bool take_rules_of_options(const std::vector<std::string>& asked, LoadedScenario& loaded, std::ostream& err) {
  if (asked.empty()) return true;
  RuleBook book = rules_of(loaded.scenario);
  std::vector<std::pair<std::string, At>> sets;
  bool sound = true;
  for (const std::string& one : asked) {
    const std::string path = fs::path(one).lexically_normal().string();
    const auto& files = loaded.rule_files;
    if (std::find(files.begin(), files.end(), path) != files.end()) continue;  // the scenario names it already
    const std::vector<std::string> names = set_names(book);
    if (std::find(names.begin(), names.end(), one) != names.end()) {
      sets.emplace_back(one, At{});
      continue;
    }
    std::error_code error;
    if (!fs::exists(one, error) && !fs::is_symlink(one, error)) {
      print_refusals({no_such_rules(names, one)}, "--rules", kBadInput, err);
      sound = false;
      continue;
    }
    std::vector<Problem> problems;
    const Source source = add_rules_of(one, book, problems);
    if (const auto other = no_rule_file(source, problems)) problems = {*other};
    if (!problems.empty()) print_problems(problems, source, err);
    sound = sound && problems.empty();
  }
  if (!sound) return false;
  if (!sets.empty()) loaded.scenario.rules = sets;
  loaded.scenario.own_rules = std::make_shared<const RuleBook>(std::move(book));
  return true;
}

std::optional<Problem> misspelt_designation(const std::string& name, const At& at, const RuleBook& book) {
  constexpr std::size_t kLetters = 2;
  const std::vector<std::string> names = known_designations(book);
  const std::string meant = nearest(name, names);
  if (meant.empty() || !is_unknown_name(name, book) || letters_between(name, meant) > kLetters) return std::nullopt;
  return Problem{at, "no rule file knows the designation '" + name + "'", "a name of one's own, unlike those: " + meant,
                 did_you_mean(meant)};
}

std::vector<Problem> claim_problems(Claim& claim, const RuleBook& book) {
  if (claim.rule.empty()) return {};
  const Rule* rule = book.find(claim.rule);
  if (rule == nullptr) return no_such_rule(claim, book);
  const auto judges = [&](const std::string& word) {
    return std::find(rule->judges.begin(), rule->judges.end(), word) != rule->judges.end();
  };
  if (claim.say == Say::figure) {
    const auto value = read_in_unit(claim.measured_text, rule->unit);
    if (const double* figure = std::get_if<double>(&value)) claim.measured = *figure;
    const auto* misread = std::get_if<Misread>(&value);
    if (misread == nullptr) return {};
    return {{claim.at, "'measured': " + misread->what,
             rule->id + " is in " + (rule->unit.empty() ? "a plain number" : rule->unit), misread->hint}};
  }
  if (judges(word_of(claim.say)) || judges("draw")) return {};
  return {{claim.rule_at, "rule " + rule->id + " is not one on " + word_of(claim.say),
           "it judges " + listed(rule->judges), "say: figure, with 'measured', holds any figure against it"}};
}

std::vector<Problem> bottlings_not_found(const Scenario& scenario, const Trajectory& run) {
  const auto wines = labelled_wines(run);
  std::vector<std::string> names;
  for (const DrawRecord* wine : wines) names.push_back(wine->name);
  std::vector<Problem> problems;
  for (const Claim& claim : scenario.claims) {
    const bool found = std::any_of(wines.begin(), wines.end(), [&](const DrawRecord* wine) {
      return claim.draw == wine->name || claim.draw == iso_text(wine->date);
    });
    if (!claim.draw.empty() && !found)
      problems.push_back({claim.draw_at, "'for': there is no bottling '" + claim.draw + "'",
                          names.empty() ? "nothing is bottled" : "bottlings: " + listed_briefly(names),
                          did_you_mean(nearest(claim.draw, names))});
  }
  return problems;
}

}  // namespace tierce
