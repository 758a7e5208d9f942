// Class and tax of bottlings, by their strength.
#pragma once

#include "cli/report/label.h"
#include "cli/write/table.h"

namespace tierce {

/// The classes of one draw, with the tax on it and the credit against that tax.
void add_classes(Report& report, const LabelView& view, const LabelledDraw& labelled);
/// From which bottling to which each class lasts; nothing for a single bottling.
void add_classes_of_all(Report& report, const LabelView& view);

/// Gallons of 231 cubic inches, or the unit of the class.
double in_unit_of(const TaxClass& of, double volume_l);
/// Litres drawn as bottlings in the same calendar year before this draw.
double drawn_before_l(const LabelView& view, const LabelledDraw& labelled);

}  // namespace tierce
