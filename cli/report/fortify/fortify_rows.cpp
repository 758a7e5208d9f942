#include "cli/read/quantity_text.h"
#include "cli/report/fortify/fortify.h"
#include "cli/report/fortify/fortify_scale.h"
#include "cli/report/label/label_words.h"
#include "cli/write/parts.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

using View = FortifyView;
constexpr Figure kNumber = Figure::exact_number;

template <auto Member>
Value in_plan(const View& of) {
  return of.plan.*Member;
}
template <auto Member>
Value in_wish(const View& of) {
  return of.asked.*Member;
}

const char* sugar_source(const View& of) {
  if (of.plan.sugar_inferred) return "inferred";
  if (std::holds_alternative<double>(of.asked.sugar)) return "stated";
  return of.asked.refractometer ? "refractometer" : "hydrometer";
}

constexpr Field<View> kMustFields[] = {
    {"volume_L", "", Figure::litres, "litres", [](auto& of) -> Value { return of.plan.must.volume_l; }, kAlways},
    {"sugar_g_L", "", Figure::grams_per_litre, "its sugar before it ferments",
     [](auto& of) -> Value { return of.plan.must.sugar_g_l; }, kAlways},
    {"sugar_from", "", Figure::text, "where the sugar comes from: stated, or worked out from what was read",
     of<sugar_source>},
    {"sugar_g_L_per_pct", "", kNumber, "sugar that makes 1 %vol",
     [](auto& of) -> Value { return of.plan.must.sugar_g_l_per_pct; }, kAlways},
    {"other_extract_g_L", "", Figure::grams_per_litre, "extract beside sugar, by the must table",
     in_plan<&FortifyPlan::other_extract_g_l>},
    {"temperature_C", "", kNumber, "of the must when it is read", in_wish<&FortifyWish::temperature_c>, kAlways},
    {"fruit_kg", "", kNumber, "fruit, where that was given", in_wish<&FortifyWish::fruit_kg>},
    {"yield_L_kg", "", kNumber, "litres of must from a kilogram of it", in_wish<&FortifyWish::must_l_per_kg>},
};
constexpr Shape<View> kMust{"must", "The must that is to be fortified.", kMustFields};

constexpr Field<View> kArrestFields[] = {
    {"alcohol_pct", "", Figure::alcohol_pct, "alcohol made so far",
     [](auto& of) -> Value { return of.plan.arrest.alcohol_pct; }, kAlways},
    {"sugar_g_L", "", Figure::grams_per_litre, "sugar left", [](auto& of) -> Value { return of.plan.arrest.sugar_g_l; },
     kAlways},
    {"reading", "", kNumber, "what the hydrometer shows then, in the unit of `reading_unit`",
     in_plan<&FortifyPlan::arrest_mark>},
    {"sg_20C", "", kNumber, "the same as SG at 20 °C", in_plan<&FortifyPlan::arrest_sg_20c>},
    {"alcohol_pct_per_sg", "", kNumber, "%vol for one unit of SG near it: what an error of the reading costs",
     in_plan<&FortifyPlan::alcohol_pct_per_sg>},
};
constexpr Shape<View> kArrest{"arrest", "The moment at which the ferment is arrested.", kArrestFields};

constexpr Field<Fortified> kAdditiveFields[] = {
    {"alcohol_pct", "", Figure::alcohol_pct, "strength that the rule promises for the spirit put in",
     of<&Fortified::additive_alcohol_pct>, kAlways},
    {"error_pct", "", Figure::alcohol_change, "that, less the strength by mass", of<&Fortified::additive_error_pct>,
     kAlways},
    {"spirit_L", "", Figure::litres, "spirit that the rule asks for", of<&Fortified::additive_spirit_l>, kOrNull},
};
constexpr Shape<Fortified> kAdditive{"additive", "The same by the additive rule (Pearson's square), and its error.",
                                     kAdditiveFields};

constexpr Field<View> kDrumFields[] = {
    {"size_L", "", Figure::litres, "litres of one", in_wish<&FortifyWish::drum_l>, kAlways},
    {"count", "", Figure::count, "whole drums to order", [](auto& of) -> Value { return of.plan.order.drums; },
     kAlways},
    {"left_over_L", "", Figure::litres, "spirit left over", [](auto& of) -> Value { return of.plan.order.left_l; },
     kAlways},
};
constexpr Shape<View> kDrums{"drums", "The drums in which the spirit comes.", kDrumFields};

/// A row of the night, and the scale of its mark.
struct NightView : NightRow {
  Scale read;
};
/// One decimal below the other.
Value mark_shown(const NightView& row) {
  if (!is_known(row.mark)) return "-";
  std::string text = fixed_text(row.mark, known_decimals_of(row.read));
  return text.insert(0, text.size() < 5 ? 5 - text.size() : 0, ' ');
}
template <auto Member>
Value in_must(const NightView& row) {
  return row.must.*Member;
}
template <auto Member>
Value in_wine(const NightView& row) {
  return row.wine.*Member;
}

