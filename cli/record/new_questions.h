// What `tierce new` has to know: one row for each question, asked on the terminal or answered by an option.
#pragma once

#include <string>
#include <vector>

namespace tierce {

struct NewQuestion {
  std::string name;      // of the option, without dashes
  std::string shown;     // what its value is called in the help
  std::string asks;      // the question, without its mark
  std::string standard;  // the value taken where nothing is answered; empty = today, or the name of the file
};

constexpr int kYearsOfAStarter = 20;  // that its forecast runs

const std::vector<NewQuestion>& new_questions();

/// What is wrong with an answer: empty, or "what (what is allowed); what was meant".
std::string fault_of_answer(const std::string& name, const std::string& answer);

}  // namespace tierce
