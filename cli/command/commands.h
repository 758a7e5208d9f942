// Every command, a record each, and the answer of each to one file.
#pragma once

#include <iosfwd>
#include <vector>

#include "cli/command/options.h"
#include "engine/run/outlook.h"

namespace tierce {

struct Answer;
struct Asked;

struct Command {
  const char* name;
  const char* answers;               // its line in the help
  std::vector<const char*> options;  // beside those of every command, in the order of the help
  /// Of one sound file. Null of commands that read their arguments themselves.
  Answer (*of_file)(const Asked& asked) = nullptr;
  /// What several files come to together.
  Answer (*of_all)(const Asked& first, const std::vector<Outlook>& reserves) = nullptr;
  /// Of commands that do all of it themselves. The exit status.
  int (*whole)(const Options& options, std::istream& in, std::ostream& out, std::ostream& err) = nullptr;
  bool own_arguments = false;  // they get them as they are given
};
const std::vector<Command>& commands();

Answer check_command(const Asked& asked);
Answer stock_command(const Asked& asked);
Answer stock_of_all(const Asked& first, const std::vector<Outlook>& reserves);
Answer age_command(const Asked& asked);
Answer trace_command(const Asked& asked);
Answer losses_command(const Asked& asked);
Answer losses_of_all(const Asked& first, const std::vector<Outlook>& reserves);
Answer forecast_command(const Asked& asked);
Answer target_command(const Asked& asked);
Answer dose_command(const Asked& asked);
Answer label_command(const Asked& asked);
Answer compare_command(const Asked& asked);

/// Runs the command over its files. Reports go to `out`, faults in files to `err`. Returns the exit status.
int run_command(const Options& options, std::ostream& out, std::ostream& err);

}  // namespace tierce