constexpr Field<NightView> kNightFields[] = {
    {"reading_shown", "", Figure::text, "what the hydrometer shows", mark_shown, kOnlyInTables},
    {"reading", "", kNumber, "what the hydrometer shows, in the unit of `reading_unit`", of<&NightView::mark>},
    {"sg_20C", "", kNumber, "the same as SG at 20 °C", of<&NightView::sg_20c>},
    {"must_alcohol_pct", "alcohol\nmade", Figure::alcohol_pct, "alcohol made so far",
     in_must<&MustAtArrest::alcohol_pct>, kAlways},
    {"must_sugar_g_L", "sugar\nleft", Figure::grams_per_litre, "sugar left", in_must<&MustAtArrest::sugar_g_l>,
     kAlways},
    {"spirit_L", "spirit\nto add", Figure::small_litres, "spirit to add now", in_wine<&Fortified::spirit_l>, kAlways},
    {"volume_L", "wine:\nvolume", Figure::small_litres, "wine that comes out", in_wine<&Fortified::volume_l>, kAlways},
    {"alcohol_pct", "\nstrength", Figure::alcohol_pct, "its strength", in_wine<&Fortified::alcohol_pct>, kAlways},
    {"sugar_g_L", "\nsugar", Figure::grams_per_litre, "its sugar", in_wine<&Fortified::sugar_g_l>, kAlways},
    {"planned", "", Figure::flag, "the arrest that is planned", of<&NightView::planned>},
    {"is_arrest", "", Figure::text, "which one is",
     [](auto& row) -> Value { return row.planned ? "<- the arrest" : ""; }, kOnlyInTables},
};
constexpr Shape<NightView> kNight{"night", "One row of the table for the night.", kNightFields};

std::vector<NightView> night_of(const View& of) {
  std::vector<NightView> rows;
  for (const NightRow& row : of.plan.night) rows.push_back({row, of.plan.scale});
  return rows;
}

Value rule_quantity(const Judgement& row) { return row.quantity == "not in the book" ? "" : row.quantity; }
Value here_shown(const Judgement& row) { return row.because != Because::not_known ? value_text(row) : "-"; }

constexpr Field<Judgement> kRuleFields[] = {
    {"rule", "rule", Figure::text, "its short name", [](auto& row) -> Value { return row.rule->id; }},
    {"what", "", Figure::text, "what it limits", [](auto& row) -> Value { return row.rule->about; }},
    {"on", "on", Figure::text, "what is held against it", rule_quantity, kOnlyInTables},
    {"asks", "asks", Figure::text, "what it asks, in words",
     [](auto& row) -> Value { return with_plain_spaces(limit_text(row)); }},
    {"limit", "", kNumber, "the limit", of<&Judgement::limit>},
    {"value", "", kNumber, "what there is here", of<&Judgement::value>},
    {"here", "here", Figure::text, "what there is here", here_shown, kOnlyInTables},
    {"unit", "", Figure::text, "unit of both", of<&Judgement::unit>},
    {"verdict", "so far", Figure::word, "`open`: cannot be told from what is known",
     [](auto& row) -> Value { return verdict_word(row.verdict); }, kAlways, "holds|fails|open"},
    {"known", "", Figure::text, "how well the rule is known: read, from memory",
     [](auto& row) -> Value { return known_word(row.rule->source.known); }},
    {"sources", "", Figure::texts, "texts it stands in",
     [](auto& row) -> Value { return Value::List{row.rule->source.where}; }},
    {"note", "", Figure::text, "what else to know", [](auto& row) -> Value { return row.rule->source.note; }},
};
constexpr Shape<Judgement> kRule{"rule", "What a rule asks, as information and no legal advice.", kRuleFields};

Value text_or_null(const std::string& text) { return text.empty() ? Value() : Value(text); }
Value block_of(const View& of) {
  if (of.asked.lot.empty()) return {};
  std::string text;
  for (const std::string& line : lot_block(of)) text += line + '\n';
  return text;
}
template <auto Member>
Value of_wine(const View& of) {
  return of.plan.wine.*Member;
}

