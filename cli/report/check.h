// `tierce check`: whether a file is sound.
#pragma once

#include <string>
#include <vector>

#include "cli/write/document.h"
#include "cli/write/field.h"
#include "engine/run/outlook.h"

namespace tierce {

struct CheckView {
  std::string file;  // as messages show it
  std::vector<Problem> problems{};
  const Outlook* outlook = nullptr;  // of a sound file
};
extern const Shape<CheckView> kCheckOutput;
/// Of a sound file.
Document check_report(const CheckView& of);

}  // namespace tierce
