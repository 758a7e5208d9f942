#include "cli/report/label/label.h"

#include <algorithm>

#include "cli/command/asked.h"
#include "cli/command/commands.h"
#include "cli/read/claim_check.h"
#include "cli/read/print_problems.h"
#include "cli/read/read_claims.h"
#include "cli/read/rule_book.h"
#include "cli/read/suggest.h"
#include "cli/report/report.h"

namespace tierce {
namespace {

bool take_claims(const Asked& asked, LabelQuestion& question) {
  bool sound = true;
  for (const std::string& text : asked.options.claims) {
    Source source;
    std::vector<Problem> problems;
    auto claim = claim_from_option(text, source, problems);
    if (claim) problems = claim_problems(*claim, question.book);
    if (!problems.empty()) print_problems(problems, source, asked.err);
    if (!problems.empty()) sound = false;
    else if (claim) question.claims.push_back(std::move(*claim));
  }
  return sound;
}

std::string no_such_bottling(const Asked& asked, const LabelView& view, const std::string& wanted) {
  std::vector<std::string> names;
  for (const LabelledDraw& one : view.draws) names.push_back(one.draw->name);
  for (const DrawRecord& draw : view.outlook->run.draws)
    if (draw.name == wanted || iso_text(draw.date) == wanted)
      return asked.path() + ": '" + wanted + "' is a draw " +
             (draw.use == Use::bottling ? "that stands in a tank or was bottled under another name"
                                        : "for another use (" + use_text(draw.use) + ")") +
             "; only bottlings carry a label";
  if (names.empty()) return asked.path() + ": nothing is bottled, in the log or by a habit";
  const std::string near = nearest(wanted, names);
  return asked.path() + ": there is no bottling '" + wanted + "'" +
         (near.empty() ? "; bottlings run from '" + names.front() + "' to '" + names.back() + "'"
                       : "; " + did_you_mean(near));
}

}  // namespace

Answer label_command(const Asked& asked) {
  const std::string wanted = asked.options.draw.value_or("");
  LabelQuestion question{.book = rules_of(asked.scenario()),
                         .sets = {},
                         .claims = {},
                         .draw = wanted,
                         .span = asked.span(),
                         .today = asked.options.today};
  if (!take_claims(asked, question)) return {kBadInput};
  const Outlook outlook = run_scenario(asked.scenario(), asked.span());
  const LabelView view = label_view(outlook, std::move(question));
  if (view.shown.empty()) return refuse(no_such_bottling(asked, view, wanted));
  if (const auto problems = bottlings_not_found(asked.scenario(), outlook.run); !problems.empty()) {
    print_problems(problems, asked.loaded.source, asked.err);
    return {kBadInput};
  }
  const Source* evidence = asked.options.evidence ? &asked.loaded.source : nullptr;
  return answered(
      asked, view.any_fails() || outlook.run.stopped ? kFails : kFine,
      [&] { return label_report(view, evidence, asked.units()); },
      [&] {
        return object_of(LabelOutput{view, evidence}, kLabelOutput);
      });
}

}  // namespace tierce
