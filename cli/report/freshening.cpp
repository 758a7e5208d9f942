// What new wine brings about, and what else it changes: a part of `tierce target`.
#include <algorithm>
#include <cmath>

#include "cli/io/exit_status.h"
#include "cli/read/suggest.h"
#include "cli/report/refresh/refresh_refusal.h"
#include "cli/report/so2_text.h"
#include "cli/report/target.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

using Cannot = Freshening::Cannot;
using Because = FreshenRefusal::Because;

/// A value as it is called in sentences, in the table, in JSON and in the file, and its unit.
struct Brought {
  const char* name;
  const char* row;
  const char* word;
  const char* key;
  const char* unit;
};
const Brought& brought(BringWhat what) {
  static constexpr Brought kBrought[] = {{"mean age", "mean age", "mean", "harvested", " years"},
                                         {"strength", "strength", "alcohol", "alcohol", " %vol"},
                                         {"sugar", "sugar", "sugar", "sugar", " g/L"},
                                         {"volatile acid", "volatile", "va", "va", " g/L"}};
  return kBrought[static_cast<int>(what)];
}

std::string value_text(BringWhat what, double value) { return trimmed_text(value, 2) + brought(what).unit; }
std::string wanted_text(const Bring& bring) {
  return std::string(brought(bring.what).row) + ' ' + value_text(bring.what, bring.wanted);
}

std::string why_not(const Freshening& one, const std::string& lot) {
  const BringWhat what = one.bring.what;
  const std::string name = brought(what).name, at_most = value_text(what, one.at_most);
  switch (one.cannot) {
    case Cannot::nothing: break;
    case Cannot::tier_not_known: return "the " + name + " of the tier is not known";
    case Cannot::lot_not_known: return "the " + name + " of " + lot + " is not known";
    case Cannot::not_in_the_book: return "the book cannot take " + lot + " in on that day";
    case Cannot::too_little:
      return "the " + trimmed_text(one.available_l, 1) + " L that are left of " + lot + " bring the " + name + " to " +
             at_most + " and no further";
    case Cannot::between:
      return "the tier has " + value_text(what, one.before.of(what)) + " and " + lot + " " + at_most;
  }
  return "";
}

/// Of a value that lies beyond both wines: what lies between them, and which lot would do.
std::string possible_between(const Freshening& one) {
  const auto [what, wanted] = one.bring;
  const double now = one.before.of(what);
  const bool down = wanted < now;
  return "between " + value_text(what, std::min(now, one.at_most)) + " and " +
         value_text(what, std::max(now, one.at_most)) + "; else a lot " +
         (what == BringWhat::mean_age
              ? std::string("that is ") + (down ? "younger" : "older") + " than " + value_text(what, wanted) +
                    " that day"
              : std::string("with ") + (down ? "less" : "more") + " than " + value_text(what, wanted));
}

std::string possible(const Freshening& one) {
  const BringWhat what = one.bring.what;
  const std::string key = brought(what).key;
  switch (one.cannot) {
    case Cannot::nothing: break;
    case Cannot::tier_not_known:
      return what == BringWhat::mean_age ? "'ages:' of the opening stock"
                                         : "an analysis in the log that states '" + key + ":'";
    case Cannot::lot_not_known: return "'" + key + ":' of the lot";
    case Cannot::not_in_the_book: return "another lot, with --with";
    case Cannot::too_little: return value_text(what, one.at_most);
    case Cannot::between: return possible_between(one);
  }
  return "";
}

