#include "cli/report/fortify/fortify_rules.h"

#include "cli/read/rule_book.h"

namespace tierce {
namespace {

/// The lot that comes out of a plan.
Lot lot_of(const FortifyPlan& plan, double spirit_pct) {
  Lot lot;
  lot.spirit = SpiritUsed{plan.wine.spirit_l, spirit_pct, plan.must.volume_l, 0};
  return lot;
}

LabelFacts facts_of(const FortifyPlan& plan, const Lot& lot, const std::string& designation) {
  LabelFacts facts;
  WinePart part{.lot = &lot};
  part.litres = part.entered_l = facts.litres = plan.wine.volume_l;
  part.spirit_share = lot.spirit->volume_l / (lot.spirit->volume_l + lot.spirit->into_l);
  facts.parts.push_back(part);
  facts.wine.alcohol_pct = plan.wine.alcohol_pct;
  facts.wine.sugar_g_l = plan.wine.sugar_g_l;
  facts.must_sugar_g_l = plan.sugar_inferred ? kUnknown : plan.must.sugar_g_l;
  facts.words = {{"product", product_by_strength(plan.wine.alcohol_pct, true)}, {"designation", designation}};
  facts.product_stated = true;
  return facts;
}

}  // namespace

std::vector<Judgement> fortify_rules(const FortifyPlan& plan, double spirit_pct, const std::string& designation,
                                     const RuleBook& book) {
  if (designation.empty()) return {};
  const Lot lot = lot_of(plan, spirit_pct);
  return judge_fortify(book, set_names(book), facts_of(plan, lot, designation));
}

}  // namespace tierce
