// What the reader of a report has to know beside its figures.
#pragma once

#include <string>
#include <vector>

#include "engine/run/outlook.h"

namespace tierce {

/// What the reader of any report has to know: conventions, defaults that were used, what is an estimate.
std::vector<std::string> assumptions(const Outlook& outlook);

}  // namespace tierce
