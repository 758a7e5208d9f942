// `tierce label`: what may be said of bottlings, as a report and as JSON.
#pragma once

#include "cli/read/source.h"
#include "cli/write/document.h"
#include "cli/write/field.h"
#include "engine/rules/label_view.h"

namespace tierce {

/// `source`: the scenario's text, for the evidence; null where none is asked for.
Document label_report(const LabelView& view, const Source* source, Units units);

struct LabelOutput {
  const LabelView& view;
  const Source* source = nullptr;
};
extern const Shape<LabelOutput> kLabelOutput;

}  // namespace tierce
