// Each row of `tierce target`, described once.
#include "cli/report/head.h"
#include "cli/report/long_run.h"
#include "cli/report/run_rows.h"
#include "cli/report/target.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

constexpr Field<ShareTrial> kDrawnFields[] = {
    {"fraction_of_held", "of what is\nheld", Figure::share, "of the last tier, just before the draw",
     of<&ShareTrial::share>},
    {"drawn_L_y", "drawn\na year", Figure::small_litres, "litres drawn a year; in a forecast, in its last year",
     of<&ShareTrial::drawn_l_y>},
    {"fraction_of_full_stock", "of the\nfull stock", Figure::share,
     "those litres over all that the tiers hold just after a refill", of<&ShareTrial::part_of_full>},
    {"new_wine_L_y", "new wine\na year", Figure::small_litres, "litres of new wine a year",
     of<&ShareTrial::new_wine_l_y>},
};
constexpr Shape<ShareTrial> kDrawn{
    "drawn_share", "A share of the wine drawn each time, and what it comes to in a year.", kDrawnFields};

struct LargestView {
  LargestShare largest;
  double age_y;
};

Value limited_by(const LargestView& of) {
  constexpr const char* kLimits[] = {"age", "wine", "never", "unknown"};
  return kLimits[static_cast<int>(of.largest.limit)];
}

constexpr Field<LargestView> kLargestFields[] = {
    {"limited_by", "", Figure::word, "what a larger draw runs into; `never`: no draw has the age", limited_by, kAlways,
     "age|wine|never|unknown"},
    {"", "", Figure::object, "",
     [](auto& of) { return object_of(of.largest.found() ? of.largest.at : ShareTrial{}, kDrawn); }, kAlways, nullptr,
     &kDrawn},
    {"age_y", "age\nthen", Figure::age, "age with this draw; with `never` the highest that any draw has",
     of<&LargestView::age_y>},
    {"why_not", "", Figure::text, "why it is unknown; else empty",
     [](auto& of) -> Value { return why_text(of.largest.why_not); }},
};
constexpr Shape<LargestView> kLargestDraw{
    "largest_draw", "The largest share that may be drawn each time; null figures where none does.", kLargestFields};

enum class Horizon { long_run, last, every };
constexpr Horizon kHorizons[] = {Horizon::long_run, Horizon::last, Horizon::every};

LargestView largest_of(const AgeTarget& target, Horizon horizon) {
  switch (horizon) {
    case Horizon::long_run: return {target.in_the_long_run, target.in_the_long_run.at.last[target.kind]};
    case Horizon::last: return {target.at_the_last, target.at_the_last.at.last[target.kind]};
    case Horizon::every: break;
  }
  return {target.at_every, target.at_every.at.least[target.kind]};
}

constexpr Field<AgeRow> kAgeFields[] = {
    {"mean_y", "mean\nage", Figure::age, "mean age of the draws", of<&AgeRow::mean_y>},
    {"", "", Figure::object, "", [](auto& of) { return object_of(of.at, kDrawn); }, kAlways, nullptr, &kDrawn},
};
constexpr Shape<AgeRow> kAgeDraw{
    "age_draw", "A mean age by volume, and the largest draw that keeps it in the long run.", kAgeFields};

// Text and CSV: a line for each age that is wanted, kind and horizon.

struct KeptLine {
  AgeKind kind;
  double wanted_y;
  std::string kept;
  LargestView largest;
};

std::string limit_text(const KeptLine& line) {
  constexpr const char* kLimits[] = {"the age", "the wine", "never", "not known"};
  return kLimits[static_cast<int>(line.largest.largest.limit)];
}

constexpr Field<KeptLine> kKeptFields[] = {
    {"age", "age", Figure::text, "",
     [](auto& of) -> Value { return of.kind == AgeKind::youngest ? "youngest" : "mean"; }},
    {"by", "by", Figure::text, "", [](auto& of) -> Value { return weighting_word(of.kind); }},
    {"wanted_y", "wanted", Figure::age, "", of<&KeptLine::wanted_y>},
    {"kept", "kept", Figure::text, "", of<&KeptLine::kept>},
    {"", "", Figure::object, "", [](auto& of) { return object_of(of.largest, kLargestDraw); }, kAlways, nullptr,
     &kLargestDraw},
    {"limit", "limit", Figure::text, "", [](auto& of) -> Value { return limit_text(of); }},
};
constexpr Shape<KeptLine> kKept{"kept_age", "", kKeptFields};

