// The verdicts on labels as a report and as JSON.
#pragma once

#include <nlohmann/json.hpp>

#include "cli/read/source.h"
#include "cli/report/label.h"
#include "cli/write/table.h"

namespace tierce {

/// `source`: the scenario's text, for the evidence; null where none is asked for.
Report label_report(const LabelView& view, const Source* source, Units units);
nlohmann::json label_json(const LabelView& view, const Source* source);

}  // namespace tierce
