// `tierce compare`: a column for each variant, a row for each figure.
#pragma once

#include <string>

#include "cli/write/document.h"
#include "cli/write/field.h"
#include "engine/plan/compare.h"

namespace tierce {

struct CompareView {
  Comparison comparison;
  double bottle_l = 0.75;  // of the file
  std::string currency{};  // empty: no cost is stated
};

extern const Shape<CompareView> kCompareOutput;
Document compare_report(const CompareView& of, Units units);

}  // namespace tierce
