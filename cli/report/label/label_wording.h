// Honest sentences for a label, made of the facts, each with the rules that leave it open or speak against it.
#pragma once

#include <string>
#include <vector>

#include "engine/rules/label_view.h"

namespace tierce {

struct Wording {
  std::string place;  // front, back, sheet
  std::string text;
  Verdict verdict = Verdict::open;     // the worst of the rule sets; open where none has a rule on it
  std::vector<std::string> because{};  // rules that fail or are open, with their reason in a few words
  bool refused = false;                // not to be said: it cannot be shown, or a rule fails
};

std::vector<Wording> wording_for(const LabelView& view, const LabelledDraw& labelled);

}  // namespace tierce
