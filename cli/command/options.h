// The command line: which command, which files, which options.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "cli/io/exit_status.h"
#include "engine/book/calendar.h"
#include "engine/book/scenario.h"

namespace tierce {

enum class Format { text, json, csv };

struct Options {
  std::string command;
  std::vector<std::string> files;
  std::vector<std::string> own;  // of a command that reads its arguments itself: all of them, as given
  Format format = Format::text;
  std::string output;                        // -o; empty = stdout
  std::optional<Units> units;                // empty = the scenario's
  std::optional<std::string> on;             // stock --on: a date or `today`
  std::optional<std::string> draw;           // age --draw: a name or a date
  std::optional<double> allowance;           // losses --allowance: part of the stock a year
  bool certificate = false;                  // age --certificate
  std::optional<int> years;                  // forecast --years
  std::vector<std::string> claims;           // label --claim
  std::vector<std::string> rules;            // --rules: files, or names of rule sets
  std::vector<std::string> vary;             // compare --vary
  std::string vary_file;                     // compare --vary-file
  bool evidence = false;                     // label --evidence
  bool chart = false;                        // forecast --chart
  bool vintages = false;                     // forecast --vintages
  bool large = false;                        // --large: the limits of limits.h are lifted
  bool sheet = false;                        // refresh --sheet
  std::map<std::string, std::string> given;  // of refresh and target: those that they read themselves, as written
  std::optional<std::string> lot;            // trace --lot
  double at_least = 0.0;                     // trace --at-least: a share
  std::optional<Date> as_known_on;           // the book as it stood on this day
  bool all = false;                          // --all: every row and table of a text report
  bool notes = false;                        // --notes: what its figures rest on
  Date today{};                              // --today, else by the clock: entries after it are remarked on
};

struct ParsedOptions {
  Options options;
  std::string error;  // what is wrong with the arguments
  std::string show;   // help or version: print it and stop
};

ParsedOptions parse_options(const std::vector<std::string>& arguments);

}  // namespace tierce
