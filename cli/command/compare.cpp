// `tierce compare`: variants read, checked against the file, run and compared.
#include "cli/report/compare.h"

#include <map>

#include "cli/command/asked.h"
#include "cli/command/commands.h"
#include "cli/io/messages.h"
#include "cli/read/print_problems.h"
#include "cli/read/variants.h"
#include "engine/book/cost.h"
#include "engine/measure/bottle_size.h"

namespace tierce {
namespace {

constexpr const char* kAsItIs = "the file";

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
  if (loaded.problems.empty())
    loaded.problems = too_large(loaded.scenario, span_of_years(loaded.scenario, options.years), limits);
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

/// The file as it is, and the variants; empty if something is faulty, which is said then.
std::vector<Varied> all_varied(const Options& options, const LoadedScenario& loaded, std::ostream& err) {
  const auto variants = variants_asked(options, err);
  if (!variants) return {};
  std::vector<Varied> all = {{kAsItIs, loaded.scenario}};
  for (const Variant& variant : *variants) {
    auto scenario = varied(options, loaded, variant, err);
    if (!scenario) continue;
    all.push_back({variant.name, std::move(*scenario)});
    for (const Override& one : variant.overrides) all.back().changes.emplace_back(one.path_text, one.value_text);
  }
  if (all.size() <= variants->size()) all.clear();
  return all;
}

/// The currency of all columns, since costs side by side are in one; nothing where they are not, which is said then.
std::optional<std::string> one_currency(const std::vector<Varied>& columns) {
  std::string currency;
  for (const Varied& one : columns) {
    const std::string own = currency_of(one.scenario);
    if (currency.empty()) currency = own;
    if (own.empty() || own == currency) continue;
    say_error("compare: '" + one.name + "' counts costs in " + own + ", another column in " + currency);
    return std::nullopt;
  }
  return currency;
}

}  // namespace

Answer compare_command(const Asked& asked) {
  const auto& [options, loaded, err] = asked;
  auto columns = all_varied(options, loaded, err);
  if (columns.empty()) return {kBadInput};
  const auto currency = one_currency(columns);
  if (!currency) return {kBadInput};
  CompareView of{.comparison = compare(std::move(columns), options.years), .currency = *currency};
  if (const double bottle_l = bottle_of_file(loaded.scenario); is_known(bottle_l)) of.bottle_l = bottle_l;
  int status = kFine;
  for (const ComparedVariant& one : of.comparison.variants) {
    if (!one.stopped) continue;
    say_warning(one.name + " stops on " + iso_text(one.stopped->date) + ": " + one.stopped->problem.what);
    status = kFails;
  }
  return answered(
      asked, status, [&] { return compare_report(of, asked.units()); }, [&] { return object_of(of, kCompareOutput); });
}

}  // namespace tierce