constexpr Field<View> kFortifyFields[] = {
    object<View>("must", "the must", kMust, part<kMust>),
    object<View>("arrest", "the arrest", kArrest, part<kArrest>),
    {"spirit_pct", "", Figure::alcohol_pct, "strength of the spirit", in_wish<&FortifyWish::spirit_pct>, kAlways},
    {"spirit_L", "", Figure::litres, "spirit to add", of_wine<&Fortified::spirit_l>, kAlways},
    {"spirit_alcohol_L", "", Figure::pure_alcohol, "its pure alcohol",
     [](auto& of) -> Value { return of.plan.order.pure_l; }, kAlways},
    {"spirit_proof_gal", "", Figure::proof_gallons, "the same in US proof gallons",
     [](auto& of) -> Value { return of.plan.order.proof_gallons; }, kAlways},
    object<View>(
        "drums", "whole drums, if a size is given", kDrums,
        [](auto& of) { return is_known(of.plan.order.drums) ? object_of(of, kDrums) : Value(); }, kOrNull),
    {"volume_L", "", Figure::litres, "wine that comes out", of_wine<&Fortified::volume_l>, kAlways},
    {"contraction_L", "", Figure::litres, "must and spirit less wine", of_wine<&Fortified::contraction_l>, kAlways},
    {"mixed_alcohol_pct", "", Figure::alcohol_pct, "strength just after mixing",
     [](auto& of) -> Value { return of.plan.mixed.alcohol_pct; }, kAlways},
    {"mixed_sugar_g_L", "", Figure::grams_per_litre, "sugar just after mixing",
     [](auto& of) -> Value { return of.plan.mixed.sugar_g_l; }, kAlways},
    {"run_on_g_L", "", Figure::grams_per_litre, "sugar that the yeast still eats after the spirit",
     in_wish<&FortifyWish::run_on_g_l>, kAlways},
    {"alcohol_pct", "", Figure::alcohol_pct, "strength in the end", of_wine<&Fortified::alcohol_pct>, kAlways},
    {"sugar_g_L", "", Figure::grams_per_litre, "sugar in the end", of_wine<&Fortified::sugar_g_l>, kAlways},
    {"total_alcohol_pct", "", Figure::alcohol_pct, "strength with what the sugar would still give",
     of_wine<&Fortified::total_alcohol_pct>, kAlways},
    {"spirit_share_of_must_pct", "", kNumber, "litres of spirit for 100 L of must",
     of_wine<&Fortified::spirit_share_of_must_pct>, kAlways},
    {"spirit_alcohol_share_of_must_pct", "", kNumber, "its pure alcohol for 100 L of must",
     of_wine<&Fortified::spirit_alcohol_share_of_must_pct>, kAlways},
    {"spirit_alcohol_share_of_wine_pct", "", kNumber, "its pure alcohol for 100 L of wine",
     in_plan<&FortifyPlan::spirit_alcohol_share_of_wine_pct>, kAlways},
    {"spirit_share_of_alcohol_pct", "", kNumber, "its part of all alcohol, %",
     of_wine<&Fortified::spirit_share_of_alcohol_pct>, kAlways},
    {"spirit_share_of_ingredients_pct", "", kNumber, "its part of the litres that went in, %",
     of_wine<&Fortified::spirit_share_of_wine_pct>, kAlways},
    {"must_share_of_ingredients_pct", "", kNumber, "the must's part of them, %",
     of_wine<&Fortified::must_share_of_wine_pct>, kAlways},
    object<View>("additive", "by the additive rule", kAdditive,
                 [](auto& of) { return object_of(of.plan.mixed, kAdditive); }),
    {"reading_unit", "", Figure::text, "scale of the hydrometer: SG, Bx, Be or °Oe",
     [](auto& of) -> Value { return unit_of(of.plan.scale); }},
    list<View>("night", "the table for the night", kNight, [](auto& of) { return list_of(night_of(of), kNight); }),
    list<View>("rules", "what the rules on the name of `--designation` ask; empty without one", kRule,
               [](auto& of) { return list_of(of.rules, kRule); }),
    {"lot_yaml", "", Figure::text, "the block for `lots:`, if `--lot` asks for it", block_of, kOrNull},
    {"cautions", "", Figure::texts, "what to take care of", [](auto&) -> Value { return fortify_cautions(); }},
    {"designation", "", Figure::text, "the name that the wine is to carry",
     [](auto& of) { return text_or_null(of.asked.designation); }, kOrNull},
};

}  // namespace

const Shape<FortifyView> kFortifyOutput{"fortify", "When to arrest a ferment, how much spirit, what comes out.",
                                        kFortifyFields};

Table night_table(const FortifyView& view) {
  const std::string read =
      "hydrometer at\n" + trimmed_text(view.asked.temperature_c, 1) + "\xC2\xA0°C, in " + unit_of(view.plan.scale);
  return table_of(night_of(view), kNight,
                  {{"reading_shown", read.c_str()},
                   "must_alcohol_pct",
                   "must_sugar_g_L",
                   "spirit_L",
                   "volume_L",
                   "alcohol_pct",
                   "sugar_g_L",
                   "is_arrest"});
}

Table night_csv(const FortifyView& view) {
  Table table = table_of(night_of(view), kNight);
  table.columns.front().key += std::string("_") + (view.plan.scale == Scale::oechsle ? "Oe" : unit_of(view.plan.scale));
  return table;
}

Table rule_table(const FortifyView& view) {
  return table_of(view.rules, kRule, {"rule", "on", "asks", "here", "verdict"});
}

}  // namespace tierce
