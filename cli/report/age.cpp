// How old a bottling is.
#include "engine/measure/age.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "cli/report/foot.h"
#include "cli/report/report.h"
#include "cli/report/so2_text.h"
#include "cli/report/wine_rows.h"
#include "cli/write/write.h"
#include "engine/measure/money.h"
#include "engine/rules/strength.h"

namespace tierce {
namespace {

std::string age_text(double years) { return number_text(years, Figure::age, Units::metric); }
std::string years_text(double years) { return figure_text(years, Figure::age, Units::metric); }
std::string up_to_text(double years) { return upper_number_text(years, Figure::age, Units::metric); }

std::string basis_text(Clock clock, const std::string& act) {
  if (clock == Clock::entry) return "by volume, from the entry into a tier to the day of the " + act;
  if (clock == Clock::wood) return "by volume, counting years in wood";
  return "by volume, from harvest to the day of the " + act;
}

std::string parcel_text(const Parcel& parcel) {
  return (parcel.vintage > 0 ? std::to_string(parcel.vintage) : parcel.lot) +
         (parcel.entered_known ? ", entered " + day_text(parcel.entered) : "");
}

void line(Document& report, const std::string& name, const std::string& value, const std::string& remark) {
  const auto pad = [](const std::string& text, std::size_t width) {
    return text + std::string(width > text.size() ? width - text.size() : 0, ' ');
  };
  report.term(pad(name, 13) + pad(value, 12), remark, 25);
}

/// The lots that are as old as the youngest or oldest wine, and their share.
std::string who(const Outlook& outlook, const std::vector<Share>& shares, double age_y) {
  double fraction = 0.0;
  std::set<std::string> named;
  std::string text;
  for (const Share& share : shares) {
    if (!(std::abs(share.youngest_y - age_y) < 1e-9) && !(std::abs(share.oldest_y - age_y) < 1e-9)) continue;
    fraction += share.shared() ? kUnknown : share.fraction;  // how much of a shared column is so old is not known
    const Parcel& parcel = outlook.line.parcels[nth(share.parcel)];
    if (named.insert(parcel.lot).second) text += (text.empty() ? "" : ", ") + parcel.lot;
  }
  if (!is_known(fraction)) return text;
  return text + ", " + figure_text(fraction, Figure::share, Units::metric) + " of the wine";
}

/// What the draw holds beside its ages; spirits are taxed by their pure alcohol.
std::string wine_text(const Outlook& outlook, const DrawRecord& draw) {
  const auto per_litre = [&](Solute solute, Figure figure) {
    return figure_text(draw.wine.solutes[solute] / draw.volume_l, figure, Units::metric);
  };
  const auto so2 = [&](Solute solute) {
    return number_text(draw.wine.solutes[solute] / draw.volume_l, Figure::milligrams_per_litre, Units::metric);
  };
  std::string text = "sugar " + per_litre(kSugar, Figure::grams_per_litre) + "; SO2 in mg/L: " + so2(kSo2Total) +
                     " total, " + free_text(sulfur_of(draw)) + " free, " +
                     molecular_text(outlook.scenario, sulfur_of(draw)) + " molecular (estimates)";
  if (!holds_spirits(outlook)) return text;
  const double alcohol_l = draw.wine.alcohol.sum();
  return text + "; " + figure_text(alcohol_l, Figure::pure_alcohol, Units::metric) + " of pure alcohol, " +
         figure_text(proof_gallons_of(draw.volume_l, alcohol_l), Figure::proof_gallons, Units::metric) + " (US)";
}

void known_ages(Document& report, const Outlook& outlook, const std::string& act, const AgeSummary& age,
                const std::vector<Share>& shares) {
  line(report, "mean age", years_text(age.mean_y), basis_text(outlook.scenario.clock, act));
  line(report, "youngest", years_text(age.youngest_y), who(outlook, shares, age.youngest_y));
  line(report, "oldest", years_text(age.oldest_y), who(outlook, shares, age.oldest_y));
  if (!is_known(age.quantiles_y[0]))
    return line(report, "spread", years_text(age.sd_y),
                "standard deviation; it has too many parts to tell how old a tenth, half or nine tenths of it are");
  line(report, "spread", years_text(age.sd_y),
       "standard deviation; a tenth of the wine is up to " + up_to_text(age.quantiles_y[0]) + ", half up to " +
           up_to_text(age.quantiles_y[1]) + ", nine tenths up to " +
           upper_figure_text(age.quantiles_y[2], Figure::age, Units::metric) + " old");
  line(report, "otherwise", "",
       "by alcohol " + age_text(age.mean_by_alcohol_y) + ", by what does not evaporate " +
           age_text(age.mean_by_solids_y) + " years");
}

void quotient(Document& report, const Outlook& outlook, const DrawRecord& draw) {
  line(report, "quotient", age_text(stock_over_draw_y(outlook.run, draw, draw.tiers_alcohol_before_l)),
       "stock before the draw over all draws of " + std::to_string(draw.date.year) + ", in pure alcohol (after it: " +
           age_text(stock_over_draw_y(outlook.run, draw, draw.tiers_alcohol_after_l)) + "); a quotient, not an age");
}

void unknown_ages(Document& report, const Outlook& outlook, const std::string& act, const AgeSummary& age) {
  line(report, "mean age", "not known",
       "at least " + years_text(age.mean_at_least_y) + ", " + basis_text(outlook.scenario.clock, act));
  line(report, "youngest", is_known(age.youngest_y) ? years_text(age.youngest_y) : "not known",
       is_known(age.youngest_y) ? "" : "at least " + years_text(age.youngest_at_least_y));
  line(report, "oldest", "not known", "at least " + years_text(age.oldest_at_least_y));
  line(report, "unknown age", figure_text(age.unknown_fraction, Figure::share, Units::metric),
       "of the wine: it was there when the book opened, and its age is not stated");
}

/// Oldest vintage first; wine of unknown vintage ahead of all.
struct LineOfShare : ShareRow {
  double largest;  // fraction of all
};

constexpr Field<LineOfShare> kLineFields[] = {
    {"vintage", "vintage", Figure::text, "vintage and day of entry",
     [](auto& row) -> Value { return parcel_text(*row.of); }},
    {"lot", "lot", Figure::text, "its lot", [](auto& row) -> Value { return row.of->lot; }},
    {"fraction", "share", Figure::share, "of the wine", of<&Share::fraction>},
    {"litres", "volume", Figure::litres, "litres of it", of<&Share::litres>},
    {"age_y", "age", Figure::age, "its age", of<&Share::age_y>},
    {"bar", "", Figure::text, "its share, drawn",
     [](auto& row) -> Value {
       return std::string(static_cast<std::size_t>(std::lround(40.0 * row.fraction / row.largest)), '#');
     }},
};
constexpr Shape<LineOfShare> kLineOfShare{"line_of_share", "A part of a wine, as a reader sees it.", kLineFields};

Table share_table(const std::vector<ShareRow>& shares) {
  double largest = 0.0;
  for (const ShareRow& share : shares) largest = std::max(largest, share.fraction);
  std::vector<LineOfShare> lines;
  for (const ShareRow& share : shares) lines.push_back({share, largest});
  return table_of(lines, kLineOfShare);
}

void add_cost(Document& report, const Outlook& outlook, const DrawRecord& wine, double bottle_l, Units units) {
  const std::string currency = currency_of(outlook.scenario);
  if (currency.empty()) return;
  const double per_litre = cost_per_l(wine);
  const std::string text = cost_text(outlook, wine, bottle_l);
  if (!is_known(per_litre)) return line(report, "cost", "not known", text);
  const double shown = in_shown_unit(per_litre, Figure::money_by_volume, units);
  const std::string value = money_text(shown, currency), of = units == Units::us ? "a gallon; " : "a litre; ";
  constexpr std::size_t kRoom = 11;  // bytes; what does not fit between the columns goes behind them
  if (value.size() <= kRoom) line(report, "cost", value, of + text);
  else line(report, "cost", "", cost_per_volume_text(per_litre, currency, units) + "; " + text);
}

void add_ages(Document& report, const Outlook& outlook, const DrawRecord& wine, const std::string& act) {
  const std::vector<Share> shares = shares_of(outlook.line, outlook.scenario.clock, wine.wine, wine.day);
  const AgeSummary age = age_of(outlook.line, outlook.scenario.clock, wine.wine, wine.day);
  if (age.unknown_fraction > 0.0) unknown_ages(report, outlook, act, age);
  else known_ages(report, outlook, act, age, shares);
  if (act == "draw" && !(age.unknown_fraction > 0.0) && !wine.again) quotient(report, outlook, wine);
  line(report, "strength", figure_text(strength_of(wine), Figure::alcohol_pct, Units::metric),
       wine_text(outlook, wine));
}

/// More lines than a reader follows: then the parts of one lot and day of entry stand on one.
constexpr std::size_t kMostLines = 40;

std::vector<ShareRow> by_lot_and_entry(const std::vector<ShareRow>& shares) {
  std::vector<ShareRow> lines;
  std::map<std::pair<std::string, Date>, std::size_t> line_of;
  for (const ShareRow& share : shares) {
    const auto [known, added] = line_of.try_emplace({share.of->lot, share.of->entered}, lines.size());
    if (added) lines.push_back({{.parcel = share.parcel, .age_y = 0.0}, share.of});
    ShareRow& line = lines[known->second];
    line.age_y = (line.age_y * line.litres + share.age_y * share.litres) / (line.litres + share.litres);
    line.litres += share.litres;
    line.fraction += share.fraction;
  }
  return lines;
}

void add_shares(Document& report, const DrawRow& row) {
  const std::vector<ShareRow> shares = shares_in(row.now());
  const bool many = row.outlook->scenario.clock == Clock::wood && shares.size() > kMostLines;
  report.add(share_table(many ? by_lot_and_entry(shares) : shares));
  if (many)
    report.say("The " + number_text(static_cast<double>(shares.size()), Figure::whole, Units::metric) +
               " parts differ by their years in wood; each line holds those of one lot and day of entry, with their "
               "mean age. --csv and --json list each part.");
}

std::string drawn_text(const Outlook& outlook, const DrawRecord& draw, Units units) {
  return figure_text(draw.volume_l, Figure::litres, units) + " drawn from " + outlook.scenario.name_of(draw.row) +
         " on " + day_text(draw.date) + (draw.use == Use::bottling ? "" : ", use: " + use_text(draw.use)) +
         (draw.past ? "" : " (forecast, not done)");
}

void add_title(Document& report, const std::string& title) {
  if (report.empty()) report.title = title;
  else report.head(title);
  report.gap();
}

void add_draw(Document& report, const DrawRow& row, Units units) {
  const Outlook& outlook = *row.outlook;
  const std::string to = row.draw->to < 0
                             ? ""
                             : ", into " + outlook.scenario.name_of(row.draw->to) +
                                   (bottlings_of(outlook.run, *row.draw).empty() ? ", not bottled yet" : "");
  add_title(report,
            outlook.scenario.reserve + ": " + row.draw->name + ", " + drawn_text(outlook, *row.draw, units) + to);
  add_ages(report, outlook, *row.draw, "draw");
  add_cost(report, outlook, *row.draw, row.own_bottle_l, units);
  add_shares(report, row);
}

/// The ages of the draw, in the table of the bottling.
void at_the_draw(Document& report, const Outlook& outlook, const DrawRecord& draw, Units units) {
  const AgeSummary age = age_of(outlook.line, outlook.scenario.clock, draw.wine, draw.day);
  const bool known = is_known(age.mean_y);
  line(report, "at the draw", known ? years_text(age.mean_y) : "not known",
       std::string(known ? "mean; " : "") + "youngest " +
           (is_known(age.youngest_y) ? years_text(age.youngest_y) : "not known") + ": " + draw.name + ", " +
           drawn_text(outlook, draw, units));
}

void add_bottling(Document& report, const BottlingRow& row, Units units) {
  const Outlook& outlook = *row.outlook;
  const BottlingRecord& bottling = *row.bottling;
  const DrawRecord& wine = bottling.wine;
  const std::string lost = bottling.loss_l > 0.0
                               ? ", " + figure_text(bottling.loss_l, Figure::small_litres, units) + " lost in filling"
                               : "";
  add_title(report, outlook.scenario.reserve + ": " + wine.name + ", " +
                        number_text(bottling.bottles, Figure::whole, units) + " bottles of " +
                        bottle_text(bottling.bottle_l) + " filled from " + outlook.scenario.name_of(wine.row) + " on " +
                        day_text(wine.date) + lost);
  add_ages(report, outlook, wine, "bottling");
  add_cost(report, outlook, wine, bottling.bottle_l, units);
  for (const int draw : bottling.draws) at_the_draw(report, outlook, outlook.run.draws[nth(draw)], units);
  add_shares(report, row);
}

/// A part of a draw, for CSV.
struct PartRow : ShareRow {
  const DrawRecord* draw;
};
constexpr Field<PartRow> kPartFields[] = {
    {"draw", "", Figure::text, "draw or bottling", [](auto& row) -> Value { return row.draw->name; }},
    {"date", "", Figure::text, "its day", [](auto& row) -> Value { return row.draw->date; }},
    {"", "", Figure::object, "", [](auto& row) { return object_of<ShareRow>(row, kShare); }, kAlways, nullptr, &kShare},
};
constexpr Shape<PartRow> kPart{"part", "A part of a draw.", kPartFields};

}  // namespace

Table parts_table(const Outlook& outlook, const ChosenWines& wines) {
  std::vector<PartRow> parts;
  const auto add = [&](const DrawRecord& draw) {
    for (const ShareRow& share : shares_in(DrawRow{&outlook, &draw}.now())) parts.push_back({share, &draw});
  };
  for (const BottlingRecord* bottling : wines.bottlings) add(bottling->wine);
  for (const DrawRecord* draw : wines.draws) add(*draw);
  return table_of(parts, kPart, {"draw", "date", "lot", "vintage", "entered", "fraction", "litres", "age_y"});
}

/// The latest of these wines.
std::optional<Date> last_day_of(const ChosenWines& wines) {
  std::optional<Date> day;
  for (const DrawRecord* draw : wines.draws) day = std::max(day, std::optional(draw->date));
  for (const BottlingRecord* bottling : wines.bottlings) day = std::max(day, std::optional(bottling->wine.date));
  return day;
}

Document age_report(const Outlook& outlook, const ChosenWines& wines, const std::string& why_this_draw, Units units) {
  Document report;
  for (const BottlingRecord* bottling : wines.bottlings)
    add_bottling(report, {{&outlook, &bottling->wine, bottling->bottle_l}, bottling}, units);
  for (const DrawRecord* draw : wines.draws) add_draw(report, {&outlook, draw, bottle_of(outlook, *draw)}, units);
  report.say("Ages and shares are rounded down, an age that wine is up to is rounded up. " + why_this_draw);
  close_report(report, outlook, units, kAllFigures, last_day_of(wines));
  report.csv = parts_table(outlook, wines);
  return report;
}

}  // namespace tierce
