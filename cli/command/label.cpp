#include "cli/command/label.h"

#include <algorithm>
#include <ostream>

#include "cli/read/claim_check.h"
#include "cli/read/print_problems.h"
#include "cli/read/read_claims.h"
#include "cli/read/rule_book.h"
#include "cli/read/suggest.h"
#include "cli/report/label_report.h"
#include "cli/report/report.h"

namespace tierce {
namespace {

bool told(const std::vector<Problem>& problems, const Source& source, std::ostream& err) {
  if (!problems.empty()) print_problems(problems, source, err);
  return !problems.empty();
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
  LabelQuestion question{.book = rules_of(loaded.scenario), .sets = {}, .claims = {}};
  question.draw = options.draw.value_or("");
  question.span = span;
  question.today = options.today;
  if (!take_claims(options, question, err)) {
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
