// What was lost: gauges against the book, losses by cause, and each year beside what is allowed.
#include "cli/report/losses.h"

#include <algorithm>
#include <cmath>

#include "cli/read/rule_book.h"
#include "cli/report/foot.h"
#include "cli/report/label/label_words.h"
#include "cli/report/report.h"
#include "cli/write/write.h"
#include "engine/measure/balance.h"

namespace tierce {
namespace {

using Cause = std::map<std::string, double>::value_type;

constexpr Field<Cause> kCauseFields[] = {
    {"cause", "cause", Figure::text, "leak, lees, filling, soakage, what a vessel was taken out for ...",
     of<&Cause::first>},
    {"volume_L", "volume", Figure::small_litres, "litres", of<&Cause::second>},
};
constexpr Shape<Cause> kCause{"cause", "Losses of one cause.", kCauseFields};

/// A year that the book covers but for a day or two.
bool is_whole(const YearLoss& year) { return year.years > 0.99; }

Value verdict_of_year(const YearLossRow& of) {
  constexpr double kRounding = 1e-9;  // a loss at the allowance itself is within it
  const bool over = of.lost_l() > of.allowed_l(of.allowance) * (1.0 + kRounding);
  if (!is_whole(of)) return over ? "over so far" : "within so far";
  return over ? "OVER" : "within";
}

constexpr Field<YearLossRow> kYearFields[] = {
    {"year", "year", Figure::whole, "calendar year", of<&YearLoss::year>, kAlways},
    {"years", "years", Figure::exact_number, "part of the year that the book covers", of<&YearLoss::years>},
    {"days", "days", Figure::whole, "of the year, that the book covers",
     [](auto& of) -> Value { return std::round(365.25 * of.years); }, kOnlyInTables},
    {"mean_stock_L", "mean\nstock", Figure::litres, "held, on average over that part", of<&YearLoss::mean_stock_l>},
    {"evaporated_L", "evaporated", Figure::small_litres, "left by evaporation", of<&YearLoss::evaporated_l>},
    {"gauge_L", "missing", Figure::small_litres, "found missing by gauges; negative: found in excess",
     of<&YearLoss::gauge_l>},
    {"lost_L", "lost", Figure::small_litres, "left with losses of known cause", of<&YearLoss::known_l>},
    {"causes", "", Figure::list, "those losses by cause", [](auto& of) -> Value { return list_of(of.causes, kCause); },
     kAlways, nullptr, &kCause},
    {"all_L", "all", Figure::small_litres, "the three together", of<&YearLoss::lost_l>},
    {"all_alcohol_L", "pure\nalcohol", Figure::pure_alcohol, "pure alcohol in them", of<&YearLoss::alcohol_l>},
    {"per_year", "a year", Figure::share, "part of the mean stock that is lost in a year", of<&YearLoss::per_year>},
    {"allowed_L", "allowed", Figure::small_litres, "what the allowance lets go; null where none is stated",
     [](auto& of) -> Value { return of.allowed_l(of.allowance); }},
    {"verdict", "that is", Figure::text, "OVER or within the allowance", verdict_of_year, kOnlyInTables},
};

struct GaugeRow : GaugeCheck {
  const Scenario& scenario;
};

Value verdict_of_gauge(const GaugeRow& of) {
  if (!is_known(of.error_l)) return "no error stated";
  return of.beyond() ? "BEYOND" : "within";
}

constexpr Field<GaugeRow> kGaugeFields[] = {
    {"date", "on", Figure::date, "day of the gauge", [](auto& of) -> Value { return of.reading->date; }},
    {"place", "gauge of", Figure::text, "tier, vessel or tank",
     [](auto& of) -> Value { return place_name(of.scenario, of.reading->row, of.reading->vessel); }},
    {"book_L", "book", Figure::litres, "what the book had", [](auto& of) -> Value { return of.reading->book; }},
    {"gauge_L", "read", Figure::litres, "what was found, at 20 °C",
     [](auto& of) -> Value { return of.reading->measured; }},
    {"missing_L", "missing", Figure::small_litres, "book less gauge", of<&GaugeCheck::missing_l>},
    {"error_L", "error", Figure::small_litres,
     "root of the sum of the squares of this error and the last one; null: none stated", of<&GaugeCheck::error_l>},
    {"beyond", "beyond", Figure::flag, "further apart than that error",
     [](auto& of) { return is_known(of.error_l) ? Value(of.beyond()) : Value(); }, kOrNull},
    {"verdict", "the difference is", Figure::text, "BEYOND or within the error", verdict_of_gauge, kOnlyInTables},
};
constexpr Shape<GaugeRow> kGaugeCheck{"gauge_check", "A gauge beside the book.", kGaugeFields};

struct LossRow : LossRecord {
  const Scenario& scenario;
};

constexpr Field<LossRow> kLossFields[] = {
    {"date", "on", Figure::date, "day of the loss", of<&LossRecord::date>},
    {"place", "lost from", Figure::text, "tier, vessel or tank",
     [](auto& of) -> Value { return place_name(of.scenario, of.row, of.vessel); }},
    {"cause", "cause", Figure::text, "why", of<&LossRecord::cause>},
    {"volume_L", "volume", Figure::small_litres, "litres", of<&LossRecord::litres>},
    {"alcohol_L", "pure alcohol", Figure::pure_alcohol, "litres of pure alcohol", of<&LossRecord::alcohol_l>},
};
constexpr Shape<LossRow> kLoss{"loss", "Wine lost for a known cause.", kLossFields};

Value values_of(const Judgement& row) {
  Value::List values;
  for (const LabelReading& reading : row.readings) values.emplace_back(reading.low);
  return values;
}

constexpr Field<Judgement> kRuleFields[] = {
    {"rule", "rule", Figure::text, "id of the rule", [](auto& of) -> Value { return of.rule->id; }},
    {"from", "from", Figure::date, "first day of the period", [](auto& of) -> Value { return of.year->first; }},
    {"to", "to", Figure::date, "last day of the period", [](auto& of) -> Value { return of.year->last; }},
    {"part", "part", Figure::exact_number, "of the period that the book covers, in years",
     [](auto& of) -> Value { return of.year->part; }},
    {"loss_L", "lost", Figure::litres, "lost in it", [](auto& of) -> Value { return of.year->loss_l; }},
    {"on_hand_L", "on hand", Figure::litres, "on hand when it began",
     [](auto& of) -> Value { return of.year->on_hand_l; }},
    {"in_bond_L", "in bond", Figure::litres, "received in bond in it, as lots state",
     [](auto& of) -> Value { return of.year->in_bond_l; }},
    {"not_stated_L", "not stated", Figure::litres, "new wine of lots that do not say how they came",
     [](auto& of) -> Value { return of.year->not_stated_l; }},
    {"fermented_L", "fermented", Figure::litres,
     "still wine that fermentation made in it; null where a lot does not say",
     [](auto& of) -> Value { return of.year->fermented_l; }},
    {"values_pct", "", Figure::numbers, "the loss in %, in each way that it may have to be reckoned", values_of},
    {"limit_pct", "limit", Figure::exact_number, "the limit in %", of<&Judgement::limit>},
    {"verdict", "verdict", Figure::word, "how the figure stands to the limit",
     [](auto& of) -> Value { return verdict_word(of.verdict); }, kAlways, "holds|fails|open"},
    {"says", "verdict", Figure::text, "whether a claim for the loss is needed, in words",
     [](auto& of) -> Value { return claim_word(of); }},
    {"source", "source", Figure::text, "where the text stands",
     [](auto& of) -> Value { return of.rule->source.where; }},
    {"period", "losses of", Figure::text, "the year or other period",
     [](auto& of) -> Value { return loss_row_name(*of.year); }, kOnlyInTables},
    {"found", "found", Figure::text, "the loss, as the rule reckons it",
     [](auto& of) -> Value { return value_text(of); }, kOnlyInTables},
    {"limit", "limit", Figure::text, "the limit in words", [](auto& of) -> Value { return limit_text(of); },
     kOnlyInTables},
};
constexpr Shape<Judgement> kRuleOnLosses{"rule_on_losses", "What a rule says of the losses of one annual period.",
                                         kRuleFields};

std::vector<GaugeRow> gauge_rows(const Outlook& outlook) {
  std::vector<GaugeRow> rows;
  for (const GaugeCheck& check : gauges_against_book(outlook.run)) rows.push_back({check, outlook.scenario});
  return rows;
}

std::vector<LossRow> loss_rows(const Outlook& outlook) {
  std::vector<LossRow> rows;
  for (const LossRecord& loss : outlook.run.losses) rows.push_back({loss, outlook.scenario});
  return rows;
}

/// What the rules of a file's sets say of the losses of each annual period; `rows` point into `years`.
struct RulesOnLosses {
  std::vector<LossYears> years{};
  std::vector<Judgement> rows{};
};

RulesOnLosses rules_on_losses(const Outlook& outlook) {
  RulesOnLosses found;
  const Scenario& scenario = outlook.scenario;
  const auto sets = sets_of(scenario, {});
  if (sets.empty() || outlook.run.looks.empty()) return found;
  const Stock& stock = outlook.run.looks.back();
  LabelFacts facts;
  facts.words = scenario.label;
  const double pct = 100.0 * stock.alcohol.sum() / stock.volume.sum();
  const bool fortified = std::any_of(scenario.lots.begin(), scenario.lots.end(),
                                     [](const Lot& lot) { return lot.spirit && lot.spirit->volume_l > 0.0; });
  if (!facts.words.contains("product") && is_known(pct)) facts.words["product"] = product_by_strength(pct, fortified);
  found.years = losses_by_period(outlook, rules_of(scenario));
  for (const LossYears& years : found.years)
    for (Judgement& row : judge_years(rules_of(scenario), sets, years.periods, facts))
      found.rows.push_back(std::move(row));
  return found;
}

constexpr Field<LossesView> kOutputFields[] = {
    {"reserve", "", Figure::text, "name of the reserve", [](auto& of) -> Value { return of.outlook.scenario.reserve; }},
    {"allowance_per_year", "", Figure::share, "allowed part of the mean stock a year; null: none stated",
     of<&LossesView::allowance>},
    {"years", "", Figure::list, "in order",
     [](auto& of) { return list_of(year_loss_rows(losses_by_year(of.outlook.run), of.allowance), kYearLoss); }, kAlways,
     nullptr, &kYearLoss},
    {"gauges", "", Figure::list, "in order of time",
     [](auto& of) { return list_of(gauge_rows(of.outlook), kGaugeCheck); }, kAlways, nullptr, &kGaugeCheck},
    {"losses", "", Figure::list, "of known cause, in order of time",
     [](auto& of) { return list_of(loss_rows(of.outlook), kLoss); }, kAlways, nullptr, &kLoss},
    {"gap_L", "", Figure::litres, "what does not balance (about 0)",
     [](auto& of) -> Value { return balance_of_volume(of.outlook.run).gap(); }},
    {"rules", "", Figure::list, "what the rules of the file say of each annual period",
     [](auto& of) { return list_of(rules_on_losses(of.outlook).rows, kRuleOnLosses); }, kAlways, nullptr,
     &kRuleOnLosses},
};

/// What the rules of the file say of each annual period of the book.
void add_rules(Document& document, const Outlook& outlook) {
  RulesOnLosses rules = rules_on_losses(outlook);
  std::erase_if(rules.rows, is_idle);
  document.add(table_of(rules.rows, kRuleOnLosses, {"period", "rule", "found", "limit", "says"}));
  std::string about;
  const auto once = [&](const std::string& line) {
    if (about.find(line) == std::string::npos) about += (about.empty() ? "" : " ") + line;
  };
  for (const Judgement& row : rules.rows) {
    once(row.rule->id + ": " + row.rule->about + ", " + source_text(*row.rule) + ".");
    if (row.verdict == Verdict::open) once("Open: " + why_text(row, {}) + ".");
  }
  if (!about.empty()) document.lead(about);
}

/// All that was lost, by what, and the last whole year beside what is allowed.
std::string answer_text(const LossesView& of, Units units) {
  double evaporated_l = 0.0, gauge_l = 0.0, known_l = 0.0;
  if (of.outlook.run.flows.years.empty()) return of.outlook.scenario.reserve + ": nothing is in the book yet.";
  const YearLoss* whole = nullptr;
  const auto years = losses_by_year(of.outlook.run);
  for (const YearLoss& year : years) {
    evaporated_l += year.evaporated_l;
    gauge_l += year.gauge_l;
    known_l += year.known_l;
    if (is_whole(year)) whole = &year;
  }
  const auto litres = [&](double value) { return figure_text(value, Figure::litres, units); };
  std::string text = of.outlook.scenario.reserve + ": " + litres(evaporated_l + gauge_l + known_l) + " gone up to " +
                     day_text(of.outlook.run.flows.years.back().closed) + ": " + litres(evaporated_l) +
                     " evaporated, " + litres(gauge_l) + " missing at gauges, " + litres(known_l) +
                     " lost for a known cause";
  if (whole != nullptr) {
    text += ". In " + std::to_string(whole->year) + " " + figure_text(whole->per_year(), Figure::share, units) +
            " of the mean stock";
    if (is_known(of.allowance)) text += ", " + figure_text(of.allowance, Figure::share, units) + " allowed";
  }
  return text + ".";
}

}  // namespace

const Shape<YearLossRow> kYearLoss{"year_loss", "What was lost in a year, beside what is allowed.", kYearFields};
const Shape<LossesView> kLossesOutput{
    "losses", "What was lost by cause and year, gauges against the book, and the loss beside its allowance.",
    kOutputFields};

std::vector<YearLossRow> year_loss_rows(const std::vector<YearLoss>& years, double allowance) {
  std::vector<YearLossRow> rows;
  for (const YearLoss& year : years) rows.push_back({year, allowance});
  return rows;
}

Table year_loss_table(const std::vector<YearLoss>& years, double allowance, bool with_days) {
  std::vector<Pick> picks = {{"year", "year", Figure::text},
                             "mean_stock_L",
                             "evaporated_L",
                             "gauge_L",
                             "lost_L",
                             "all_L",
                             "per_year",
                             "all_alcohol_L"};
  if (with_days && !std::all_of(years.begin(), years.end(), is_whole)) picks.insert(picks.begin() + 1, "days");
  if (is_known(allowance)) picks.insert(picks.end(), {"allowed_L", "verdict"});
  return table_of(year_loss_rows(years, allowance), kYearLoss, picks);
}

Document losses_report(const LossesView& of, Units units) {
  const Outlook& outlook = of.outlook;
  Document document;
  document.csv = year_loss_table(losses_by_year(outlook.run), of.allowance);
  document.title = answer_text(of, units);
  document.add(year_loss_table(losses_by_year(outlook.run), of.allowance, true));
  for (const GaugeRow& gauge : gauge_rows(outlook))
    if (is_known(gauge.error_l) && gauge.beyond())
      document.warn("The gauge of " + place_name(outlook.scenario, gauge.reading->row, gauge.reading->vessel) + " on " +
                    day_text(gauge.reading->date) +
                    " is BEYOND its error: " + figure_text(gauge.missing_l, Figure::small_litres, units) +
                    " missing, of an error of " + figure_text(gauge.error_l, Figure::small_litres, units) + ".");
  Document more;
  add_rules(more, outlook);
  more.add(table_of(gauge_rows(outlook), kGaugeCheck,
                    {"place", "date", "book_L", "gauge_L", "missing_L", "error_L", "verdict"}));
  more.add(table_of(loss_rows(outlook), kLoss, {"place", "date", "cause", "volume_L", "alcohol_L"}));
  if (!outlook.run.readings.empty())
    more.say(
        "A gauge is beyond its error if it differs from the book by more than the stated errors of this gauge "
        "and of the one before it, as the root of the sum of their squares. Missing: negative where more was "
        "found than the book had.");
  document.say(is_known(of.allowance)
                   ? "Allowed: " + figure_text(of.allowance, Figure::share, Units::metric) +
                         " a year of wine that stays a whole year, as the evaporation of a tier is stated, worked out "
                         "from the mean stock; the file or --allowance states it. Whether the law allows it is not "
                         "said here."
                   : "No allowance is stated; 'allowance: 4 %/yr' in the file, or --allowance, holds the years against "
                     "one.");
  document.say("What rules ask of these losses, every gauge and every loss of known cause: --all.");
  document.more = std::move(more.blocks);
  close_report(document, outlook, units, kVolumes | kStrengths);
  return document;
}

}  // namespace tierce
