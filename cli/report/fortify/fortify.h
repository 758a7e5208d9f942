// A plan for the night as a report and as a block for the scenario; and why a wish cannot be met.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "cli/write/document.h"
#include "cli/write/field.h"
#include "engine/plan/fortification.h"
#include "engine/rules/verdict.h"

namespace tierce {

/// A wish, and what was typed of it.
struct FortifyAsked : FortifyWish {
  Units units = Units::metric;
  std::string lot;
  std::string designation;  // the name that the wine is to carry; its rules are shown

  std::map<std::string, std::string> written;  // the options given, and their values as typed
  bool has(const std::string& option) const { return written.contains(option); }
  std::string typed(const std::string& option) const { return has(option) ? written.at(option) : ""; }
};

struct FortifyView {
  const FortifyPlan& plan;
  const FortifyAsked& asked;
  std::vector<Judgement> rules;  // what the rules on the name of the wine say of the plan
};
extern const Shape<FortifyView> kFortifyOutput;
/// By what the hydrometer shows, or where no density is known by the alcohol made.
Table night_table(const FortifyView& view);
/// The same rows, unrounded.
Table night_csv(const FortifyView& view);
/// What the rules ask, with their verdicts so far.
Table rule_table(const FortifyView& view);

Document fortify_report(const FortifyView& view);

/// The lot for the `lots` of a scenario, in YAML, line by line. The year is left to be filled in.
std::vector<std::string> lot_block(const FortifyView& view);

/// What to mind on such a night, each with its figures and their source.
const std::vector<std::string>& fortify_cautions();

/// Why it cannot be done, and in `allowed` what could.
Problem refusal_text(const FortifyRefusal& refusal, const FortifyAsked& asked);

}  // namespace tierce
