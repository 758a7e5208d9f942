// What the files given to a command come to, one by one and together, and how it is printed: whole or not at all.
#pragma once

#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "cli/command/options.h"
#include "cli/report/page/reserve.h"
#include "cli/write/table.h"
#include "cli/write/write.h"
#include "engine/run/outlook.h"

namespace tierce {

/// What one file came to: its status, and its report.
struct Answer {
  int status = kFine;
  std::string text{};
  std::string json{};  // as text, with a line end; empty: none
  std::optional<Table> csv{};
  std::optional<Outlook> outlook{};   // of a command that sums several files up
  std::vector<PageOfReserve> page{};  // of `report`: its part of the one page
};

/// What the files came to together.
struct Answers {
  int status = kFine;
  std::string text;
  std::vector<NamedTable> csv;
  std::vector<std::string> json;  // of one file each
  std::vector<Outlook> reserves;
  std::vector<PageOfReserve> page;
  std::optional<Units> units;               // of the CSV: those of the first reserve
  std::vector<std::string> sound, refused;  // files
};

/// Adds what one file came to.
void take(Answers& all, Answer answer, const std::string& reserve);

/// The answers in the format asked for.
std::string written(Answers all, const Options& options);

/// With a faulty file nothing is printed of the others: nobody would see that one is missing. `check` answers for each
/// file all the same.
int refuse_all(const Answers& all, const Options& options, std::ostream& out);

/// Why files cannot stand side by side: one is given twice, by whatever names. Empty where they can.
std::string given_twice(const std::vector<std::string>& files);

}  // namespace tierce
