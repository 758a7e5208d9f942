#include "cli/command/fortify_options.h"

#include <algorithm>
#include <boost/program_options.hpp>
#include <sstream>

#include "cli/read/quantity_text.h"
#include "cli/read/source.h"
#include "cli/read/suggest.h"
#include "cli/report/fortify/fortify_scale.h"
#include "engine/wine/alcoholometry.h"
#include "engine/wine/units.h"

namespace tierce {
namespace {

namespace po = boost::program_options;

constexpr std::size_t kLongestName = 60;  // bytes of a lot's name

struct Range {
  double low, high;
  bool above_low = false;  // the low end itself is not allowed
};
constexpr Range kAnyVolume{0.0, kMostLitres, true};
constexpr Range kAnyStrength{0.0, 100.0, true};
constexpr Range kAnySugar{0.0, 1000.0};
const std::vector<Unit> kNoDegreeSign = {{"Oe"}};  // not every keyboard has one

/// An option with a value, in the units of its measures and in some of its own. Without units: free text.
struct Option {
  std::string name, shown, meaning;
  std::vector<Measure> measures{};
  Range range{0.0, 0.0};
  double FortifyOptions::*field = nullptr;  // null: an amount or a reading, or free text
  std::vector<Unit> own_units{};

  std::vector<Unit> units() const {
    std::vector<Unit> all = own_units;
    for (auto measure = measures.rbegin(); measure != measures.rend(); ++measure)
      all.insert(all.begin(), units_of(*measure).begin(), units_of(*measure).end());
    return all;
  }
};

using F = FortifyOptions;

std::vector<Option> must_options() {
  const std::vector<Measure> sugar = {Measure::grams_per_litre};
  return {
      {"volume", "LITRES", "must, at 20 °C as all litres here", {Measure::volume}, kAnyVolume, &F::volume_l},
      {"fruit",
       "WEIGHT",
       "in place of --volume: fruit, in kg, t or lb",
       {},
       kAnyVolume,
       &F::fruit_kg,
       {{"kg"}, {"t", 1000.0}, {"lb", kKgPerPound}}},
      {"yield",
       "LITRES/WEIGHT",
       "must from the fruit, in L/t, L/kg, gal/ton, or % for litres from 100 kg (not kilograms)",
       {},
       {0.0, 1.0, true},
       &F::must_l_per_kg,
       {{"L/kg"}, {"L/t", 0.001}, {"gal/ton", kLitresPerGallon / kKgPerShortTon}, {"%", 0.01}}},
      {"sugar",
       "SUGAR",
       "of the must before it ferments: in g/L, or as a hydrometer shows it in SG, Bx, Be or °Oe",
       {Measure::grams_per_litre, Measure::relative_density},
       kAnySugar,
       nullptr,
       kNoDegreeSign},
      {"arrest",
       "ALCOHOL",
       "when the spirit goes in: alcohol made so far in %vol, or what a hydrometer then shows",
       {Measure::strength, Measure::relative_density},
       {0.0, 100.0},
       nullptr,
       kNoDegreeSign},
      {"residual", "SUGAR", "when the spirit goes in: sugar left, in g/L", sugar, kAnySugar, &F::residual_g_l},
  };
}

std::vector<Option> other_options() {
  const std::vector<Measure> volume = {Measure::volume}, strength = {Measure::strength},
                             sugar = {Measure::grams_per_litre};
  return {
      {"temperature",
       "DEGREES",
       "of the must when the hydrometer is read (default 20 °C); one reading may carry its own, as in "
       "\"13.5 Be at 18 °C\"",
       {Measure::temperature},
       {0.0, kHighestDensityC},
       &F::temperature_c},
      {"spirit", "STRENGTH", "strength of the spirit", strength, kAnyStrength, &F::spirit_pct},
      {"to", "STRENGTH", "strength wanted in the wine", strength, kAnyStrength, &F::to_pct},
      {"add", "LITRES", "in place of --to: litres of spirit", volume, kAnyVolume, &F::add_l},
      {"sweet", "SUGAR", "sugar wanted in the wine, in g/L; with --to, this finds the arrest", sugar, kAnySugar,
       &F::sweet_g_l},
      {"run-on", "SUGAR", "what the yeast still eats after the spirit, in g/L of the wine", sugar, kAnySugar,
       &F::run_on_g_l},
      {"drum", "LITRES", "size of the drums the spirit comes in", volume, kAnyVolume, &F::drum_l},
      {"lot", "NAME", "print the lot as it goes into a scenario"},
      {"designation", "NAME", "the protected name that the wine is to carry: the rules on it are shown"},
      {"rules", "FILE", "a rule file of your own, beside those built in"},
      {"output", "FILE", "write to FILE instead of the screen; the file is written whole or not at all"},
      {"units", "metric|us", "litres or US gallons (default: metric)"},
  };
}

const std::vector<Option>& options_with_value() {
  static const std::vector<Option> kOptions = [] {
    std::vector<Option> all = must_options();
    for (Option& option : other_options()) all.push_back(std::move(option));
    return all;
  }();
  return kOptions;
}

po::options_description described() {
  po::options_description all("Options", 100);
  for (const Option& option : options_with_value())
    all.add_options()((option.name + (option.name == "output" ? ",o" : "")).c_str(),
                      po::value<std::string>()->value_name(option.shown), option.meaning.c_str());
  all.add_options()("refractometer", "the Bx of --sugar are a refractometer's, at 20 °C or compensated")(
      "json", "print JSON: metric, full precision, null where a value is not known")(
      "csv", "print the table for the night as CSV")("today", po::value<std::string>()->value_name("DATE"),
                                                     "what counts as today; nothing of fortify depends on it")(
      "help,h", "this text");
  return all;
}

std::string help_text() {
  std::ostringstream out;
  out << "tierce fortify [options]\n\n"
         "  when to arrest a ferment with spirit, how much of it, and what comes out; no file is needed\n\n"
         "  tierce fortify --volume \"1000 L\" --sugar \"240 g/L\" --arrest \"7 %vol\" --spirit \"96 %vol\" --to \"16 "
         "%vol\"\n\n"
      << described() << "\nExit status: 0 fine, 1 it cannot be done, 2 bad arguments. Manual: docs/fortify.md.\n";
  return out.str();
}

std::string names_of(const std::vector<Unit>& units) {
  std::vector<std::string> names;
  for (const Unit& unit : units) names.push_back(unit.name);
  return listed(names);
}

/// What was probably meant by a unit that the option does not know.
std::string hint_for_unit(const std::string& number, const std::string& unit, const Option& option) {
  for (const Measure measure : option.measures)
    if (const std::string hint = unit_hint(number, unit, measure); !hint.empty()) return hint;
  std::vector<std::string> names;
  for (const Unit& known : option.own_units) names.push_back(known.name);
  return did_you_mean(nearest(unit, names));
}

/// As read_quantity, for the units of one option.
Read<Quantity> read_in(const std::string& text, const Option& option) {
  const auto units = option.units();
  const auto [number, unit] = split_number(text);
  const std::string allowed = "a number with a unit: " + names_of(units);
  if (auto broken = broken_number(number, unit); broken && !number.empty()) return *broken;
  const auto value = read_number(number.empty() ? text : number);
  if (const auto* misread = std::get_if<Misread>(&value)) return Misread{misread->what, allowed, misread->hint};
  for (const Unit& known : units)
    if (known.name == unit && unit == "proof") return read_quantity(text, Measure::strength);
    else if (known.name == unit) return Quantity{std::get<double>(value) * known.factor + known.offset, unit};
  if (unit.empty())
    return Misread{"'" + number + "' has no unit", allowed, did_you_mean(number + " " + units.front().name)};
  return Misread{"unknown unit '" + unit + "'", allowed, hint_for_unit(number, unit, option)};
}

std::string range_text(const Option& option) {
  const std::string unit = ' ' + option.units().front().name;
  const std::string low = plain_number(option.range.low) + unit, high = plain_number(option.range.high) + unit;
  return (option.range.above_low ? "above " + low + " and up to " : low + " to ") + high;
}

std::optional<Scale> scale_of(const std::string& unit) {
  for (const Scale scale : {Scale::sg, Scale::brix, Scale::baume, Scale::oechsle})
    if (unit == unit_of(scale) || (scale == Scale::oechsle && unit == "Oe")) return scale;
  return std::nullopt;
}

void report(ParsedFortify& parsed, const std::string& what, const std::string& allowed = "",
            const std::string& hint = "") {
  parsed.faults.push_back({{}, what, allowed, hint});
}

void report(ParsedFortify& parsed, const Option& option, const Misread& misread) {
  report(parsed, "--" + option.name + ": " + misread.what, misread.allowed, misread.hint);
}

/// The option with a value that an argument such as --volume or -o names; null for anything else.
const Option* bare_option(const std::string& argument) {
  for (const Option& option : options_with_value())
    if (argument == "--" + option.name || (argument == "-o" && option.name == "output")) return &option;
  return nullptr;
}

/// Takes out options whose value was forgotten, so that they do not swallow the option after them.
std::vector<std::string> without_forgotten(const std::vector<std::string>& arguments, ParsedFortify& parsed) {
  std::vector<std::string> kept;
  for (std::size_t i = 0; i < arguments.size(); ++i) {
    const std::string& argument = arguments[i];
    const bool cut = argument.ends_with('=');  // --volume=
    const Option* option = bare_option(argument.substr(0, argument.size() - (cut ? 1 : 0)));
    const bool more = !cut && i + 1 < arguments.size();
    if (option == nullptr || (more && !arguments[i + 1].empty() && !arguments[i + 1].starts_with("--"))) {
      kept.push_back(argument);
      if (option != nullptr) kept.push_back(arguments[++i]);
      continue;
    }
    report(parsed, "--" + option->name + ": a value is missing",
           option->units().empty() ? option->shown : "a number with a unit: " + names_of(option->units()));
    parsed.options.written[option->name] = "";
    if (more && arguments[i + 1].empty()) ++i;
  }
  return kept;
}

/// An option that does not exist. Returns the one that was probably meant, or nothing.
std::string report_unknown(ParsedFortify& parsed, const std::string& unknown) {
  std::vector<std::string> names;
  const po::options_description all = described();
  for (const auto& option : all.options()) names.push_back(option->long_name());
  const std::string near = nearest(unknown, names);
  report(parsed, "unknown option '" + (unknown.starts_with("-") ? "" : std::string("--")) + unknown + "'",
         "'tierce fortify --help' lists the options", near.empty() ? "" : did_you_mean("--" + near));
  return near;
}

/// The options as typed: `written` holds them, faults hold what is no option.
void split(const std::vector<std::string>& arguments, ParsedFortify& parsed) {
  const po::options_description all = described();
  const int style = po::command_line_style::unix_style & ~po::command_line_style::allow_guessing;
  const auto tokens = without_forgotten(arguments, parsed);
  const auto found = po::command_line_parser(tokens).options(all).style(style).allow_unregistered().run().options;
  std::vector<std::string> meant;
  bool after_unknown = false;  // what follows an unknown option is its value
  for (const auto& option : found) {
    if (option.unregistered) {
      meant.push_back(report_unknown(parsed, option.string_key));
    } else if (option.string_key.empty()) {
      if (!after_unknown)
        report(parsed, "'" + option.value.front() + "' belongs to no option", "options only; fortify reads no file");
    } else if (!parsed.options.written.try_emplace(option.string_key, option.value.empty() ? "" : option.value.front())
                    .second) {
      report(parsed, "--" + option.string_key + " is given twice", "once");
    }
    after_unknown = option.unregistered && option.value.empty();
  }
  for (const std::string& name : meant)  // what was meant is not missed as well
    if (bare_option("--" + name) != nullptr) parsed.options.written.try_emplace(name, "");
}

/// A reading, with its own temperature where it says so.
void take_reading(ParsedFortify& parsed, const Option& option, const Quantity& quantity, const std::string& at) {
  HydrometerReading reading{quantity.value, *scale_of(quantity.unit), parsed.options.temperature_c};
  if (!at.empty()) {
    const auto degrees = read_quantity(at, Measure::temperature);
    if (const auto* misread = std::get_if<Misread>(&degrees)) return report(parsed, option, *misread);
    reading.temperature_c = std::get<Quantity>(degrees).value;
  }
  if (!(reading.temperature_c >= 0.0 && reading.temperature_c <= kHighestDensityC))
    return report(parsed, option, {"'" + at + "' is out of range", "0 °C to 40 °C", ""});
  if (!(sg_of_mark(reading.value, reading.scale) > 0.0))
    return report(parsed, option,
                  {"'" + parsed.options.typed(option.name) + "' is off the scale",
                   reading.scale == Scale::brix ? "0 Bx to 50 Bx" : "a density above 0", ""});
  (option.name == "sugar" ? parsed.options.sugar : parsed.options.arrest) = reading;
}

void take_quantity(ParsedFortify& parsed, const Option& option) {
  const std::string typed = parsed.options.typed(option.name);
  const bool readings = option.field == nullptr;
  const auto at = readings ? typed.find(" at ") : std::string::npos;
  const auto read = read_in(typed.substr(0, at), option);
  if (const auto* misread = std::get_if<Misread>(&read)) return report(parsed, option, *misread);
  const auto& quantity = std::get<Quantity>(read);
  if (readings && scale_of(quantity.unit))
    return take_reading(parsed, option, quantity, at == std::string::npos ? "" : typed.substr(at + 4));
  if (at != std::string::npos)
    return report(parsed, option, {"only a hydrometer is read at a temperature", "SG, Bx, Be or °Oe with 'at'", ""});
  const Range& range = option.range;
  if (!(quantity.value <= range.high && (range.above_low ? quantity.value > range.low : quantity.value >= range.low)))
    return report(parsed, option, {"'" + typed + "' is out of range", range_text(option), ""});
  if (!readings) parsed.options.*option.field = quantity.value;
  else (option.name == "sugar" ? parsed.options.sugar : parsed.options.arrest) = quantity.value;
}

void take_texts(ParsedFortify& parsed) {
  FortifyOptions& options = parsed.options;
  options.refractometer = options.has("refractometer");
  options.output = options.typed("output") == "-" ? "" : options.typed("output");  // "-" is the screen
  options.lot = options.typed("lot");
  options.designation = options.typed("designation");
  options.rules = options.typed("rules");
  std::vector<Problem> faults;
  if (!options.lot.empty()) source_from("", options.lot, faults);  // is it text?
  if (!faults.empty() || options.lot.find('\n') != std::string::npos || options.lot.size() > kLongestName)
    report(parsed, "--lot: this is no name", "one line of text, up to " + std::to_string(kLongestName) + " bytes");
  const std::string units = options.typed("units");
  if (units == "us") options.units = Units::us;
  else if (!units.empty() && units != "metric") report(parsed, "--units: unknown '" + units + "'", "metric, us");
  if (options.has("json") && options.has("csv")) report(parsed, "--json and --csv cannot both be given", "one of them");
  options.format = options.has("json") ? Format::json : options.has("csv") ? Format::csv : Format::text;
}

}  // namespace

ParsedFortify parse_fortify(const std::vector<std::string>& arguments) {
  ParsedFortify parsed;
  try {
    split(arguments, parsed);
  } catch (const po::error& error) {
    report(parsed, error.what(), "'tierce fortify --help' lists the options");
    return parsed;
  }
  if (parsed.options.has("help")) {
    parsed.help = help_text();
    return parsed;
  }
  for (const bool readings : {false, true})  // readings last: they need the temperature
    for (const Option& option : options_with_value())
      if (!option.units().empty() && (option.field == nullptr) == readings &&
          !parsed.options.typed(option.name).empty())
        take_quantity(parsed, option);
  take_texts(parsed);
  for (const Problem& fault : faults_between(parsed.options)) parsed.faults.push_back(fault);
  return parsed;
}

}  // namespace tierce