constexpr Field<FreshWine> kWineFields[] = {
    {"volume_L", "then\nholds", Figure::litres, "litres", of<&FreshWine::volume_l>},
    {"mean_y", "mean\nage", Figure::age, "mean age by volume", of<&FreshWine::mean_y>},
    {"youngest_y", "youn-\ngest", Figure::age, "youngest part", of<&FreshWine::youngest_y>},
    {"alcohol_pct", "strength", Figure::alcohol_pct, "strength, %vol", of<&FreshWine::alcohol_pct>},
    {"sugar_g_L", "sugar", Figure::grams_per_litre, "glucose and fructose", of<&FreshWine::sugar_g_l>},
    {"acidity_g_L", "acid", Figure::fine_grams_per_litre, "total acid, as tartaric", of<&FreshWine::acidity_g_l>},
    {"volatile_g_L", "vola-\ntile", Figure::fine_grams_per_litre, "volatile acid, as acetic", of<&FreshWine::va_g_l>},
    {"so2_total_mg_L", "SO2\ntotal", Figure::milligrams_per_litre, "total SO2", of<&FreshWine::so2_total_mg_l>},
    {"so2_free_mg_L", "", Figure::milligrams_per_litre,
     "free SO2 as doses are planned with, or as measured that day: an estimate",
     [](auto& of) -> Value { return of.so2_free_mg_l.planned; }},
    {"so2_free_low_mg_L", "", Figure::milligrams_per_litre, "free SO2, at the least",
     [](auto& of) -> Value { return of.so2_free_mg_l.low; }},
    {"so2_free_high_mg_L", "", Figure::milligrams_per_litre, "free SO2, at the most",
     [](auto& of) -> Value { return of.so2_free_mg_l.high; }},
};
constexpr Shape<FreshWine> kFreshWine{"fresh_wine", "A tier's wine, as far as new wine changes it.", kWineFields};

struct ValueView {
  const Freshening& one;
  const std::string& lot;
};

constexpr Field<ValueView> kValueFields[] = {
    {"value", "", Figure::word, "mean age in years, strength in %vol, sugar or volatile acid in g/L",
     [](auto& of) -> Value { return brought(of.one.bring.what).word; }, kAlways, "mean|alcohol|sugar|va"},
    {"wanted", "", Figure::exact_number, "what it is to be", [](auto& of) -> Value { return of.one.bring.wanted; },
     kAlways},
    {"new_wine_L", "", Figure::small_litres, "litres of new wine; null: it cannot be had with this wine",
     [](auto& of) -> Value { return of.one.new_wine_l; }},
    {"drawn_first_L", "", Figure::small_litres,
     "litres that have to leave first, so that the tier's target is not passed",
     [](auto& of) -> Value { return of.one.drawn_first_l; }},
    {"before", "", Figure::object, "the tier's wine on the day, before anything is done",
     [](auto& of) { return object_of(of.one.before, kFreshWine); }, kAlways, nullptr, &kFreshWine},
    {"after", "", Figure::object, "with the new wine; as `before` where it cannot be had",
     [](auto& of) { return object_of(of.one.after, kFreshWine); }, kAlways, nullptr, &kFreshWine},
    {"nearest", "", Figure::exact_number, "if it cannot be had: what comes nearest",
     [](auto& of) -> Value { return of.one.nearest; }},
    {"why_not", "", Figure::text, "why it cannot be had; else empty",
     [](auto& of) -> Value { return why_not(of.one, of.lot); }},
    {"possible", "", Figure::text, "what would be possible; else empty",
     [](auto& of) -> Value { return possible(of.one); }},
};
constexpr Shape<ValueView> kValue{"freshening_value", "A value, and the new wine that brings it about.", kValueFields};

Value values(const FreshView& of) {
  std::vector<ValueView> views;
  for (const Freshening& one : of.fresh.values) views.push_back({one, of.fresh.lot});
  return list_of(views, kValue);
}

constexpr Field<FreshView> kFresheningFields[] = {
    {"date", "", Figure::date, "the day", [](auto& of) -> Value { return of.fresh.date; }},
    {"tier", "", Figure::text, "the tier", [](auto& of) -> Value { return of.scenario.name_of(of.fresh.tier); }},
    {"lot", "", Figure::text, "the new wine", [](auto& of) -> Value { return of.fresh.lot; }},
    {"lot_age_y", "", Figure::age, "its age that day", [](auto& of) -> Value { return of.fresh.lot_age_y; }},
    {"room_L", "", Figure::litres, "litres up to the tier's target, without a draw",
     [](auto& of) -> Value { return of.fresh.room_l; }, kAlways},
    {"values", "", Figure::list, "each by itself, as asked", values, kAlways, nullptr, &kValue},
};

