// `tierce target`: its report, its rows, and in words why something cannot be had.
#pragma once

#include "cli/write/document.h"
#include "cli/write/field.h"
#include "engine/plan/target.h"

namespace tierce {

struct TargetOutput {
  const TargetAnswer& answer;
  const std::optional<FreshenAnswer>& fresh;
};
extern const Shape<TargetOutput> kTargetOutput;
Document target_report(const TargetOutput& output, Units units);

/// What belongs to one age that is wanted: a mean has three, by what it is weighted by.
using TargetGroup = std::vector<const AgeTarget*>;
Table largest_table(const TargetAnswer& answer, const TargetGroup& group);
Table habit_table(const TargetGroup& group);
Table ages_table(const TargetAnswer& answer);
Table largest_csv(const TargetAnswer& answer);
/// "volume", "alcohol", "solids", "youngest"
const char* weighting_word(AgeKind kind);
/// "10 Feb 2027", and whether that is in the book; "-" for none.
std::string draw_day(const std::optional<AgedDraw>& draw);

/// Why no draw reaches the age, with the figure that stands in the way; and what would make it possible.
std::string why_never(const TargetAnswer& answer, const AgeTarget& target);
std::string what_would(const TargetAnswer& answer, const AgeTarget& target);

/// What new wine brings about.
struct FreshView {
  const FreshenAnswer& fresh;
  const Scenario& scenario;
};
extern const Shape<FreshView> kFreshening;
void report_freshening(Document& document, const FreshView& view);
/// Why it cannot be worked out, and the exit status of that.
Problem freshen_refusal(const FreshenRefusal& refusal, const Scenario& scenario, Units units);
int status_of(const FreshenRefusal& refusal);

}  // namespace tierce
