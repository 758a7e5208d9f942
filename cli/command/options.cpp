#include "cli/command/options.h"

#include <algorithm>
#include <boost/program_options.hpp>
#include <sstream>

#include "cli/command/commands.h"
#include "cli/command/refresh_options.h"
#include "cli/command/target.h"
#include "cli/io/today.h"
#include "cli/read/quantity_text.h"
#include "cli/read/source.h"
#include "cli/read/suggest.h"

namespace tierce {
namespace {

namespace po = boost::program_options;

std::vector<std::string> command_names() {
  std::vector<std::string> names;
  for (const Command& command : commands()) names.emplace_back(command.name);
  return names;
}

po::options_description shared_options() {
  po::options_description shared("Options");
  shared.add_options()("json", "print JSON: metric, full precision, null where a value is not known")(
      "csv", "print the main table as CSV")(
      "output,o", po::value<std::string>()->value_name("FILE"),
      "write to FILE instead of the screen; the file is written whole or not at all")(
      "units", po::value<std::string>()->value_name("metric|us"),
      "litres or US gallons (default: what the scenario says)")("today", po::value<std::string>()->value_name("DATE"),
                                                                kTodayMeaning)(
      "all", "every row and table of the text; JSON and CSV are always complete")(
      "notes", "below the report: what its figures rest on, where the file does not say it")(
      "large", "lift the limits on the size of a reserve; it may take long and much memory")("help,h", "this text");
  return shared;
}

/// Options that a command reads itself, as written; none of most commands.
const std::vector<OptionRow>& rows_read_by(const std::string& command) {
  static const std::vector<OptionRow> kNone;
  if (command == "refresh") return refresh_option_rows();
  return command == "target" ? target_option_rows() : kNone;
}

/// An option that only some commands have. Without a form it is a switch; `many` may be repeated.
struct OwnOption {
  OptionRow row;
  bool many = false;
};

const std::vector<OwnOption>& own_option_rows() {
  static const std::vector<OwnOption> kRows = {
      {{"on", "DATE", "at the end of this day, as 2027-02-10, or today (default: the last entry of the log)"}},
      {{"draw", "NAME", "this draw, by its name or its date (default: the last one in the log)"}},
      {{"allowance", "SHARE", "loss that is allowed a year, as \"4 %/yr\" (default: what the scenario says)"}},
      {{"certificate", nullptr, "a certificate of composition for the buyer of the draw: no label, no legal claim"}},
      {{"claim", "CLAIM",
        "one more claim, as in \"vintage, year: 2021\" or \"alcohol, stated: 18 %vol\"; may be repeated"},
       true},
      {{"rules", "FILE",
        "a rule file of your own, beside the rule sets; or the name of a set, which then takes the place of the "
        "scenario's; may be repeated"},
       true},
      {{"vary", "VARIANT",
        "a variant: \"NAME: path=value, path=value\", as in \"less drawn: habit.draw=15 %\"; may be repeated, up to "
        "six "
        "times"},
       true},
      {{"vary-file", "FILE", "a file of variants: names, each with its paths and values"}},
      {{"evidence", nullptr, "the chain behind the figures: lots, dates, volumes, lines of the log"}},
      {{"years", "N", "forecast N years past the log (default: the scenario's 'until', else 20)"}},
      {{"chart", nullptr, "draw the shares of the vintages and the mean age, one line a year"}},
      {{"vintages", nullptr, "which harvests are in which bottling, side by side"}},
      {{"sheet", nullptr, "print the sheet for the cellar, on A4 pages of text"}},
      {{"lot", "NAME", "every vessel and draw that holds this lot"}},
      {{"at-least", "\"N %\"", "leave out what is less than this share of the wine"}},
      {{"as-known-on", "DATE", "the book as it stood on this day, without what was entered or corrected later"}},
  };
  return kRows;
}

void add_option(po::options_description& options, const OptionRow& row, bool many) {
  if (row.shown == nullptr) options.add_options()(row.name, row.meaning);
  else if (many)
    options.add_options()(row.name, po::value<std::vector<std::string>>()->value_name(row.shown)->composing(),
                          row.meaning);
  else options.add_options()(row.name, po::value<std::string>()->value_name(row.shown), row.meaning);
}

po::options_description own_options(const Command& command) {
  po::options_description own("Options of " + std::string(command.name));
  for (const char* name : command.options)
    for (const OwnOption& option : own_option_rows())
      if (std::string(name) == option.row.name) add_option(own, option.row, option.many);
  for (const OptionRow& row : rows_read_by(command.name)) add_option(own, row, false);
  return own;
}

std::string general_help() {
  std::ostringstream out;
  out << "tierce keeps the book of a perpetual reserve and works out its future.\n\n"
         "  tierce COMMAND FILE... [options]\n\n";
  for (const Command& command : commands())
    out << "  " << command.name << std::string(10 - std::string(command.name).size(), ' ') << command.answers << '\n';
  out << "\nFILE is a scenario (docs/scenario.md). 'tierce COMMAND --help' lists a command's options.\n"
         "Exit status: 0 fine, 1 a claim fails or a plan is impossible, 2 bad input or arguments,\n"
         "3 a fault of this program.\n";
  return out.str();
}

std::string command_help(const Command& command) {
  std::ostringstream out;
  out << "tierce " << command.name << " FILE... [options]\n\n  " << command.answers << "\n\n" << shared_options();
  if (!command.options.empty() || !rows_read_by(command.name).empty()) out << '\n' << own_options(command);
  return out.str();
}

ParsedOptions wrong(const std::string& what) { return {{}, fit_to_show(what), ""}; }

/// What is wrong with an option that the command does not have.
std::string no_such_option(const Command& command, const std::string& written, const po::options_description& known) {
  const std::string name = written.substr(0, written.find('='));
  std::vector<std::string> names;
  for (const auto& option : known.options()) names.push_back("--" + option->long_name());
  const std::string near = nearest(name, names);
  return "there is no option '" + name + "' of " + command.name + "; " +
         (near.empty() ? "'tierce " + std::string(command.name) + " --help' lists them" : did_you_mean(near));
}

/// What the command reads itself, as written.
std::string take_given(const po::variables_map& values, Options& options) {
  options.sheet = values.count("sheet") > 0;
  for (const OptionRow& row : rows_read_by(options.command)) {
    if (values.count(row.name) == 0) continue;
    const auto value = values[row.name].as<std::string>();
    if (fit_to_show(value) != value) return "--" + std::string(row.name) + ": this is no text that can be seen";
    options.given[row.name] = value;
  }
  return "";
}

/// Formats, and options whose values are text. Empty, or what is wrong.
std::string take_texts(const po::variables_map& values, Options& options) {
  if (values.count("json") + values.count("csv") > 1) return "--json and --csv cannot both be given";
  options.format = values.count("json") > 0 ? Format::json : values.count("csv") > 0 ? Format::csv : Format::text;
  if (values.count("output") > 0) {
    const auto file = values["output"].as<std::string>();
    if (file.empty()) return "-o: the name of a file is missing; without -o the report goes to the screen";
    if (file != "-") options.output = file;  // "-" is the screen, as everywhere
  }
  for (const char* name : {"on", "draw", "lot"})
    if (values.count(name) > 0 && fit_to_show(values[name].as<std::string>()) != values[name].as<std::string>())
      return std::string("--") + name + ": this is no text that can be seen";
  if (values.count("on") > 0) options.on = values["on"].as<std::string>();
  if (values.count("draw") > 0) options.draw = values["draw"].as<std::string>();
  options.certificate = values.count("certificate") > 0;
  for (const auto& [name, list_of] :
       {std::pair{"claim", &Options::claims}, {"rules", &Options::rules}, {"vary", &Options::vary}}) {
    if (values.count(name) == 0) continue;
    auto& list = options.*list_of;
    list = values[name].as<std::vector<std::string>>();
    for (const std::string& text : list)
      if (fit_to_show(text) != text) return std::string("--") + name + ": this is no text that can be seen";
  }
  if (values.count("vary-file") > 0) options.vary_file = values["vary-file"].as<std::string>();
  options.evidence = values.count("evidence") > 0;
  options.chart = values.count("chart") > 0;
  if (options.chart && options.format == Format::json)
    return "--chart draws text, or lists shares with --csv; 'tierce report --json' holds the same as JSON";
  options.vintages = values.count("vintages") > 0;
  if (options.vintages && options.chart) return "--vintages and --chart cannot both be given";
  if (options.vintages && options.format == Format::json)
    return "--vintages is a table, for --csv too; 'tierce forecast --json' holds the shares of every draw";
  options.large = values.count("large") > 0;
  options.all = values.count("all") > 0;
  options.notes = values.count("notes") > 0;
  if (values.count("lot") > 0) options.lot = values["lot"].as<std::string>();
  return "";
}

/// Options whose values are amounts, dates and numbers. Empty, or what is wrong.
std::string take_amounts(const po::variables_map& values, Options& options) {
  if (values.count("at-least") > 0) {
    const auto share = read_quantity(values["at-least"].as<std::string>(), Measure::share);
    if (const auto* misread = std::get_if<Misread>(&share))
      return "--at-least: " + misread->what + " (" + misread->allowed + ")";
    options.at_least = std::get<Quantity>(share).value;
    if (options.at_least < 0.0 || options.at_least > 1.0) return "--at-least is a share from 0 % to 100 %";
  }
  if (values.count("units") > 0) {
    const auto units = values["units"].as<std::string>();
    if (units != "metric" && units != "us") return "--units is metric or us, not '" + units + "'";
    options.units = units == "us" ? Units::us : Units::metric;
  }
  if (values.count("allowance") > 0) {
    const auto share = read_quantity(values["allowance"].as<std::string>(), Measure::share_per_year);
    if (const auto* misread = std::get_if<Misread>(&share))
      return "--allowance: " + misread->what + " (" + misread->allowed + ")";
    options.allowance = std::get<Quantity>(share).value;
    if (!(*options.allowance >= 0.0) || *options.allowance > 1.0) return "--allowance is a share up to 100 %/yr";
  }
  if (values.count("as-known-on") > 0) {
    const auto date = read_date(values["as-known-on"].as<std::string>());
    if (const auto* misread = std::get_if<Misread>(&date))
      return "--as-known-on: " + misread->what + " (" + misread->allowed + ")";
    options.as_known_on = std::get<Date>(date);
  }
  if (values.count("years") > 0) {
    const auto years = read_whole(values["years"].as<std::string>(), 1, 1000);
    if (const auto* misread = std::get_if<Misread>(&years))
      return "--years: " + misread->what + " (" + misread->allowed + ")";
    options.years = std::get<int>(years);
  }
  return "";
}

/// The values of the options, checked. Empty, or what is wrong.
std::string take_values(const po::variables_map& values, Options& options) {
  std::string wrong = take_texts(values, options);
  if (wrong.empty()) wrong = take_amounts(values, options);
  return wrong.empty() ? take_given(values, options) : wrong;
}

ParsedOptions parse_for(const Command& command, const std::vector<std::string>& rest) {
  po::options_description known, all;
  known.add(shared_options()).add(own_options(command));
  all.add(known).add_options()("file", po::value<std::vector<std::string>>());
  po::positional_options_description positional;
  positional.add("file", -1);
  po::variables_map values;
  try {
    const int style = po::command_line_style::unix_style & ~po::command_line_style::allow_guessing;
    po::store(po::command_line_parser(rest).options(all).positional(positional).style(style).run(), values);
    po::notify(values);
  } catch (const po::unknown_option& error) {
    return wrong(no_such_option(command, error.get_option_name(), known));
  } catch (const po::error& error) {
    return wrong(std::string(error.what()) + "; 'tierce " + command.name + " --help' lists the options");
  }
  if (values.count("help") > 0) return {{}, "", command_help(command)};
  ParsedOptions parsed;
  parsed.options.command = command.name;
  parsed.error = fit_to_show(take_values(values, parsed.options));
  if (values.count("file") > 0) parsed.options.files = values["file"].as<std::vector<std::string>>();
  if (parsed.error.empty() && parsed.options.files.empty())
    parsed.error = "which file? tierce " + std::string(command.name) + " FILE";
  return parsed;
}

/// --today DATE may stand anywhere behind the command, of every command. Takes it out of the arguments. Empty, or what
/// is wrong with it.
std::string take_today(std::vector<std::string>& arguments, std::optional<Date>& day) {
  const std::string name = "--today";
  for (std::size_t i = 1; i < arguments.size();) {
    const bool joined = arguments[i].starts_with(name + "=");
    if (arguments[i] != name && !joined) {
      ++i;
      continue;
    }
    if (day) return name + " is given twice";
    if (!joined && i + 1 == arguments.size()) return name + ": a date is missing, as in 2027-02-10";
    const auto read = read_date(joined ? arguments[i].substr(name.size() + 1) : arguments[i + 1]);
    if (const auto* misread = std::get_if<Misread>(&read))
      return name + ": " + misread->what + " (" + misread->allowed + ")";
    day = std::get<Date>(read);
    const auto from = arguments.begin() + static_cast<std::ptrdiff_t>(i);
    arguments.erase(from, from + (joined ? 1 : 2));
  }
  return "";
}

ParsedOptions parse_rest(const std::vector<std::string>& arguments) {
  if (arguments.empty()) return {{}, "a command is missing; 'tierce --help' lists them", ""};
  if (arguments[0] == "--help" || arguments[0] == "-h") return {{}, "", general_help()};
  if (arguments[0] == "--version") return {{}, "", std::string("tierce ") + TIERCE_VERSION + "\n"};
  for (const Command& command : commands()) {
    if (arguments[0] != command.name) continue;
    const std::vector<std::string> rest(arguments.begin() + 1, arguments.end());
    if (!command.own_arguments) return parse_for(command, rest);
    ParsedOptions parsed;
    parsed.options.command = command.name;
    parsed.options.own = rest;
    return parsed;
  }
  const std::string near = nearest(arguments[0], command_names());
  return wrong("there is no command '" + arguments[0] + "'; " +
               (near.empty() ? "commands: " + listed(command_names()) : "did you mean '" + near + "'?"));
}

}  // namespace

ParsedOptions parse_options(const std::vector<std::string>& given) {
  std::vector<std::string> arguments = given;
  std::optional<Date> day;
  if (const std::string error = take_today(arguments, day); !error.empty()) return wrong(error);
  ParsedOptions parsed = parse_rest(arguments);
  parsed.options.today = day.value_or(today());
  return parsed;
}

}  // namespace tierce