// Text: the wine as it is, and each value that can be had.

struct FreshLine {
  std::string to_reach;
  double new_wine_l, drawn_first_l;
  FreshWine wine;
};
constexpr Field<FreshLine> kLineFields[] = {
    {"to_reach", "to reach", Figure::text, "", of<&FreshLine::to_reach>},
    {"new_wine_L", "new\nwine", Figure::small_litres, "", of<&FreshLine::new_wine_l>},
    {"drawn_first_L", "draw\nfirst", Figure::small_litres, "", of<&FreshLine::drawn_first_l>},
    {"", "", Figure::object, "", [](auto& of) { return object_of(of.wine, kFreshWine); }, kAlways, nullptr,
     &kFreshWine},
    {"so2_free", "SO2\nfree", Figure::milligrams_per_litre, "",
     [](auto& of) -> Value { return so2_text(of.wine.so2_free_mg_l, Figure::milligrams_per_litre); }},
};
constexpr Shape<FreshLine> kLine{"fresh_line", "", kLineFields};

}  // namespace

const Shape<FreshView> kFreshening{"freshening", "What new wine makes of a tier on a day.", kFresheningFields};

void report_freshening(Document& document, const FreshView& view) {
  const FreshenAnswer& fresh = view.fresh;
  document.head("New wine into " + view.scenario.name_of(fresh.tier) + " on " + day_text(fresh.date) + ": " +
                fresh.lot + ", " + figure_text(fresh.lot_age_y, Figure::age, Units::metric) + " old that day");
  std::vector<FreshLine> lines = {{"(as it is)", 0.0, 0.0, fresh.values.front().before}};
  for (const Freshening& one : fresh.values)
    if (is_known(one.new_wine_l))
      lines.push_back({wanted_text(one.bring), one.new_wine_l, one.drawn_first_l, one.after});
  document.add(table_of(lines, kLine,
                        {"to_reach", "new_wine_L", "drawn_first_L", "volume_L", "mean_y", "youngest_y", "alcohol_pct",
                         "sugar_g_L", "acidity_g_L", "volatile_g_L", "so2_total_mg_L", "so2_free"}));
  for (const Freshening& one : fresh.values)
    if (!is_known(one.new_wine_l))
      document.say("Not with this wine: " + wanted_text(one.bring) + ", because " + why_not(one, fresh.lot) +
                   ". Possible: " + possible(one) + ".");
  if (lines.size() > 1)
    document.say(
        "Each line alone, from the wine as it is expected that day, before anything else is done. What is drawn first "
        "is whole wine that makes room up to the tier's target; strengths and contents add by volume, nothing is "
        "dosed. Free SO2 is an estimate.");
  document.gap();
}

int status_of(const FreshenRefusal& refusal) {
  if (refusal.because == Because::plan) return status_of(refusal.plan);
  return refusal.because == Because::no_wine_held ? kFails : kBadInput;
}

Problem freshen_refusal(const FreshenRefusal& refusal, const Scenario& scenario, Units units) {
  const std::string day = iso_text(refusal.date), harvested = iso_text(refusal.harvested);
  std::vector<std::string> lots;
  for (const Lot& lot : scenario.lots)
    if (!lot.elsewhere) lots.push_back(lot.name);
  switch (refusal.because) {
    case Because::plan: break;
    case Because::no_new_wine:
      return {{}, "the habit brings no new wine on " + day, "--with LOT, a lot of the file: " + listed_briefly(lots)};
    case Because::not_harvested:
      return {{},
              "lot '" + refusal.lot + "' is harvested on " + harvested + ", after the day, " + day,
              "--on " + harvested + " or a later day"};
    case Because::no_wine_held:
      return {{}, "tier '" + scenario.name_of(refusal.tier) + "' holds no wine on " + day, "--on another day"};
  }
  return plan_refusal(refusal.plan, scenario, units);
}

}  // namespace tierce