KeptLine line_of(const TargetAnswer& answer, const AgeTarget& target, Horizon horizon) {
  const std::string kept = horizon == Horizon::long_run ? "in the long run"
                           : horizon == Horizon::last   ? "last draw, " + std::to_string(answer.last_year)
                                                        : "every draw to come";
  return {target.kind, target.wanted.years, kept, largest_of(target, horizon)};
}

std::string first_reached(const AgeDates& dates) {
  return dates.reached   ? draw_day(dates.reached)
         : dates.near    ? "nears it only"
         : dates.unknown ? "not known"
                         : "not by " + std::to_string(dates.looked_until);
}

constexpr Field<AgeTarget> kHabitFields[] = {
    {"by", "habit", Figure::text, "", [](auto& of) -> Value { return weighting_word(of.kind); }},
    {"long_run_y", "settles\nat", Figure::age, "", of<&AgeTarget::long_run_y>},
    {"ceiling_y", "ceiling", Figure::age, "",
     [](auto& of) { return of.no_ceiling ? Value("none") : Value(of.ceiling_y); }},
    {"reached", "first reached", Figure::text, "", [](auto& of) -> Value { return first_reached(of.dates); }},
    {"kept_from", "kept from", Figure::text, "",
     [](auto& of) -> Value {
       return of.dates.reached && !of.dates.kept_from ? std::string("not kept") : draw_day(of.dates.kept_from);
     }},
    {"lost", "last had", Figure::text, "", [](auto& of) -> Value { return draw_day(of.dates.lost); }},
};
constexpr Shape<AgeTarget> kHabit{"habit_line", "", kHabitFields};

// JSON.

struct DatedAge {
  const AgedDraw& draw;
  AgeKind kind;
};

constexpr Field<DatedAge> kDatedFields[] = {
    {"date", "", Figure::date, "its day", [](auto& of) -> Value { return of.draw.date; }},
    {"name", "", Figure::text, "`for`, else the date", [](auto& of) -> Value { return of.draw.name; }},
    {"past", "", Figure::flag, "the log holds it", [](auto& of) -> Value { return of.draw.past; }},
    {"age_y", "", Figure::age, "age of the draw", [](auto& of) -> Value { return of.draw.age[of.kind]; }},
    {"at_least", "", Figure::flag, "part of the wine is of unknown age: the age is at least this",
     [](auto& of) -> Value { return of.draw.at_least; }},
};
constexpr Shape<DatedAge> kDatedAge{"dated_age", "A draw from the last tier, with the age that is asked for.",
                                    kDatedFields};

struct TargetView {
  const TargetAnswer& answer;
  const AgeTarget& target;
};

template <auto kMember>
Value dated(const TargetView& of) {
  const auto& draw = of.target.dates.*kMember;
  return draw ? object_of(DatedAge{*draw, of.target.kind}, kDatedAge) : Value::Absent{};
}
template <Horizon kHorizon>
Value largest(const TargetView& of) {
  return object_of(largest_of(of.target, kHorizon), kLargestDraw);
}

