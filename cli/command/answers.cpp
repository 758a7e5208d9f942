#include "cli/command/answers.h"

#include <sys/stat.h>

#include <algorithm>
#include <iterator>
#include <map>
#include <utility>

#include "cli/command/deliver.h"
#include "cli/command/page.h"
#include "cli/io/messages.h"
#include "cli/read/suggest.h"

namespace tierce {

void take(Answers& all, Answer answer, const std::string& reserve) {
  all.status = std::max(all.status, answer.status);
  if (!all.text.empty() && !answer.text.empty()) all.text += '\n';
  all.text += answer.text;
  if (answer.csv) all.csv.push_back({reserve, std::move(*answer.csv)});
  if (!answer.json.empty()) all.json.push_back(std::move(answer.json));
  std::move(answer.page.begin(), answer.page.end(), std::back_inserter(all.page));
  if (answer.outlook) all.reserves.push_back(std::move(*answer.outlook));
}

namespace {

/// JSON of several files as a list of it.
std::string json_list(const std::vector<std::string>& items) {
  std::string list = "[";
  for (const std::string& item : items) {
    list += list.size() == 1 ? "\n " : ",\n ";
    for (std::size_t i = 0; i + 1 < item.size(); ++i) {  // without the line end; no text has one of its own
      list += item[i];
      if (item[i] == '\n') list += ' ';
    }
  }
  return list + "\n]\n";
}

}  // namespace

std::string written(Answers all, const Options& options) {
  if (options.format == Format::json)
    return all.json.empty() ? "" : options.files.size() == 1 ? std::move(all.json.front()) : json_list(all.json);
  if (options.format == Format::csv)
    return csv_of_files(all.csv, options.files.size(), all.units.value_or(Units::metric));
  return all.page.empty() ? all.text : page_text(all.page);
}

int refuse_all(const Answers& all, const Options& options, std::ostream& out) {
  if (options.command == "check" && options.format == Format::json)
    return std::max(kBadInput, deliver(options.output, written(all, options), out));
  if (options.files.size() > 1)
    say_error("nothing is " + std::string(options.output.empty() ? "printed" : "written") + ": " +
              std::to_string(all.refused.size()) + " of " + std::to_string(options.files.size()) +
              " files cannot be answered for" + (all.sound.empty() ? "" : "; sound: " + listed_briefly(all.sound)));
  return kBadInput;
}

std::string given_twice(const std::vector<std::string>& files) {
  std::map<std::pair<dev_t, ino_t>, std::string> seen;
  for (const std::string& path : files) {
    struct stat file {};
    if (::stat(path.c_str(), &file) != 0) continue;  // whoever reads it says what is wrong
    const auto [first, added] = seen.emplace(std::pair(file.st_dev, file.st_ino), path);
    if (added) continue;
    return first->second == path ? "'" + path + "' is given twice; each reserve counts once"
                                 : "'" + first->second + "' and '" + path + "' are one file; each reserve counts once";
  }
  return "";
}

}  // namespace tierce
