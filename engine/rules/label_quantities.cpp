// The quantities that a rule may ask for, one row each.
#include <algorithm>
#include <cmath>

#include "engine/rules/label_facts.h"
#include "engine/rules/label_origin.h"
#include "engine/rules/strength.h"

namespace tierce {
namespace {

constexpr double kSugarPerPct = 16.83;                             // g/L; EU and OIV; docs/sources.md [label-sugar]
constexpr double kAceticMolar = 60.052, kTartaricMolar = 150.087;  // g/mol
constexpr double kOldSugarPerPct = 17.5;                           // g/L; CGI art. 417 bis

Readings at_least(double known, double bound) {
  if (is_known(known)) return exactly(known);
  return {{is_known(bound) ? bound : -kUnbounded, kUnbounded, ""}};
}

/// A strength at 20 °C on the scale that the rule asks for.
double on_scale(const LabelCase& of, double pct) { return strength_on_scale(pct, of.strength_at_c); }

double strength_at_20c(const LabelCase& of) {
  const bool stated = of.claim != nullptr && of.claim->say == Say::alcohol && is_known(of.claim->measured);
  return stated ? of.claim->measured : of.facts->wine.alcohol_pct;
}
double strength_of(const LabelCase& of) { return on_scale(of, strength_at_20c(of)); }

/// What the label states, as it stands there; written in proof it was brought to 20 °C.
double stated_of(const LabelCase& of, double stated) {
  return of.claim->stated_in_proof ? on_scale(of, stated) : stated;
}

/// The sugar of the book: from the least it can be to what it is taken for.
LabelReading sugar_of(const LabelCase& of) {
  const double sugar = of.facts->wine.sugar_g_l, least = of.facts->sugar_least_g_l;
  if (!is_known(sugar)) return {};
  return {is_known(least) ? least : sugar, sugar, ""};
}

// Contents

Readings strength(const LabelCase& of, SpiritIn) { return exactly(strength_of(of)); }

Readings total_strength(const LabelCase& of, SpiritIn) {
  Readings readings;
  for (const double factor : {kSugarPerPct, kOldSugarPerPct}) {
    const LabelReading sugar = sugar_of(of);
    const double actual = strength_of(of);
    readings.push_back(is_known(actual) && !sugar.unknown()
                           ? LabelReading{actual + sugar.low / factor, actual + sugar.high / factor, ""}
                           : LabelReading{});
    readings.back().how = factor == kSugarPerPct ? "at 16.83 g/L of sugar for 1 %vol" : "at 17.5 g/L for 1 %vol";
  }
  return readings;
}

Readings sugar(const LabelCase& of, SpiritIn) {
  const bool stated = of.claim != nullptr && of.claim->say == Say::sweetness && is_known(of.claim->measured);
  return stated ? exactly(of.claim->measured) : Readings{sugar_of(of)};
}
Readings acidity(const LabelCase& of, SpiritIn) { return exactly(of.facts->wine.acidity_g_l); }
Readings acidity_over_sugar(const LabelCase& of, SpiritIn) {
  const double acidity = of.facts->wine.acidity_g_l;
  const LabelReading sugar = sugar_of(of);
  if (!is_known(acidity) || sugar.unknown()) return {LabelReading{}};
  return {{acidity - sugar.high, acidity - sugar.low, ""}};
}
/// Acetic acid 60.052 g/mol has one acid group, tartaric 150.087 has two; docs/sources.md [label-acetic].
Readings acidity_as_acetic(const LabelCase& of, SpiritIn) {
  return exactly(of.facts->wine.acidity_g_l * kAceticMolar / (kTartaricMolar / 2.0));
}
Readings volatile_acidity(const LabelCase& of, SpiritIn) { return exactly(of.facts->wine.va_g_l); }
Readings sulfate(const LabelCase& of, SpiritIn) { return exactly(of.facts->wine.sulfate_g_l); }
Readings total_so2(const LabelCase& of, SpiritIn) {
  const bool stated = of.claim != nullptr && of.claim->say == Say::no_added_sulfites && is_known(of.claim->measured);
  return exactly(stated ? of.claim->measured : of.facts->wine.so2_total_mg_l);
}
Readings free_so2(const LabelCase& of, SpiritIn) { return exactly(of.facts->wine.so2_free_mg_l); }
Readings sulfites_added(const LabelCase& of, SpiritIn) {
  const double dosed = of.facts->sulfites_dosed_mg_l;
  return {{dosed, of.facts->sulfites_before_known ? dosed : kUnbounded, ""}};
}

// Ages

Readings mean_age(const LabelCase& of, SpiritIn) {
  return at_least(of.facts->age.mean_y, of.facts->age.mean_at_least_y);
}
Readings youngest(const LabelCase& of, SpiritIn) {
  return at_least(of.facts->age.youngest_y, of.facts->age.youngest_at_least_y);
}
Readings oldest(const LabelCase& of, SpiritIn) {
  return at_least(of.facts->age.oldest_y, of.facts->age.oldest_at_least_y);
}
Readings youngest_in_wood(const LabelCase& of, SpiritIn how) {
  if (of.facts->clock == Clock::wood) return youngest(of, how);
  return of.facts->wood ? at_least(of.facts->wood->least_y, of.facts->wood->at_least_y) : Readings{LabelReading{}};
}
/// Spirit goes in after the harvest and before wine enters the tiers, or later, as the book tells.
Readings since_the_spirit(const LabelCase& of, SpiritIn how) {
  const double least = of.facts->wood ? of.facts->wood->least_since_spirit_y : kUnknown;
  const double most = of.facts->clock == Clock::harvest ? youngest(of, how)[0].high : kUnbounded;
  return {{is_known(least) ? least : -kUnbounded, most, ""}};
}
/// The day of the draw, from the youngest harvest's year on; wine of unknown harvest may be the youngest.
Readings kept_until(const LabelCase& of, SpiritIn) {
  int youngest_harvest = 0;
  bool unknown = false;
  for (const WinePart& part : of.facts->parts) {
    youngest_harvest = std::max(youngest_harvest, part.vintage);
    unknown = unknown || (part.vintage == 0 && part.spirit == nullptr);
  }
  if (youngest_harvest == 0) return {LabelReading{}};
  const double days = days_from_year(youngest_harvest, of.facts->date);
  return {{unknown ? -kUnbounded : days, days, ""}};
}
Readings quotient(const LabelCase& of, SpiritIn) { return exactly(of.facts->quotient_y); }
Readings stock_left(const LabelCase& of, SpiritIn) { return exactly(of.facts->quotient_after_y); }

/// By how much a stated age passes that of the youngest part.
Readings stated_over_youngest(const LabelCase& of, SpiritIn how) {
  const double stated = is_known(of.claim->at_least) ? of.claim->at_least : of.claim->stated;
  const LabelReading age = youngest(of, how)[0];
  if (!is_known(stated)) return {LabelReading{}};
  return {{stated - age.high, stated - age.low, ""}};
}
Readings age_statement(const LabelCase&, SpiritIn) { return exactly(1.0); }
Readings kept_words(const LabelCase&, SpiritIn) { return exactly(1.0); }

// Spirit

/// Pure alcohol that came with spirit, for 100 L of must; unknown if a lot does not state it.
double spirit_alcohol_of_must_pct(const LabelFacts& facts) {
  double alcohol_l = 0.0, must_l = 0.0;
  for (const WinePart& part : facts.parts) {
    if (part.spirit != nullptr) {
      alcohol_l += part.entered_l * part.spirit->strength_pct / 100.0;
      continue;
    }
    if (part.lot == nullptr || !part.lot->spirit) return kUnknown;
    const SpiritUsed& used = *part.lot->spirit;
    const double mixed_l = used.volume_l + used.into_l;
    alcohol_l += part.entered_l * used.volume_l * used.strength_pct / 100.0 / mixed_l;
    must_l += part.entered_l * used.into_l / mixed_l;
  }
  return 100.0 * alcohol_l / must_l;
}

Readings spirit_of_must(const LabelCase& of, SpiritIn) { return exactly(spirit_alcohol_of_must_pct(*of.facts)); }
Readings spirit_of_total(const LabelCase& of, SpiritIn) {
  const double added = 100.0 * spirit_alcohol_of_must_pct(*of.facts), actual = strength_of(of);
  const LabelReading sugar = sugar_of(of);
  if (!is_known(added) || !is_known(actual) || sugar.unknown()) return {LabelReading{}};
  return {{added / (actual + sugar.high / kOldSugarPerPct), added / (actual + sugar.low / kOldSugarPerPct), ""}};
}
Readings spirit_share(const LabelCase& of, SpiritIn) {
  double spirit_l = 0.0;
  for (const WinePart& part : of.facts->parts) spirit_l += part.litres * part.spirit_share;
  return of.facts->spirit_not_stated.empty() ? exactly(100.0 * spirit_l / of.facts->litres)
                                             : Readings{{100.0 * spirit_l / of.facts->litres, 100.0, ""}};
}
/// The least strength of the spirit that any lot was made with.
Readings spirit_strength(const LabelCase& of, SpiritIn) {
  double least = kUnbounded;
  for (const WinePart& part : of.facts->parts) {
    if (part.spirit != nullptr) least = std::min(least, part.spirit->strength_pct);
    else if (part.lot == nullptr || !part.lot->spirit) return {LabelReading{}};
    else least = part.lot->spirit->strength_pct < least ? part.lot->spirit->strength_pct : least;
    if (part.lot != nullptr && part.lot->spirit && !is_known(part.lot->spirit->strength_pct)) return {LabelReading{}};
  }
  return exactly(std::isfinite(least) ? on_scale(of, least) : kUnknown);
}

Readings must_sugar(const LabelCase& of, SpiritIn) { return exactly(of.facts->must_sugar_g_l); }

// The stated strength

Readings strength_difference(const LabelCase& of, SpiritIn) {
  return exactly(std::abs(strength_of(of) - stated_of(of, of.claim->stated)));
}
Readings stated_strength(const LabelCase& of, SpiritIn) { return exactly(stated_of(of, of.claim->stated)); }
Readings stated_width(const LabelCase& of, SpiritIn) {
  return exactly(stated_of(of, of.claim->stated_to) - stated_of(of, of.claim->stated));
}
Readings outside_range(const LabelCase& of, SpiritIn) {
  const double pct = strength_of(of);
  return exactly(std::max(stated_of(of, of.claim->stated) - pct, pct - stated_of(of, of.claim->stated_to)));
}

Readings fill_difference(const LabelCase& of, SpiritIn) {
  return exactly(100.0 * std::abs(of.claim->measured - of.claim->stated) / of.claim->stated);
}
Readings bottle_size(const LabelCase& of, SpiritIn) {
  return exactly(of.claim != nullptr && of.claim->say == Say::fill ? of.claim->stated : kUnknown);
}

// A year

/// Of what was on hand when the year began and received in bond since. Lots that do not say how they came may be
/// either.
Readings loss_of_receipts(const LabelCase& of, SpiritIn) {
  const LossYear& year = *of.year;
  const double sure_l = year.on_hand_l + year.in_bond_l;
  const auto share_pct_of = [&](double base_l) { return base_l > 0.0 ? 100.0 * year.loss_l / base_l : kUnknown; };
  if (!(year.not_stated_l > 0.0)) return exactly(share_pct_of(sure_l));
  LabelReading most = exactly(share_pct_of(sure_l)).front();  // over nothing on hand it cannot be told
  most.how = "if none was";
  const double least = share_pct_of(sure_l + year.not_stated_l);
  return {{least, least, "if all new wine was received in bond"}, most};
}
/// Unknown where no wine is known to have fermented here.
Readings loss_of_fermented(const LabelCase& of, SpiritIn) {
  return exactly(of.year->fermented_l > 0.0 ? 100.0 * of.year->loss_l / of.year->fermented_l : kUnknown);
}
Readings loss_of_mean_stock(const LabelCase& of, SpiritIn) {
  return exactly(200.0 * of.year->loss_l / (of.year->on_hand_l + of.year->closing_l));
}

/// For rules on what no book of a reserve holds: a claim states the figure (`say: figure`).
Readings not_in_the_book(const LabelCase&, SpiritIn) { return {LabelReading{}}; }

}  // namespace

const std::vector<LabelQuantity>& label_quantities() {
  // Errors: docs/sources.md [label-errors].
  static const std::vector<LabelQuantity> kRows = {
      {"strength", "%vol", 0.2, 0, "strength of the wine", strength},
      {"total strength", "%vol", 0.3, 0, "strength with what the sugar would still give", total_strength},
      {"sugar", "g/L", 1.0, 0, "glucose and fructose", sugar},
      {"total acidity", "g/L", 0.1, 0, "as tartaric acid", acidity},
      {"total acidity as acetic", "g/L", 0.1, 0, "the same, as acetic acid", acidity_as_acetic},
      {"acidity less sugar", "g/L", 1.0, 0, "total acidity less sugar, both in g/L", acidity_over_sugar},
      {"volatile acidity", "g/L", 0.05, 0, "as acetic acid", volatile_acidity},
      {"sulfate", "g/L", 0.1, 0, "as potassium sulfate", sulfate},
      {"total SO2", "mg/L", 5.0, 0, "total sulfur dioxide", total_so2},
      {"free SO2", "mg/L", 3.0, 0, "free sulfur dioxide", free_so2},
      {"sulfites added", "mg/L", 0, 0, "the largest dose in the book", sulfites_added},
      {"mean age", "years", 0, 0.01, "mean age by the scenario's clock, by volume", mean_age},
      {"youngest age", "years", 0, 0, "age of the youngest part, however small", youngest},
      {"oldest age", "years", 0, 0, "age of the oldest part", oldest},
      {"time in wood", "years", 0, 0, "least time in wood of any part, whatever the clock", youngest_in_wood},
      {"since the spirit", "years", 0, 0, "least time since the last fortification, as far as the book tells",
       since_the_spirit},
      {"kept until", "days", 0, 0, "day of the draw, counted from the youngest harvest's year: 1 Sep of year 2",
       kept_until},
      {"official quotient", "years", 0, 0.01,
       "pure alcohol of all tiers just before the draw over that of the year's "
       "draws",
       quotient},
      {"stock left for each litre", "L/L", 0, 0.01,
       "pure alcohol of all tiers just after the draw over that of the year's draws", stock_left},
      {"stated age less youngest", "years", 0, 0, "by how much a stated age passes the youngest part",
       stated_over_youngest, NeedsOf::claim},
      {"age statement", "", 0, 0, "1 where the claim is one about age", age_statement},
      {"kept words", "", 0, 0, "1 where the rule's own terms are claimed", kept_words},
      {"statement", "", 0, 0, "1 where anything is claimed: the rule forbids it", age_statement},
      {"vintage share", "%", 0, 0.01, "share of the stated harvest", vintage_share, NeedsOf::claim},
      {"variety share", "%", 0, 0.01, "share of the named varieties together", variety_share, NeedsOf::claim},
      {"origin share", "%", 0, 0.01, "share grown in the named places together", origin_share, NeedsOf::claim},
      {"share difference", "%", 1.0, 0, "largest difference of a stated share from the true one", share_difference,
       NeedsOf::claim},
      {"least named share", "%", 0, 0, "share of that named variety or place of which there is least",
       least_named_share, NeedsOf::claim},
      {"named", "", 0, 0, "how many varieties or places are named", named_count, NeedsOf::claim},
      {"share of old harvests", "%", 0, 0.01, "share of harvests before the stated year", old_share, NeedsOf::claim},
      {"harvests", "", 0, 0, "number of harvests in the wine", harvests},
      {"first year", "", 0, 0, "year of the reserve's first wine", first_year},
      {"spirit of must", "%", 0.1, 0, "pure alcohol of the spirit for 100 L of must", spirit_of_must},
      {"spirit of strength", "%", 0.5, 0, "that, as a share of the total strength (17.5 g/L)", spirit_of_total},
      {"spirit share", "%", 0, 0.01, "litres of spirit in the litres that went in", spirit_share},
      {"spirit strength", "%vol", 0.2, 0, "weakest spirit of any lot", spirit_strength},
      {"must sugar", "g/L", 2.0, 0, "of the must before it fermented", must_sugar, NeedsOf::fortify},
      {"difference from the stated strength", "%vol", 0.2, 0, "either side", strength_difference, NeedsOf::claim},
      {"stated strength", "%vol", 0, 0, "as printed", stated_strength, NeedsOf::claim},
      {"width of the stated range", "%vol", 0, 0, "upper less lower end", stated_width, NeedsOf::claim},
      {"strength outside the stated range", "%vol", 0.2, 0, "negative within the range", outside_range, NeedsOf::claim},
      {"fill difference", "%", 0, 0, "contents against the stated fill, either side", fill_difference, NeedsOf::claim},
      {"bottle size", "L", 0, 0, "stated fill of a bottle", bottle_size},
      {"loss of stock and receipts", "%", 0, 0.05,
       "a year's loss over what was on hand when it began and received in bond", loss_of_receipts, NeedsOf::year},
      {"loss of fermented wine", "%", 0, 0.05, "a year's loss over the still wine that fermentation made in it",
       loss_of_fermented, NeedsOf::year},
      {"loss of mean stock", "%", 0, 0.05, "a year's loss over the mean of its opening and closing stock",
       loss_of_mean_stock, NeedsOf::year},
      {"not in the book", "", 0, 0, "stated by a claim, say: figure", not_in_the_book},
  };
  return kRows;
}

const LabelQuantity* find_quantity(const std::string& name) {
  for (const LabelQuantity& row : label_quantities())
    if (name == row.name) return &row;
  return nullptr;
}

}  // namespace tierce