constexpr Field<TargetView> kTargetFields[] = {
    {"age", "", Figure::word, "of the whole draw, or of its youngest part",
     [](auto& of) -> Value { return of.target.wanted.youngest ? "youngest" : "mean"; }, kAlways, "mean|youngest"},
    {"weighted_by", "", Figure::word, "what a mean is weighted by",
     [](auto& of) -> Value { return of.target.wanted.youngest ? "volume" : weighting_word(of.target.kind); }, kAlways,
     "volume|alcohol|solids"},
    {"wanted_y", "", Figure::age, "the age", [](auto& of) -> Value { return of.target.wanted.years; }, kAlways},
    {"asked_by", "", Figure::word, "an option, or a claim of the file",
     [](auto& of) -> Value { return of.target.wanted.by_claim ? "claim" : "option"; }, kAlways, "option|claim"},
    {"in_the_long_run", "", Figure::object, "for the draws once settled, exceptions left out",
     largest<Horizon::long_run>, kAlways, nullptr, &kLargestDraw},
    {"at_the_last_draw", "", Figure::object, "for the last draw of the forecast", largest<Horizon::last>, kAlways,
     nullptr, &kLargestDraw},
    {"at_every_draw", "", Figure::object, "for every draw to come, to the end of the forecast", largest<Horizon::every>,
     kAlways, nullptr, &kLargestDraw},
    {"long_run_y", "", Figure::age, "where this age settles under the habit as it is",
     [](auto& of) -> Value { return of.target.long_run_y; }},
    {"ceiling_y", "", Figure::age, "what it comes to if next to nothing is drawn; null: no ceiling, or not known",
     [](auto& of) -> Value { return of.target.ceiling_y; }},
    {"reached", "", Figure::object, "the first draw that has the age; absent: none so far", dated<&AgeDates::reached>,
     kOrAbsent, nullptr, &kDatedAge},
    {"kept_from", "", Figure::object, "the first from which on all have it; absent: none", dated<&AgeDates::kept_from>,
     kOrAbsent, nullptr, &kDatedAge},
    {"lost", "", Figure::object, "the last draw that has it, where it is not kept", dated<&AgeDates::lost>, kOrAbsent,
     nullptr, &kDatedAge},
    {"near_from", "", Figure::object, "never had, only neared: from here on it lacks 0.01 y at most",
     dated<&AgeDates::near>, kOrAbsent, nullptr, &kDatedAge},
    {"looked_until", "", Figure::whole, "last year that was run to find those days",
     [](auto& of) -> Value { return of.target.dates.looked_until; }},
    {"impossible", "", Figure::flag, "no draw has the age", [](auto& of) -> Value { return of.target.impossible(); }},
    {"evaporation_part", "", Figure::exact_number, "part of today's evaporation with which the ceiling is the age",
     [](auto& of) -> Value { return of.target.evaporation_part; }},
    {"why_never", "", Figure::text, "if impossible: why, with the number that stands in the way",
     [](auto& of) -> Value { return of.target.impossible() ? why_never(of.answer, of.target) : ""; }},
    {"what_would", "", Figure::text, "if impossible: what would make it possible",
     [](auto& of) -> Value { return of.target.impossible() ? what_would(of.answer, of.target) : ""; }},
};
constexpr Shape<TargetView> kAgeTarget{"age_target", "An age that is wanted.", kTargetFields};

constexpr Field<TargetAnswer> kCheckFields[] = {
    {"years", "", Figure::whole, "years that were run", [](auto& of) -> Value { return of.check.years; }},
    {"mean_y", "", Figure::age, "mean age of the last period's draws, by volume",
     [](auto& of) -> Value { return of.check.mean_y; }},
    {"mean_by_solids_y", "", Figure::age, "the same by what does not evaporate",
     [](auto& of) -> Value { return of.check.mean_by_solids_y; }},
    {"mean_difference_y", "", Figure::age, "how far `mean_y` is from that of the long run",
     [](auto& of) -> Value { return std::abs(of.check.mean_y - of.long_run.mean_y); }},
    {"memory_years", "", Figure::whole, "years after which the parts below are taken",
     [](auto& of) -> Value { return of.check.memory_years; }},
    {"left_by_run", "", Figure::exact_number, "part of the first wine that is left, by the run",
     [](auto& of) -> Value { return of.check.left_by_run; }},
    {"left_by_matrix", "", Figure::exact_number, "the same by powers of the matrix of a period",
     [](auto& of) -> Value { return of.check.left_by_matrix; }},
    {"why_not", "", Figure::text, "why there is no check; else empty",
     [](auto& of) -> Value { return why_text(of.check.why_not); }},
};
constexpr Shape<TargetAnswer> kCheck{"target_check", "The long run by plain simulation, from the settled volumes on.",
                                     kCheckFields};

Value targets(const TargetOutput& of) {
  std::vector<TargetView> views;
  for (const AgeTarget& target : of.answer.targets) views.push_back({of.answer, target});
  return list_of(views, kAgeTarget);
}

