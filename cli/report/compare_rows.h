// The rows of a comparison.
#pragma once

#include <string>

#include "cli/write/field.h"
#include "engine/plan/compare.h"

namespace tierce {

struct VariantRow {
  const ComparedVariant& variant;
  double bottle_l;
};
extern const Shape<VariantRow> kComparedVariant;
/// All figures of a variant, without its name and what it changes.
extern const Shape<VariantRow> kVariantFigures;
/// What is shown side by side: figures of a plan that is kept, and where one stops.
extern const Shape<VariantRow> kShownVariant;

/// An age in words, "5.1+" where part of the wine is of unknown age.
std::string shown_age(double age_y, double at_least_y);

}  // namespace tierce
