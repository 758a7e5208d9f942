#include "cli/label_command.h"

#include <algorithm>
#include <filesystem>
#include <ostream>

#include "cli/claim_check.h"
#include "cli/label_report.h"
#include "cli/print_problems.h"
#include "cli/read_claims.h"
#include "cli/read_rules.h"
#include "cli/report.h"
#include "cli/suggest.h"
#include "cli/today.h"

namespace tierce {
namespace {

bool told(const std::vector<Problem>& problems, const Source& source, std::ostream& err) {
  if (!problems.empty()) print_problems(problems, source, err);
  return !problems.empty();
}

/// --rules names neither a set nor a file.
Problem no_such_rules(const RuleBook& book, const std::string& asked) {
  std::vector<std::string> names;
  for (const RuleSet& set : book.sets) names.push_back(set.name);
  return {{},
          "there is no rule set and no file '" + asked + "'",
          listed(names) + ", or a rule file of your own",
          did_you_mean(nearest(asked, names))};
}

bool is_set(const RuleBook& book, const std::string& name) {
  return std::any_of(book.sets.begin(), book.sets.end(), [&](const RuleSet& set) { return set.name == name; });
}

/// --rules names a set of the book, or a file with rules of one's own.
bool take_rules(const Options& options, const LoadedScenario& loaded, LabelQuestion& question, std::ostream& err) {
  bool sound = true;
  for (const std::string& asked : options.rules) {
    const std::string path = std::filesystem::path(asked).lexically_normal().string();
    const auto& files = loaded.rule_files;
    if (std::find(files.begin(), files.end(), path) != files.end()) continue;  // the scenario names it already
    if (is_set(question.book, asked)) {
      question.sets.push_back(asked);
      continue;
    }
    std::error_code error;
    if (!std::filesystem::exists(asked, error) && !std::filesystem::is_symlink(asked, error)) {
      print_refusals({no_such_rules(question.book, asked)}, "--rules", kBadInput, err);
      sound = false;
      continue;
    }
    std::vector<Problem> problems;
    const Source source = load_source(asked, problems);
    const std::size_t sets = question.book.sets.size();
    if (problems.empty()) read_rules(source, question.book, problems);
    for (std::size_t i = sets; i < question.book.sets.size(); ++i) question.book.sets[i].added = true;
    if (const auto other = no_rule_file(source, problems)) problems = {*other};
    if (told(problems, source, err)) sound = false;
  }
  return sound;
}

bool take_claims(const Options& options, LabelQuestion& question, std::ostream& err) {
  bool sound = true;
  for (const std::string& text : options.claims) {
    Source source;
    std::vector<Problem> problems;
    auto claim = claim_from_option(text, source, problems);
    if (claim) problems = claim_problems(*claim, question.book);
    if (told(problems, source, err)) sound = false;
    else if (claim) question.claims.push_back(std::move(*claim));
  }
  return sound;
}

std::string no_such_draw(const LoadedScenario& loaded, const LabelView& view, const std::string& asked) {
  std::vector<std::string> names;
  for (const LabelledDraw& one : view.draws) names.push_back(one.draw->name);
  for (const DrawRecord& draw : view.outlook->run.draws)
    if (draw.name == asked || iso_text(draw.date) == asked)
      return loaded.source.path + ": '" + asked + "' is a draw " +
             (draw.use == Use::bottling ? "that stands in a tank or was bottled under another name"
                                        : "for another use (" + use_text(draw.use) + ")") +
             "; only bottlings carry a label";
  if (names.empty()) return loaded.source.path + ": nothing is bottled, in the log or by a habit";
  const std::string near = nearest(asked, names);
  return loaded.source.path + ": there is no bottling '" + asked + "'" +
         (near.empty() ? "; bottlings run from '" + names.front() + "' to '" + names.back() + "'"
                       : "; " + did_you_mean(near));
}

}  // namespace

LabelAnswer answer_label(const Options& options, const LoadedScenario& loaded, const Span& span, Units units,
                         std::ostream& err) {
  LabelAnswer answer;
  LabelQuestion question{.book = rules_of(loaded), .sets = {}, .claims = {}};
  question.draw = options.draw.value_or("");
  question.span = span;
  question.today = today();
  bool sound = take_rules(options, loaded, question, err);
  sound = take_claims(options, question, err) && sound;
  if (!sound) {
    answer.status = kBadInput;
    return answer;
  }
  const Outlook outlook = run_scenario(loaded.scenario, span);
  const LabelView view = label_view(outlook, std::move(question));
  if (view.shown.empty()) {
    answer.status = kBadInput;
    answer.error = no_such_draw(loaded, view, options.draw.value_or(""));
    return answer;
  }
  if (told(bottlings_not_found(loaded.scenario, outlook.run), loaded.source, err)) {
    answer.status = kBadInput;
    return answer;
  }
  const Source* evidence = options.evidence ? &loaded.source : nullptr;
  answer.report = label_report(view, evidence, units);
  if (options.format == Format::json) answer.json = label_json(view, evidence);
  answer.status = view.any_fails() || outlook.run.stopped ? kFails : kFine;
  return answer;
}

}  // namespace tierce
