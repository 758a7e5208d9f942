#include "cli/command/compare.h"

#include <algorithm>
#include <map>

#include "cli/io/messages.h"
#include "cli/read/print_problems.h"
#include "cli/report/draw_shares.h"

namespace tierce {
namespace {

constexpr const char* kAsItIs = "the file";

Span span_of(const Options& options, const Scenario& scenario) {
  Span span;
  if (options.years) span.until_year = std::max(last_entry(scenario).year, 1) + *options.years;
  return span;
}

bool told(const std::vector<Problem>& problems, const Source& source, std::ostream& err) {
  if (!problems.empty()) print_problems(problems, source, err);
  return !problems.empty();
}

/// A file of variants is no scenario; what load_source() says of an empty one is put right.
bool read_file(const std::string& path, std::vector<Variant>& variants, std::ostream& err) {
  std::vector<Problem> problems;
  const Source source = load_source(path, problems);
  for (Problem& problem : problems)
    if (problem.allowed.starts_with("a scenario")) problem.allowed = "variants, as in less drawn: {habit.draw: 15 %}";
  if (problems.empty()) variants = variants_from_file(source, problems);
  return !told(problems, source, err);
}

std::optional<std::vector<Variant>> variants_asked(const Options& options, std::ostream& err) {
  std::vector<Variant> variants;
  bool sound = options.vary_file.empty() || read_file(options.vary_file, variants, err);
  for (const std::string& text : options.vary) {
    std::vector<Problem> problems;
    variants.push_back(variant_from_option(text, problems));
    if (told(problems, variants.back().source, err)) sound = false;
  }
  if (!sound) return std::nullopt;
  std::map<std::string, int> seen = {{kAsItIs, 1}};
  for (const Variant& variant : variants)
    if (++seen[variant.name] > 1) {
      told({{variant.at, "the name '" + variant.name + "' stands for another column", "each name once", ""}},
           variant.source, err);
      sound = false;
    }
  if (!sound) return std::nullopt;
  if (!variants.empty() && variants.size() <= kMostVariants) return variants;
  say_error("compare: " + (variants.empty() ? "no" : std::to_string(variants.size())) + " variants; one to " +
            std::to_string(kMostVariants) + " stand beside the file: --vary \"NAME: path=value\", or --vary-file FILE");
  return std::nullopt;
}

/// The scenario with a variant's values in it. What is wrong is said where it stands: in the variant, or in the line of
/// the file that does not go with it.
std::optional<Scenario> varied(const Options& options, const LoadedScenario& file, const Variant& variant,
                               std::ostream& err) {
  const Limits& limits = options.large ? kLargeLimits : kUsualLimits;
  const int lines = static_cast<int>(file.source.lines.size());
  LoadedScenario loaded =
      check_source(file.source, limits, {}, std::nullopt,
                   [&](Node& root, std::vector<Problem>& problems) { put_into(variant, lines, root, problems); });
  if (loaded.problems.empty()) loaded.problems = too_large(loaded.scenario, span_of(options, loaded.scenario), limits);
  std::vector<Problem> in_file, in_variant;
  for (Problem problem : loaded.problems) {
    problem.what = "variant '" + variant.name + "': " + problem.what;
    const bool own = problem.at.line > lines;
    if (own) problem.at.line -= lines;
    (own ? in_variant : in_file).push_back(std::move(problem));
  }
  const bool faulty = told(in_variant, variant.source, err);
  if (told(in_file, file.source, err) || faulty) return std::nullopt;
  return loaded.scenario;
}

/// All columns; empty if something is faulty, which is said then.
std::optional<Comparison> comparison_of(const Options& options, const LoadedScenario& loaded, std::ostream& err) {
  const auto variants = variants_asked(options, err);
  if (!variants) return std::nullopt;
  Comparison comparison{.base = run_scenario(loaded.scenario, span_of(options, loaded.scenario))};
  const double bottle_l = bottle_of_file(loaded.scenario);
  if (is_known(bottle_l)) comparison.bottle_l = bottle_l;
  comparison.variants.push_back(compared(kAsItIs, comparison.base));
  bool sound = true;
  for (const Variant& variant : *variants) {
    const auto scenario = varied(options, loaded, variant, err);
    sound = sound && scenario.has_value();
    if (!sound) continue;
    comparison.variants.push_back(compared(variant.name, run_scenario(*scenario, span_of(options, *scenario))));
    for (const Override& one : variant.overrides)
      comparison.variants.back().changes.emplace_back(one.path_text, one.value_text);
  }
  if (!sound) return std::nullopt;
  return comparison;
}

/// Costs side by side are in one currency.
bool one_currency(Comparison& comparison) {
  for (const ComparedVariant& one : comparison.variants) {
    if (comparison.currency.empty()) comparison.currency = one.currency;
    if (one.currency.empty() || one.currency == comparison.currency) continue;
    say_error("compare: '" + one.name + "' counts costs in " + one.currency + ", another column in " +
              comparison.currency);
    return false;
  }
  return true;
}

}  // namespace

CompareAnswer answer_compare(const Options& options, const LoadedScenario& loaded, Units units, std::ostream& err) {
  CompareAnswer answer;
  auto comparison = comparison_of(options, loaded, err);
  if (!comparison || !one_currency(*comparison)) {
    answer.status = kBadInput;
    return answer;
  }
  for (const ComparedVariant& one : comparison->variants) {
    if (!one.stopped) continue;
    say_warning(one.name + " stops on " + iso_text(one.stopped->date) + ": " + one.stopped->problem.what);
    answer.status = kFails;
  }
  answer.report = compare_report(*comparison, units);
  if (options.format == Format::json) answer.json = compare_json(*comparison);
  return answer;
}

}  // namespace tierce
