// Conventions and defaults behind the figures of a run, in words.
#pragma once

#include <string>
#include <vector>

#include "engine/run/outlook.h"

namespace tierce {

/// Kinds of figures; several together by |.
enum Touches : unsigned { kAges = 1, kVolumes = 2, kStrengths = 4, kSugars = 8, kSulfur = 16, kAllFigures = 31 };

struct Assumption {
  std::string text;         // one sentence
  unsigned touches;         // which kinds of figures depend on it
  bool by_default = false;  // the file does not say it; else a convention, or what the file asks for
};
std::vector<Assumption> assumptions_of(const Outlook& outlook);

/// All of them as sentences, and the remarks that stand beside figures.
std::vector<std::string> assumptions(const Outlook& outlook);

/// "The book as it stood on 3 Mar 2026: ..."; empty where all of it is shown.
std::string knowledge_text(const Outlook& outlook);

}  // namespace tierce
