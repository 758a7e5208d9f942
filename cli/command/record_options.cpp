#include "cli/command/record_options.h"

#include <algorithm>
#include <boost/program_options.hpp>
#include <sstream>

#include "cli/io/today.h"
#include "cli/read/quantity_text.h"
#include "cli/read/source.h"
#include "cli/read/suggest.h"

namespace tierce {
namespace {

namespace po = boost::program_options;

constexpr unsigned kPage = 100;  // characters of a line of help

std::string form_text(const Key& key) {
  if (key.form == Form::date) return "DATE";
  if (key.form == Form::map) return "KEYS";
  if (key.form == Form::quantity) return '"' + std::string("N ") + units_of(key.measure).front().name + '"';
  if (key.form == Form::choice) {
    std::string words;
    for (const std::string& choice : key.choices) words += (words.empty() ? "" : "|") + choice;
    return words.size() < 30 ? words : "WORD";
  }
  return key.form == Form::number || key.form == Form::whole ? "N" : "TEXT";
}

std::string meaning_text(const Key& key) {
  std::string text = key.meaning;
  if (key.form == Form::choice && form_text(key) == "WORD") text += ": " + listed(key.choices);
  if (key.name == "date") return text + " (default: today)";
  if (key.name == "entered") return text + " (default: today, where the day is an earlier one)";
  if (key.required) return text + " (needed)";
  return key.standard.empty() ? text : text + " (default: " + key.standard + ")";
}

po::options_description shared_options() {
  po::options_description shared("Options", kPage);
  shared.add_options()("show", "show the entry, and what the book would then say; write nothing")("json", "print JSON")(
      "today", po::value<std::string>()->value_name("DATE"), kTodayMeaning)("help,h", "this text");
  return shared;
}

po::options_description keys_of(const Section& section, const std::string& verb) {
  po::options_description own("Keys of an entry 'do: " + verb + "' (docs/scenario.md)", kPage);
  for (const Key& key : section.keys)
    if (key.name != "do")
      own.add_options()(option_of(key.name).c_str() + 2, po::value<std::string>()->value_name(form_text(key)),
                        meaning_text(key).c_str());
  return own;
}

std::string general_help() {
  std::ostringstream out;
  out << "tierce record FILE VERB --KEY VALUE ...\n"
         "tierce record FILE --sheet\n\n"
         "  Adds one entry to the log of FILE. The whole file with the entry is checked first; if it has a fault,\n"
         "  nothing is written. Every other byte of the file stays as it is.\n\n"
         "  VERB      what was done: "
      << listed(keys::verbs())
      << "\n"
         "            'tierce record VERB --help' lists its keys; one of two words has a dash: bring-in\n"
         "  --sheet   asks for the blanks of the sheet of the next refresh, one by one, and adds what was done\n\n"
      << shared_options();
  return out.str();
}

std::string verb_help(const std::string& verb) {
  std::ostringstream out;
  out << "tierce record FILE " << verb << " --KEY VALUE ...\n\n" << keys_of(*keys::entry(verb), verb);
  out << "\nA quantity has its unit (\"220 L\"); KEYS are written as in the file, with or without braces: \"free: 6 "
         "mg/L\".\n\n"
      << shared_options();
  return out.str();
}

ParsedRecord wrong(const std::string& what) { return {{}, fit_to_show(what), ""}; }
ParsedRecord help(const std::string& text) { return {{}, "", text}; }

std::string unknown_option(const std::string& verb, const std::string& written, const Section& section) {
  const std::string name = written.substr(0, written.find('='));
  std::vector<std::string> names = {"--show", "--json", "--today", "--help"};
  for (const Key& key : section.keys) names.push_back(option_of(key.name));
  const std::string near = nearest(name, names);
  const auto verbs = keys::verbs_with(name.starts_with("--") ? name.substr(2) : name);
  if (near.empty() && !verbs.empty())
    return "there is no option '" + name + "' of record " + verb + "; it belongs to " + listed(verbs);
  return "there is no option '" + name + "' of record " + verb + "; " +
         (near.empty() ? "'tierce record " + verb + " --help' lists them" : did_you_mean(near));
}

/// A day that an option states; `today` where the word or nothing stands there.
std::optional<Date> day_of(const po::variables_map& values, const char* name, const Date& today, std::string& error) {
  if (values.count(name) == 0) return std::nullopt;
  const auto text = values[name].as<std::string>();
  if (text == "today") return today;
  const auto read = read_date(text);
  if (const auto* misread = std::get_if<Misread>(&read)) {
    error = std::string("--") + name + ": " + misread->what + " (" + misread->allowed + ", or today)";
    return std::nullopt;
  }
  return std::get<Date>(read);
}

std::string take_entry(const po::variables_map& values, const Section& section, RecordRequest& request) {
  std::string error;
  const auto stated = day_of(values, "date", request.today, error);
  auto entered = day_of(values, "entered", request.today, error);
  if (!error.empty()) return error;
  const Date& now = request.today;
  if (!stated) request.remarks.push_back("No --date is given: the day is today, " + iso_text(now) + ".");
  const Date date = stated.value_or(now);
  if (!entered && date < now) entered = now;
  std::vector<std::pair<std::string, std::string>> written;
  for (const Key& key : section.keys) {
    const std::string name = option_of(key.name).substr(2);
    if (key.name == "date" || key.name == "do" || key.name == "entered" || values.count(name) == 0) continue;
    std::string fault;
    written.emplace_back(key.name, yaml_value_of(key, values[name].as<std::string>(), fault));
    if (!fault.empty() && error.empty()) error = "--" + name + ": " + fault;
  }
  request.entry = written_entry(request.verb, date, entered, written);
  return error;
}

ParsedRecord parse_with(const std::string& file, const std::string& verb, const Section& section,
                        const std::vector<std::string>& rest, const Date& today) {
  po::options_description known;
  known.add(shared_options()).add(keys_of(section, verb));
  po::variables_map values;
  ParsedRecord parsed;
  parsed.request.file = file;
  parsed.request.today = today;
  parsed.request.verb = verb;
  try {
    const int style = po::command_line_style::unix_style & ~po::command_line_style::allow_guessing;
    po::positional_options_description none;
    po::store(po::command_line_parser(rest).options(known).positional(none).style(style).run(), values);
  } catch (const po::unknown_option& error) {
    return wrong(unknown_option(verb, error.get_option_name(), section));
  } catch (const po::too_many_positional_options_error&) {
    return wrong("each value stands behind its key, as in --volume \"220 L\"; 'tierce record " + verb +
                 " --help' lists the keys");
  } catch (const po::error& error) {
    return wrong(std::string(error.what()) + "; 'tierce record " + verb + " --help' lists the options");
  }
  if (values.count("help") > 0) return help(verb_help(verb));
  parsed.request.only_show = values.count("show") > 0;
  parsed.request.json = values.count("json") > 0;
  parsed.error = fit_to_show(take_entry(values, section, parsed.request));
  return parsed;
}

ParsedRecord parse_sheet(const std::string& file, const std::vector<std::string>& rest, const Date& today) {
  ParsedRecord parsed;
  parsed.request.file = file;
  parsed.request.today = today;
  parsed.request.sheet = true;
  for (const std::string& word : rest) {
    if (word == "--show") parsed.request.only_show = true;
    else if (word == "--json") parsed.request.json = true;
    else if (word != "--sheet") return wrong("--sheet asks for everything else; '" + word + "' cannot stand beside it");
  }
  return parsed;
}

/// A verb of two words, as `bring in`, taken together where it stands before the options.
std::vector<std::string> with_whole_verbs(const std::vector<std::string>& arguments) {
  std::vector<std::string> joined;
  for (const std::string& word : arguments) {
    const bool second = !joined.empty() && !word.starts_with('-') && keys::entry(joined.back() + ' ' + word) != nullptr;
    if (second) joined.back() += ' ' + word;
    else joined.push_back(word);
  }
  return joined;
}

/// It may be written with a dash, too.
std::string with_spaces(std::string word) {
  std::replace(word.begin(), word.end(), '-', ' ');
  return word;
}

bool wants_help(const std::vector<std::string>& words) {
  return std::find(words.begin(), words.end(), "--help") != words.end() ||
         std::find(words.begin(), words.end(), "-h") != words.end();
}

}  // namespace

std::string option_of(const std::string& key) {
  std::string name = "--" + key;
  std::replace(name.begin(), name.end(), ' ', '-');
  return name;
}

ParsedRecord parse_record(const std::vector<std::string>& given, const Date& today) {
  const std::vector<std::string> arguments = with_whole_verbs(given);
  std::vector<std::string> words, rest;  // file and verb; the options
  auto next = arguments.begin();
  for (; next != arguments.end() && (*next == "--json" || *next == "--show"); ++next) rest.push_back(*next);
  for (; next != arguments.end() && words.size() < 2 && !next->starts_with('-'); ++next) words.push_back(*next);
  rest.insert(rest.end(), next, arguments.end());
  if (wants_help(rest)) {
    for (const std::string& word : words)
      for (const std::string& verb : {word, with_spaces(word)})
        if (keys::entry(verb) != nullptr) return help(verb_help(verb));
    return help(general_help());
  }
  if (words.empty()) return wrong("which file? tierce record FILE VERB --KEY VALUE ...");
  if (std::find(rest.begin(), rest.end(), "--sheet") != rest.end()) return parse_sheet(words[0], rest, today);
  if (words.size() == 1)
    return wrong("what was done? tierce record " + words[0] + " VERB --KEY VALUE ...; verbs: " + listed(keys::verbs()));
  for (const std::string& verb : {words[1], with_spaces(words[1])})
    if (const Section* section = keys::entry(verb)) return parse_with(words[0], verb, *section, rest, today);
  const std::string near = nearest(words[1], keys::verbs());
  return wrong("there is no verb '" + words[1] + "'; " +
               (near.empty() ? "verbs: " + listed(keys::verbs()) : did_you_mean(near)));
}

}  // namespace tierce
