#include "cli/report/dose_rows.h"

#include "cli/read/units.h"
#include "cli/report/dose_words.h"
#include "cli/report/so2_text.h"
#include "cli/write/parts.h"

namespace tierce {
namespace {

constexpr Figure kMg = Figure::milligrams_per_litre, kFineMg = Figure::fine_milligrams_per_litre;
constexpr Figure kTenths = Figure::tenths, kHundredths = Figure::ph;  // both without a unit

using Moment = SulfurMoment;
using Now = SulfurNow;
using Range = SulfurRange;

constexpr Field<Moment> kLevelFields[] = {
    {"so2_free_mg_L", "", kMg, "free SO2 as doses are planned with, or as measured that day: an estimate",
     at<&Moment::now, &Now::free_mg_l, &Range::planned>},
    {"so2_free_low_mg_L", "", kMg, "free, at the least", at<&Moment::now, &Now::free_mg_l, &Range::low>},
    {"so2_free_high_mg_L", "", kMg, "free, at the most", at<&Moment::now, &Now::free_mg_l, &Range::high>},
    {"so2_bound_mg_L", "\nbound", kMg, "bound, as the book reckons it", of<&Moment::bound_mg_l>},
    {"so2_total_mg_L", "\ntotal", kMg, "free and bound", at<&Moment::now, &Now::total_mg_l>},
    {"so2_molecular_mg_L", "", kFineMg, "molecular, from the free of the book",
     at<&Moment::molecular_mg_l, &Range::planned>},
    {"so2_molecular_low_mg_L", "", kFineMg, "molecular, at the least", at<&Moment::molecular_mg_l, &Range::low>},
    {"so2_molecular_high_mg_L", "", kFineMg, "molecular, at the most", at<&Moment::molecular_mg_l, &Range::high>},
    {"so2_molecular_other_pk_mg_L", "", kFineMg, "molecular, planned, by the other pK: 1.81 or oiv",
     at<&Moment::molecular_other_mg_l, &Range::planned>},
    {"acetaldehyde_mg_L", "", kMg, "acetaldehyde that can bind SO2", at<&Moment::now, &Now::acetaldehyde_mg_l>},
    {"pH", "", Figure::ph, "pH", at<&Moment::now, &Now::ph>},
    {"alcohol_pct", "", Figure::alcohol_pct, "strength, %vol", at<&Moment::now, &Now::alcohol_pct>},
    {"sugar_g_L", "", Figure::grams_per_litre, "glucose and fructose", at<&Moment::now, &Now::sugar_g_l>},
    {"sulfate_g_L", "", Figure::fine_grams_per_litre, "sulfate, as potassium sulfate",
     at<&Moment::now, &Now::sulfate_g_l>},
};
const Shape<Moment> kLevel{"so2_level",
                           "SO2 of a wine at one moment, mg per litre. Free and molecular SO2 are estimates between a "
                           "low and a high bound.",
                           kLevelFields};

constexpr Field<NextDraw> kAtDrawFields[] = {
    all_of<NextDraw>(kLevel, part<kLevel, &NextDraw::wine>),
    {"date", "", Figure::date, "day of the draw", at<&NextDraw::wine, &Moment::date>},
    {"name", "", Figure::text, "name of the draw", of<&NextDraw::name>},
};
const Shape<NextDraw> kAtDraw{"so2_at_draw", "A level on the day of a draw.", kAtDrawFields};

Value what_is_asked(const Dose& dose) {
  constexpr const char* kKinds[] = {"so2", "metabisulfite", "free", "molecular"};
  return kKinds[static_cast<std::size_t>(dose.kind)];
}

constexpr Field<Dose> kAskedFields[] = {
    {"what", "", Figure::word, "an addition, salt weighed for all, or a level wanted", what_is_asked, kAlways,
     "so2|metabisulfite|free|molecular"},
    {"value", "", Figure::exact_number, "how much", of<&Dose::value>, kAlways},
    {"unit", "", Figure::word, "unit of the value",
     [](auto& dose) -> Value { return dose.kind == Dose::Kind::metabisulfite ? "g" : "mg/L"; }, kAlways, "mg/L|g"},
    {"at_most_total_mg_L", "", kMg, "total that may stand just after; null: no such bound",
     of<&Dose::at_most_total_mg_l>},
};
const Shape<Dose> kAsked{"asked_dose", "What the file asks for.", kAskedFields};

/// So much SO2, and the salt that brings it.
struct Products {
  Products(double grams, double yield) : so2_g(grams), salt_g(metabisulfite_grams(grams, yield)) {}
  explicit Products(const VesselView& of) : Products(of.vessel.so2_g, of.yield) {}
  explicit Products(const DoseView& of)
      : Products(so2_grams(of.dose.record.dose_mg_l, of.dose.record.litres), of.outlook.scenario.metabisulfite_yield) {}
  double so2_g, salt_g;
};

constexpr Field<Products> kProductFields[] = {
    {"so2_g", "SO2, g", kTenths, "SO2, grams", of<&Products::so2_g>, kAlways},
    {"metabisulfite_g", "salt, g", kTenths, "potassium metabisulfite, grams, at the scenario's yield",
     of<&Products::salt_g>, kAlways},
    {"so2_solution_5_pct_mL", "SO2 5 %\nmL", kTenths, "solution of 50 g SO2 a litre, mL",
     [](auto& of) -> Value { return solution_ml(of.so2_g, 5.0); }, kAlways},
    {"so2_solution_6_pct_mL", "SO2 6 %\nmL", kTenths, "solution of 60 g SO2 a litre, mL",
     [](auto& of) -> Value { return solution_ml(of.so2_g, 6.0); }, kAlways},
    {"metabisulfite_solution_10_pct_mL", "salt 10 %\nmL", kTenths,
     "solution of 100 g potassium metabisulfite a litre, mL",
     [](auto& of) -> Value { return solution_ml(of.salt_g, 10.0); }, kAlways},
};
const Shape<Products> kProducts{"products", "What brings so much SO2: one of these.", kProductFields};

template <class View>
Value products(const View& of) {
  return object_of(Products(of), kProducts);
}

template <class View>
Value salt_oz(const View& of) {
  for (const Unit& unit : units_of(Measure::mass))
    if (unit.name == "oz") return Products(of).salt_g / unit.factor;
  return {};
}

constexpr Field<Tablets> kTabletFields[] = {
    {"count", "", Figure::whole, "how many", of<&Tablets::count>},
    {"over_g", "", kTenths, "SO2 beyond what is wanted, grams", of<&Tablets::overshoot_g>, kAlways},
};
const Shape<Tablets> kTablets{"tablets", "Whole tablets.", kTabletFields};

template <int TabletG>
Value tablets(const VesselView& of) {
  return object_of(whole_tablets(of.vessel.so2_g, TabletG), kTablets);
}

template <int TabletG>
Value tablets_text(const VesselView& of) {
  const Tablets tablets = whole_tablets(of.vessel.so2_g, TabletG);
  return std::to_string(tablets.count) + " (+" + metric_text(tablets.overshoot_g, kTenths) + ")";
}

constexpr Field<VesselView> kVesselFields[] = {
    all_of<VesselView>(kProducts, products),
    {"name", "vessel", Figure::text, "mark of the vessel", at<&VesselView::vessel, &VesselDose::name>},
    {"volume_L", "holds", Figure::litres, "litres in it when dosed", at<&VesselView::vessel, &VesselDose::litres>,
     kAlways},
    object<VesselView>("tablets_2_g", "tablets of 2 g SO2", kTablets, tablets<2>),
    object<VesselView>("tablets_5_g", "tablets of 5 g SO2", kTablets, tablets<5>),
};
const Shape<VesselView> kVessel{"vessel_dose", "The dose of one vessel.", kVesselFields};

constexpr Field<VesselView> kVesselLineFields[] = {
    all_of<VesselView>(kVessel, part<kVessel>),
    {"metabisulfite_oz", "salt, oz", kHundredths, "potassium metabisulfite, ounces", salt_oz},
    {"small_tablets", "2 g tabs\n(over, g)", Figure::text, "tablets, and what is over", tablets_text<2>},
    {"large_tablets", "5 g tabs\n(over, g)", Figure::text, "tablets, and what is over", tablets_text<5>},
};

std::string id_of(const LimitOnDose& on) { return on.limit->rule->id; }
const Shortfall& shortfall_of(const LimitOnDose& on) { return *on.shortfall; }

constexpr Field<LimitOnDose> kHeadroomFields[] = {
    {"limit", "", Figure::text, "id of the limit", at<id_of>},
    {"just_after_mg_L", "", kMg, "just after the dose", of<&LimitOnDose::room_after_mg_l>},
    {"at_draw_mg_L", "", kMg, "at the next draw; null where that is not from this tier",
     of<&LimitOnDose::room_at_draw_mg_l>},
};
const Shape<LimitOnDose> kHeadroom{"headroom", "What a limit leaves; negative where it is passed.", kHeadroomFields};

constexpr Field<LimitOnDose> kShortfallFields[] = {
    {"limit", "", Figure::text, "id of the limit", at<id_of>},
    {"limit_mg_L", "", kMg, "the limit, total SO2", at<&LimitOnDose::limit, &SulfurLimit::limit_mg_l>, kAlways},
    {"wanted_total_mg_L", "", kMg, "total SO2 that the level takes",
     at<shortfall_of, &Shortfall::wanted_total_mg_l, &Range::planned>, kAlways},
    {"perhaps", "", Figure::flag, "the level can stand if less binds", at<shortfall_of, &Shortfall::perhaps>},
    {"acetaldehyde_binds_mg_L", "", kMg, "SO2 that the acetaldehyde can bind",
     at<shortfall_of, &Shortfall::acetaldehyde_binds_mg_l>},
    {"full_before", "", Figure::flag, "the wine holds the limit before any dose",
     at<shortfall_of, &Shortfall::full_before>},
    object<LimitOnDose>("best", "the most that can stand", kLevel, part<kLevel, shortfall_of, &Shortfall::best>),
};
const Shape<LimitOnDose> kShortfall{"shortfall", "Why a level cannot stand under a limit.", kShortfallFields};

using Oxygen = OxygenBudget;
constexpr Field<Oxygen> kOxygenFields[] = {
    {"air_low_mg_L", "", kMg, "by one filling of the air space, at the least", of<&Oxygen::air_low_mg_l>, kAlways},
    {"air_high_mg_L", "", kMg, "the same, at the most", of<&Oxygen::air_high_mg_l>, kAlways},
    {"wood_low_mg_L", "", kMg, "by what comes through the wood of a barrel, at the least", of<&Oxygen::wood_low_mg_l>,
     kAlways},
    {"wood_high_mg_L", "", kMg, "the same, at the most", of<&Oxygen::wood_high_mg_l>, kAlways},
};
const Shape<Oxygen> kOxygen{"oxygen_estimate",
                            "SO2 that oxygen could use up in a year, mg/L; a rough estimate, no part of the reckoning.",
                            kOxygenFields};

std::optional<NextDraw> bottled(const PlannedDose& dose) {
  return dose.next && dose.next->from_this_row ? dose.next : std::nullopt;
}

constexpr Field<PlannedDose> kFigureFields[] = {
    {"dose_mg_L", "dose\nmg/L", kTenths, "SO2 added, mg per litre of its wine",
     at<&PlannedDose::record, &DoseRecord::dose_mg_l>, kAlways},
    {"dose_low_end_mg_L", "", kTenths, "SO2 that the low reckoning would take",
     at<&PlannedDose::record, &DoseRecord::low_end_mg_l>},
    {"wanted_mg_L", "", kTenths, "SO2 that the level asked would take",
     at<&PlannedDose::record, &DoseRecord::wanted_mg_l, &Range::planned>, kAlways},
    {"held_down", "", Figure::flag, "less than wanted, by `at most`", at<held_down>},
    {"volume_L", "\ninto", Figure::litres, "litres dosed", at<&PlannedDose::record, &DoseRecord::litres>, kAlways},
    object<PlannedDose>("asked", "what the file asks for", kAsked, part<kAsked, &PlannedDose::asked>),
    object<PlannedDose>("before", "what the blend holds before", kLevel, part<kLevel, &PlannedDose::before>),
    object<PlannedDose>("just_after", "just after the dose", kLevel, part<kLevel, &PlannedDose::after>),
    object<PlannedDose>("next_draw", "the tier's wine at the next draw, if one follows", kAtDraw,
                        part<kAtDraw, &PlannedDose::next>, kOrAbsent),
    object<PlannedDose>("bottling", "the same where it is the wine drawn, bottled that day", kAtDraw,
                        part<kAtDraw, bottled>, kOrAbsent),
    object<PlannedDose>("oxygen_estimate", "what oxygen could use up", kOxygen, part<kOxygen, &PlannedDose::oxygen>),
};
const Shape<PlannedDose> kFigures{"dose_figures", "A dose, and the wine before and after it.", kFigureFields};

const PlannedDose& dose_of(const DoseView& of) { return of.dose; }
const std::string& tier_of(const DoseView& of) { return of.outlook.scenario.name_of(of.dose.record.row); }

Value vessels_of(const DoseView& of) {
  Value::List vessels;
  for (const VesselDose& vessel : of.dose.vessels)
    vessels.push_back(object_of(VesselView{of.outlook.scenario.metabisulfite_yield, vessel}, kVessel));
  return vessels;
}

Value headroom_of(const DoseView& of) {
  return list_of(limits_on(of.outlook.scenario, of.schedule.so2, of.dose), kHeadroom);
}

Value shortfalls_of(const DoseView& of) {
  auto limits = limits_on(of.outlook.scenario, of.schedule.so2, of.dose);
  std::erase_if(limits, [](const LimitOnDose& one) { return !one.shortfall; });
  return list_of(limits, kShortfall);
}

constexpr Field<DoseView> kPlannedFields[] = {
    all_of<DoseView>(kProducts, products),
    {"tier", "", Figure::text, "tier or tank", at<tier_of>},
    all_of<DoseView>(kFigures, part<kFigures, dose_of>),
    list<DoseView>("vessels", "vessel by vessel", kVessel, vessels_of),
    list<DoseView>("headroom", "room under each limit that applies", kHeadroom, headroom_of),
    list<DoseView>("not_reachable", "limits under which the level asked cannot stand", kShortfall, shortfalls_of),
};
std::string asked_or_held(const PlannedDose& dose) { return asked_text(dose.asked) + (held_down(dose) ? "*" : ""); }
std::string molecular_of(const Moment& moment) { return so2_text(moment.molecular_mg_l, kFineMg); }

template <std::string (*Text)(const Moment&)>
Value at_draw(const DoseView& of) {
  return of.dose.next ? Text(of.dose.next->wine) : "";
}
std::string free_of(const Moment& moment) { return free_text(moment.now); }

constexpr Field<DoseView> kLineFields[] = {
    {"date", "date", Figure::date, "day of the dose", at<dose_of, &PlannedDose::record, &DoseRecord::date>},
    {"tier", "tier", Figure::text, "tier or tank", at<tier_of>},
    {"origin", "", Figure::word, "where the dose stands",
     [](auto& of) -> Value { return of.dose.record.past ? "book" : "plan"; }, kAlways, "book|plan"},
    {"asked", "", Figure::text, "what the file asks for", at<dose_of, &PlannedDose::asked, asked_text>},
    {"asked_or_held", "\nasked, mg/L", Figure::text, "the same, marked where `at most` holds it down",
     at<dose_of, asked_or_held>},
    {"other_low_end", "low\nend", kTenths, "the low end where it differs", at<dose_of, low_end_text>},
    {"metabisulfite_oz", "\nsalt, oz", kHundredths, "potassium metabisulfite, ounces", salt_oz},
    {"free_before", "before it\nfree, mg/L", Figure::text, "", at<dose_of, &PlannedDose::before, free_of>},
    {"free_after", "just after\nfree, mg/L", Figure::text, "", at<dose_of, &PlannedDose::after, free_of>},
    {"molecular_after", "mg/L\nmolecular", Figure::text, "", at<dose_of, &PlannedDose::after, molecular_of>},
    {"free_at_draw", "next draw\nfree, mg/L", Figure::text, "", at_draw<free_of>},
    {"molecular_at_draw", "mg/L\nmolecular", Figure::text, "", at_draw<molecular_of>},
    all_of<DoseView>(kProducts, products),
    all_of<DoseView>(kFigures, part<kFigures, dose_of>),
};

}  // namespace

const Shape<DoseView> kPlannedDose{"planned_dose", "A dose with what it does.", kPlannedFields};
const Shape<DoseView> kDoseLine{"dose_line", "A dose as a row of a table.", kLineFields};
const Shape<VesselView> kVesselLine{"vessel_line", "The dose of one vessel as a row of a table.", kVesselLineFields};

}  // namespace tierce