Value most(const TargetOutput& of) {
  return is_known(of.answer.most.mean_y) ? object_of(of.answer.most, kAgeDraw) : Value::Absent{};
}

Value freshening(const TargetOutput& of) {
  if (!of.fresh) return Value::Absent{};
  return object_of(FreshView{*of.fresh, of.answer.outlook.scenario}, kFreshening);
}

constexpr Field<TargetOutput> kOutputFields[] = {
    {"", "", Figure::object, "", [](auto& of) { return object_of(of.answer.outlook, kHead); }, kAlways, nullptr,
     &kHead},
    {"last_year", "", Figure::whole, "last year of the forecast",
     [](auto& of) -> Value { return of.answer.last_year; }},
    {"targets", "", Figure::list, "every age wanted; a mean has three, by what it is weighted by", targets, kAlways,
     nullptr, &kAgeTarget},
    {"ages", "", Figure::list, "round mean ages, from the smallest",
     [](auto& of) { return list_of(of.answer.ages, kAgeDraw); }, kAlways, nullptr, &kAgeDraw},
    {"most", "", Figure::object, "the most that the wine allows; absent: no draw goes", most, kOrAbsent, nullptr,
     &kAgeDraw},
    {"freshening", "", Figure::object, "with --bring", freshening, kOrAbsent, nullptr, &kFreshening},
    {"long_run", "", Figure::object, "where the habit as it is leads",
     [](auto& of) { return object_of(of.answer.long_run, kLongRun); }, kAlways, nullptr, &kLongRun},
    {"check", "", Figure::object, "the same by simulation", [](auto& of) { return object_of(of.answer, kCheck); },
     kAlways, nullptr, &kCheck},
    {"balance", "", Figure::object, "balances of the forecast",
     [](auto& of) { return object_of(of.answer.outlook.run, kBalances); }, kAlways, nullptr, &kBalances},
};

}  // namespace

const Shape<TargetOutput> kTargetOutput{
    "target", "How much may be drawn for an age, when it is reached, and where the habit leads.", kOutputFields};

const char* weighting_word(AgeKind kind) {
  constexpr const char* kWords[] = {"volume", "alcohol", "solids", "youngest"};
  return kWords[static_cast<int>(kind)];
}

std::string draw_day(const std::optional<AgedDraw>& draw) {
  return draw ? day_text(draw->date) + (draw->past ? ", in the book" : "") : "-";
}

Table largest_table(const TargetAnswer& answer, const TargetGroup& group) {
  std::vector<KeptLine> lines;
  for (const Horizon horizon : kHorizons)
    for (const AgeTarget* target : group) {
      lines.push_back(line_of(answer, *target, horizon));
      if (target != group.front()) lines.back().kept.clear();
    }
  return table_of(
      lines, kKept,
      {"kept", "by", "fraction_of_held", "drawn_L_y", "fraction_of_full_stock", "new_wine_L_y", "age_y", "limit"});
}

Table habit_table(const TargetGroup& group) {
  std::vector<AgeTarget> targets;
  for (const AgeTarget* target : group) targets.push_back(*target);
  return table_of(targets, kHabit, {"by", "long_run_y", "ceiling_y", "reached", "kept_from", "lost"});
}

Table ages_table(const TargetAnswer& answer) {
  std::vector<AgeRow> rows = {answer.most};
  rows.insert(rows.end(), answer.ages.begin(), answer.ages.end());
  return table_of(rows, kAgeDraw);
}

Table largest_csv(const TargetAnswer& answer) {
  std::vector<KeptLine> lines;
  for (const AgeTarget& target : answer.targets)
    for (const Horizon horizon : kHorizons) lines.push_back(line_of(answer, target, horizon));
  for (const AgeRow& row : answer.ages)
    lines.push_back({AgeKind::by_volume,
                     row.mean_y,
                     "in the long run",
                     {{.limit = LargestShare::Limit::age, .at = row.at}, row.mean_y}});
  return table_of(lines, kKept,
                  {"age", "by", "wanted_y", "kept", "fraction_of_held", "drawn_L_y", "fraction_of_full_stock",
                   "new_wine_L_y", "age_y", "limited_by"});
}

}  // namespace tierce
