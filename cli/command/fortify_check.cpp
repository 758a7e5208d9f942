#include "cli/command/fortify_options.h"
#include "cli/report/fortify/fortify_scale.h"
#include "cli/write/write.h"
#include "engine/wine/must.h"

namespace tierce {
namespace {

using Faults = std::vector<Problem>;

void report(Faults& faults, const std::string& what, const std::string& allowed) {
  faults.push_back({{}, what, allowed, ""});
}

const HydrometerReading* reading_of(const AmountOrReading& value) { return std::get_if<HydrometerReading>(&value); }

void check_must(const FortifyOptions& options, Faults& faults) {
  const bool volume = options.has("volume"), fruit = options.has("fruit"), yield = options.has("yield");
  if (volume && (fruit || yield))
    report(faults, "--volume cannot stand with --fruit or --yield", "the must, or the fruit and what it yields");
  else if (fruit && !yield) report(faults, "--fruit needs --yield", "must from the fruit, as in --yield \"650 L/t\"");
  else if (yield && !fruit) report(faults, "--yield needs --fruit", "what is pressed, as in --fruit \"1500 kg\"");
  else if (!volume && !fruit)
    report(faults, "--volume is missing: how much must?",
           "--volume \"1000 L\", or --fruit \"1500 kg\" with --yield \"650 L/t\"");
}

void check_spirit(const FortifyOptions& options, Faults& faults) {
  if (!options.has("spirit")) report(faults, "--spirit is missing: how strong is it?", "as in --spirit \"96 %vol\"");
  const bool to = options.has("to"), add = options.has("add");
  if (to && add) report(faults, "--to and --add cannot both be given", "a strength, or the litres of spirit");
  else if (options.has("sweet") && !to)
    report(faults, "--sweet needs --to", "the strength wanted with that sugar, as in --to \"16 %vol\"");
  else if (!to && !add) report(faults, "--to is missing: how much spirit?", "--to \"16 %vol\", or --add \"110 L\"");
}

void check_arrest(const FortifyOptions& options, Faults& faults) {
  const bool sugar = options.has("sugar"), arrest = options.has("arrest"), residual = options.has("residual");
  if (options.has("sweet")) {
    if (arrest || residual)
      report(faults, "--sweet finds the arrest, so --arrest and --residual cannot stand with it", "one of the three");
    if (!sugar) report(faults, "--sweet needs --sugar", "the must before it ferments, as in --sugar \"240 g/L\"");
  } else if (sugar && arrest && residual) {
    report(faults, "--arrest and --residual cannot both stand with --sugar",
           "two of the three; each follows from the others");
  } else if (sugar && !arrest && !residual) {
    report(faults, "--arrest is missing: when does the spirit go in?",
           "--arrest \"7 %vol\", --arrest \"1.045 SG\", --residual \"110 g/L\", or --sweet \"95 g/L\" with --to");
  } else if (!sugar && arrest && residual && reading_of(options.arrest) != nullptr) {
    report(faults, "--arrest as a hydrometer shows it needs --sugar",
           "--sugar in place of --residual, or --arrest in %vol");
  } else if (!sugar && !(arrest && residual)) {
    report(faults, "--sugar is missing: what must is it?",
           "--sugar \"240 g/L\" or --sugar \"13.5 Be\"; without it, both --arrest in %vol and --residual");
  }
}

std::string off_the_table(const HydrometerReading& reading, bool refractometer) {
  const MarkRange range = must_table_range(reading.scale, reading.temperature_c, refractometer);
  const int decimals = decimals_read(reading.scale);
  return at_least_text(range.low, decimals) + " to " + at_most_text(range.high, decimals) + " " +
         unit_of(reading.scale) + ", where the must table has 82.2 to 308.9 g/L; or the sugar itself in g/L";
}

void check_readings(const FortifyOptions& options, Faults& faults) {
  const auto* sugar = reading_of(options.sugar);
  if (options.refractometer && options.has("sugar") && (sugar == nullptr || sugar->scale != Scale::brix)) {
    report(faults, "--refractometer needs --sugar in Bx", "as in --sugar \"24 Bx\"");
  } else if (sugar != nullptr && !is_known(must_sugar_from(*sugar, options.refractometer))) {
    report(faults, "--sugar: '" + options.typed("sugar") + "' is off the must table",
           off_the_table(*sugar, options.refractometer));
  }
  const auto* grams = std::get_if<double>(&options.sugar);
  const bool off_table = grams != nullptr && !must_other_extract_g_l(*grams);
  if (off_table && reading_of(options.arrest) != nullptr)
    report(faults, "--arrest as a hydrometer shows it needs must within the must table",
           "82.2 to 308.9 g/L; or --arrest in %vol");
}

}  // namespace

std::vector<Problem> faults_between(const FortifyOptions& options) {
  Faults faults;
  check_must(options, faults);
  check_arrest(options, faults);
  check_spirit(options, faults);
  check_readings(options, faults);
  return faults;
}

}  // namespace tierce
