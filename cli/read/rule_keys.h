// Every key of a rule file: its form, default and meaning. The reader, its messages and docs/label.md read these rows.
#pragma once

#include "cli/read/scenario_keys.h"

namespace tierce::keys {

const Section& rule_file();
const Section& rule();
const Section& tax_class();
/// All of them, for the manual.
std::vector<const Section*> of_rules();

/// Words that may be known of a wine or a claim, and what they may be; an empty list allows any word.
struct FactWord {
  std::string name;
  std::vector<std::string> choices;
  std::string meaning;
};
const std::vector<FactWord>& fact_words();

}  // namespace tierce::keys
