// The answer of `tierce label`: how many claims hold, and under each what the laws ask.
#pragma once

#include <string>
#include <vector>

#include "cli/report/label/label.h"

namespace tierce {

/// A rule that is open only because nobody knows the name on the label: one sentence says it of all of them.
bool open_by_name(const Judgement& row);
/// Rules of one family that all hold are one row: that of the least margin.
std::vector<const Judgement*> gathered(const std::vector<Judgement>& rows);
/// The claims shown with a draw: those that cover it, and of the others the first draw that they cover.
std::vector<const ClaimOnDraw*> claims_beside(const LabelView& view, std::size_t shown);
/// "fails under US-VIN-AVA (one harvest year ...). Both readings say so ... 27 CFR 4.27(a)(1) (text: ...)."
std::string why_in_full(const Judgement& row, const LabelFacts& facts);

/// "Bottling 2026 (255 L of 10 Feb 2026): 1 of 7 claims fails, 2 are open, 4 hold"
std::string answer_text(const LabelView& view, std::size_t shown, Units units);
/// Failures before what is open, and that before what holds.
void answer_part(Document& document, const LabelView& view, std::size_t shown);
/// The limits on any such wine: those that are passed in full, of the others how many; and what the label needs.
void limit_part(Document& document, const LabelView& view, std::size_t shown);
/// What would have to change for the claims that do not hold of every bottling.
void change_part(Document& document, const LabelView& view, Units units);

}  // namespace tierce
