#include "cli/report/fortify.h"
#include "cli/report/label_words.h"

namespace tierce {
namespace {

/// Full precision; null for what is not known.
const char* sugar_source(const FortifyPlan& plan, const FortifyOptions& options) {
  if (plan.sugar_inferred) return "inferred";
  if (std::holds_alternative<double>(options.sugar)) return "stated";
  return options.refractometer ? "refractometer" : "hydrometer";
}

Value night_json(const FortifyPlan& plan) {
  Value rows = Value::List{};
  for (const NightRow& row : plan.night)
    rows.push_back({{"reading", row.mark},
                    {"sg_20C", row.sg_20c},
                    {"must_alcohol_pct", row.must.alcohol_pct},
                    {"must_sugar_g_L", row.must.sugar_g_l},
                    {"spirit_L", row.wine.spirit_l},
                    {"volume_L", row.wine.volume_l},
                    {"alcohol_pct", row.wine.alcohol_pct},
                    {"sugar_g_L", row.wine.sugar_g_l},
                    {"planned", row.planned}});
  return rows;
}

std::string plain(std::string text) {
  for (auto at = text.find("\xC2\xA0"); at != std::string::npos; at = text.find("\xC2\xA0")) text.replace(at, 2, " ");
  return text;
}

Value rules_json(const std::vector<Judgement>& judged) {
  Value rules = Value::List{};
  for (const Judgement& row : judged)
    rules.push_back(Value::Object{{"rule", row.rule->id},
                                  {"what", row.rule->about},
                                  {"asks", plain(limit_text(row))},
                                  {"limit", row.limit},
                                  {"value", row.value},
                                  {"unit", row.unit},
                                  {"verdict", verdict_word(row.verdict)},
                                  {"sources", Value::List{row.rule->source.where}},
                                  {"known", known_word(row.rule->source.known)},
                                  {"note", row.rule->source.note}});
  return rules;
}

Value arrest_json(const FortifyPlan& plan) {
  return {{"alcohol_pct", plan.arrest.alcohol_pct},
          {"sugar_g_L", plan.arrest.sugar_g_l},
          {"sg_20C", plan.arrest_sg_20c},
          {"reading", plan.arrest_mark},
          {"alcohol_pct_per_sg", plan.alcohol_pct_per_sg}};
}

Value must_json(const FortifyPlan& plan, const FortifyOptions& options) {
  return {{"volume_L", plan.must.volume_l},
          {"sugar_g_L", plan.must.sugar_g_l},
          {"sugar_from", sugar_source(plan, options)},
          {"other_extract_g_L", plan.other_extract_g_l},
          {"sugar_g_L_per_pct", plan.must.sugar_g_l_per_pct},
          {"temperature_C", options.temperature_c},
          {"fruit_kg", options.fruit_kg},
          {"yield_L_kg", options.must_l_per_kg}};
}

Value additive_json(const Fortified& mixed) {
  return {{"alcohol_pct", mixed.additive_alcohol_pct},
          {"error_pct", mixed.additive_error_pct},
          {"spirit_L", mixed.additive_spirit_l.value_or(kUnknown)}};
}

Value drums_json(const FortifyPlan& plan, const FortifyOptions& options) {
  if (!is_known(plan.order.drums)) return {};
  return {{"size_L", options.drum_l}, {"count", plan.order.drums}, {"left_over_L", plan.order.left_l}};
}

std::string block_text(const FortifyPlan& plan, const FortifyOptions& options) {
  std::string text;
  for (const std::string& line : lot_block(plan, options)) text += line + '\n';
  return text;
}

}  // namespace

Value fortify_json(const FortifyPlan& plan, const FortifyOptions& options, const std::vector<Judgement>& rules) {
  const Fortified& wine = plan.wine;
  return {{"spirit_L", wine.spirit_l},
          {"volume_L", wine.volume_l},
          {"contraction_L", wine.contraction_l},
          {"alcohol_pct", wine.alcohol_pct},
          {"sugar_g_L", wine.sugar_g_l},
          {"total_alcohol_pct", wine.total_alcohol_pct},
          {"spirit_share_of_must_pct", wine.spirit_share_of_must_pct},
          {"spirit_alcohol_share_of_must_pct", wine.spirit_alcohol_share_of_must_pct},
          {"spirit_share_of_ingredients_pct", wine.spirit_share_of_wine_pct},
          {"must_share_of_ingredients_pct", wine.must_share_of_wine_pct},
          {"spirit_alcohol_share_of_wine_pct", plan.spirit_alcohol_share_of_wine_pct},
          {"spirit_share_of_alcohol_pct", wine.spirit_share_of_alcohol_pct},
          {"spirit_pct", options.spirit_pct},
          {"spirit_alcohol_L", plan.order.pure_l},
          {"spirit_proof_gal", plan.order.proof_gallons},
          {"drums", drums_json(plan, options)},
          {"run_on_g_L", options.run_on_g_l},
          {"mixed_alcohol_pct", plan.mixed.alcohol_pct},
          {"mixed_sugar_g_L", plan.mixed.sugar_g_l},
          {"must", must_json(plan, options)},
          {"arrest", arrest_json(plan)},
          {"additive", additive_json(plan.mixed)},
          {"reading_unit", unit_of(plan.scale)},
          {"night", night_json(plan)},
          {"rules", rules_json(rules)},
          {"designation", options.designation.empty() ? Value() : Value(options.designation)},
          {"cautions", fortify_cautions()},
          {"lot_yaml", options.lot.empty() ? Value() : Value(block_text(plan, options))}};
}

}  // namespace tierce
