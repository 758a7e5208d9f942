#include "cli/command/new.h"

#include <boost/program_options.hpp>
#include <cctype>
#include <filesystem>
#include <istream>
#include <optional>
#include <ostream>
#include <sstream>

#include "cli/command/deliver.h"
#include "cli/command/options.h"
#include "cli/io/messages.h"
#include "cli/io/today.h"
#include "cli/read/load.h"
#include "cli/read/quantity_text.h"
#include "cli/read/suggest.h"
#include "cli/record/new_questions.h"
#include "cli/record/starter.h"
#include "cli/record/write_file.h"
#include "cli/report/record.h"
#include "cli/write/json.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;
namespace po = boost::program_options;
using Answers = std::map<std::string, std::string>;

struct NewOptions {
  std::string file;
  Answers answers;
  bool json = false;
  std::string help;
  Date today{};
};

po::options_description described() {
  po::options_description all("Options", 100);
  for (const NewQuestion& question : new_questions())
    all.add_options()(
        question.name.c_str(), po::value<std::string>()->value_name(question.shown),
        (question.asks + "?" + (question.standard.empty() ? "" : " (if left out: " + question.standard + ")")).c_str());
  all.add_options()("json", "print what was written as JSON")("today", po::value<std::string>()->value_name("DATE"),
                                                              kTodayMeaning)("help,h", "this text");
  return all;
}

std::string help_text() {
  std::ostringstream out;
  out << "tierce new FILE [options]\n\n"
         "  a first scenario with remarks, which 'tierce forecast FILE' can run at once. Without options it asks;\n"
         "  what is left out is a placeholder, and the file says so. An existing file is never written over.\n\n"
      << described() << "\nExit status: 0 written, 2 bad arguments, or FILE exists. Manual: docs/new.md.\n";
  return out.str();
}

/// "Amber" for amber.yaml.
std::string name_from(const std::string& file) {
  std::string name = fs::path(file).stem().string();
  if (name.empty() || !fault_of_answer("reserve", name).empty()) return "Reserve";
  name[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(name[0])));
  return name;
}

/// What an answer that is not given is taken as.
std::string standard_for(const NewQuestion& question, const NewOptions& options) {
  if (question.name == "reserve") return name_from(options.file);
  return question.name == "filled" ? iso_text(options.today) : question.standard;
}

std::vector<std::string> faults_of(const NewOptions& options) {
  std::vector<std::string> faults;
  for (const auto& [name, answer] : options.answers)
    if (const std::string fault = fault_of_answer(name, answer); !fault.empty())
      faults.push_back("--" + name + ": " + fault);
  return faults;
}

std::string no_such_option(const std::string& written) {
  std::vector<std::string> names;
  const po::options_description all = described();
  for (const auto& option : all.options()) names.push_back("--" + option->long_name());
  const std::string name = written.substr(0, written.find('=')), near = nearest(name, names);
  return "there is no option '" + name + "' of new; " +
         (near.empty() ? "'tierce new --help' lists them" : did_you_mean(near));
}

/// The arguments as options, or what is wrong with them.
std::vector<std::string> parse(const std::vector<std::string>& arguments, NewOptions& options) {
  po::options_description all = described();
  all.add_options()("file", po::value<std::vector<std::string>>());
  po::positional_options_description positional;
  positional.add("file", -1);
  po::variables_map values;
  try {
    const int style = po::command_line_style::unix_style & ~po::command_line_style::allow_guessing;
    po::store(po::command_line_parser(arguments).options(all).positional(positional).style(style).run(), values);
  } catch (const po::unknown_option& error) {
    return {no_such_option(error.get_option_name())};
  } catch (const po::error& error) { return {std::string(error.what()) + "; 'tierce new --help' lists the options"}; }
  options.json = values.count("json") > 0;
  if (values.count("help") > 0) options.help = help_text();
  for (const NewQuestion& question : new_questions())
    if (values.count(question.name) > 0)
      options.answers[question.name] = trimmed(values[question.name].as<std::string>());
  if (!options.help.empty()) return {};
  if (values.count("file") == 0) return {"which file? tierce new FILE"};
  const auto files = values["file"].as<std::vector<std::string>>();
  if (files.size() > 1)
    return {"one FILE at a time; '" + files[1] + "' is a second (text with spaces stands in quotes)"};
  options.file = files.front();
  return faults_of(options);
}

/// Asks one question until its answer is sound. False where the answers end.
bool ask(const NewQuestion& question, const std::string& standard, Answers& answers, std::istream& in,
         std::ostream& out) {
  for (;;) {
    out << question.asks << "? [" << standard << "] " << std::flush;
    std::string answer;
    if (!out || !std::getline(in, answer)) return false;  // a question that nobody sees is not asked
    answer = trimmed(answer);
    if (answer.empty()) return true;
    const std::string fault = fault_of_answer(question.name, answer);
    if (fault.empty()) {
      answers[question.name] = answer;
      return true;
    }
    out << "  " << fit_to_show(fault) << '\n';
  }
}

/// The first question that the input left open; empty where all were answered.
std::string ask_all(NewOptions& options, std::istream& in, std::ostream& out) {
  out << "An empty answer takes what stands in brackets.\n";
  for (const NewQuestion& question : new_questions()) {
    if (question.name == "day" && options.answers.contains("draw") && options.answers.at("draw") == "none") continue;
    if (!ask(question, standard_for(question, options), options.answers, in, out)) {
      out << '\n';
      return question.asks;
    }
  }
  out << '\n';
  return "";
}

/// What keeps the answers from going together: the starter is read as any scenario is. Empty where they do.
std::string fault_between(const NewOptions& options, const Starter& starter) {
  std::vector<Problem> problems;
  Source source = source_from(options.file, starter.text, problems);
  if (problems.empty()) problems = check_source(std::move(source)).problems;
  return problems.empty() ? "" : "these figures do not go together: " + problems.front().what;
}

int refuse(const std::vector<std::string>& faults) {
  for (const std::string& fault : faults) say_error(fault);
  return kBadInput;
}

}  // namespace

int run_new(const std::vector<std::string>& arguments, const Date& today, std::istream& in, std::ostream& out) {
  NewOptions options;
  options.today = today;
  if (const auto faults = parse(arguments, options); !faults.empty()) return refuse(faults);
  if (!options.help.empty()) return deliver("", options.help, out);
  std::error_code error;
  if (fs::exists(fs::symlink_status(options.file, error)))
    return refuse({options.file + " exists, and 'tierce new' never writes over a file"});
  if (options.answers.empty()) {
    const std::string open = ask_all(options, in, out);
    if (!open.empty()) return refuse({"the answers end before '" + open + "?'; nothing was written"});
  }
  options.answers.try_emplace("reserve", name_from(options.file));
  options.answers.try_emplace("units", "metric");
  const Starter starter = starter_from(options.answers, today);
  if (const std::string fault = fault_between(options, starter); !fault.empty()) return refuse({fault});
  const std::string failure = write_new_file(options.file, starter.text);
  if (!failure.empty()) return refuse({options.file + " was not written: " + failure});
  const StarterView view{fit_to_show(options.file), starter.placeholders};
  return deliver("", options.json ? json_text(object_of(view, kNewOutput)) : text_of(new_report(view), Units::metric),
                 out);
}

}  // namespace tierce
