// Classes, taxes and loss allowances against the texts of the laws.
#include <gtest/gtest.h>

#include "cli/read/rule_book.h"
#include "engine/rules/verdict.h"
#include "engine/wine/alcoholometry.h"

namespace tierce {
namespace {

// Taxes: 26 USC 5041(b), a wine gallon is 231 cubic inches = 3.785411784 L.

/// A wine of a strength on the scale of the law, 60 °F.
LabelFacts wine_of(double strength_at_60_f_pct) {
  LabelFacts facts;
  if (is_known(strength_at_60_f_pct)) facts.wine.alcohol_pct = *alcohol_pct_from_us_proof(2.0 * strength_at_60_f_pct);
  facts.words["product"] = "liqueur wine";
  return facts;
}

double tax_of(double strength_pct, double gallons, const Date& date) {
  double tax = kUnknown;
  for (const TaxClass* one : classes_of(built_in_rules(), {"us"}, wine_of(strength_pct), date))
    if (is_known(one->rate)) tax = tax_on(*one, gallons * 3.785411784);
  return tax;
}

TEST(LabelTax, BoundariesBelongToTheLowerClass) {
  const Date day{2026, 1, 1};
  EXPECT_NEAR(tax_of(16.0, 1000, day), 1070.0, 1e-9);
  EXPECT_NEAR(tax_of(16.1, 1000, day), 1570.0, 1e-9);
  EXPECT_NEAR(tax_of(21.0, 1000, day), 1570.0, 1e-9);
  EXPECT_NEAR(tax_of(21.1, 1000, day), 3150.0, 1e-9);
  EXPECT_NEAR(tax_of(24.0, 1000, day), 3150.0, 1e-9);
  EXPECT_FALSE(is_known(tax_of(24.1, 1000, day)));
  const auto spirits = classes_of(built_in_rules(), {"us"}, wine_of(24.1), day);
  ASSERT_EQ(spirits.size(), 1u);
  EXPECT_EQ(spirits[0]->id, "US-TAX-4");
  EXPECT_TRUE(classes_of(built_in_rules(), {"us"}, wine_of(kUnknown), day).empty());
}

// Reg. 1308/2013 Annex VII part II (3)(a): not less than 15 %vol and not more than 22 %vol, both within.
TEST(LabelTax, LiqueurWineHasFifteenToTwentyTwo) {
  const auto is_liqueur_wine = [](double pct) {
    LabelFacts facts = wine_of(kUnknown);
    facts.wine.alcohol_pct = pct;  // at 20 °C
    return !classes_of(built_in_rules(), {"eu"}, facts, {2026, 1, 1}).empty();
  };
  EXPECT_FALSE(is_liqueur_wine(14.9));
  EXPECT_TRUE(is_liqueur_wine(15.0));
  EXPECT_TRUE(is_liqueur_wine(15.1));
  EXPECT_TRUE(is_liqueur_wine(21.9));
  EXPECT_TRUE(is_liqueur_wine(22.0));
  EXPECT_FALSE(is_liqueur_wine(22.1));
}

TEST(LabelTax, TheOldTextBreaksAtFourteen) {
  EXPECT_NEAR(tax_of(15.0, 1000, {2017, 12, 31}), 1570.0, 1e-9);
  EXPECT_NEAR(tax_of(15.0, 1000, {2018, 1, 1}), 1070.0, 1e-9);
  EXPECT_NEAR(tax_of(14.0, 1000, {2017, 12, 31}), 1070.0, 1e-9);
}

// 26 USC 5041(c)(1)(A): 1.00 on the first 30,000 gal, 0.90 on the next 100,000, 0.535 on the next 620,000.
TEST(LabelTax, CreditsRunOverTheGallonsOfAYear) {
  const TaxClass* wine = classes_of(built_in_rules(), {"us"}, wine_of(15.0), {2026, 1, 1}).front();
  const double gal = 3.785411784;
  const Date day{2026, 1, 1};
  EXPECT_NEAR(credit_on(built_in_rules(), *wine, 0, 30000 * gal, day), 30000.0, 1e-6);
  EXPECT_NEAR(credit_on(built_in_rules(), *wine, 0, 130000 * gal, day), 120000.0, 1e-6);
  EXPECT_NEAR(credit_on(built_in_rules(), *wine, 0, 750000 * gal, day), 451700.0, 1e-6);
  EXPECT_NEAR(credit_on(built_in_rules(), *wine, 750000 * gal, 1000 * gal, day), 0.0, 1e-6);
  EXPECT_NEAR(credit_on(built_in_rules(), *wine, 29000 * gal, 2000 * gal, day), 1000.0 + 900.0, 1e-6);
}

// Losses: 27 CFR 24.266(b)(2), a claim is needed for more than 3 % of the opening stock and what came in.
TEST(LabelLosses, AClaimIsNeededAboveThreePercent) {
  LossYear year{.first = {2025, 1, 1}, .last = {2025, 12, 31}, .on_hand_l = 900, .in_l = 100, .in_bond_l = 100};
  const auto needed = [&](double lost) {
    year.loss_l = lost;
    year.closing_l = 1000 - lost;
    return judge_years(built_in_rules(), {"us"}, {year}, wine_of(18.0)).at(0).verdict;
  };
  EXPECT_EQ(needed(30.0), Verdict::fails);  // the trigger does not stand: nothing is needed
  EXPECT_EQ(needed(29.0), Verdict::fails);
  EXPECT_EQ(needed(31.0), Verdict::holds);
}

// CGI annexe IV art. 50-0 L: 5 % of the mean stock in wood for fortified wine, 4.5 % for wine, 6 % for spirits.
TEST(LabelLosses, FranceAllowsAShareOfTheMeanStock) {
  LossYear year{.first = {2025, 1, 1}, .last = {2025, 12, 31}, .on_hand_l = 1000, .in_l = 50};
  year.loss_l = 50;
  year.closing_l = 1000;
  const auto verdict = [&](const std::string& product) {
    LabelFacts facts;
    facts.words["product"] = product;
    return judge_years(built_in_rules(), {"fr"}, {year}, facts).at(0).verdict;
  };
  EXPECT_EQ(verdict("liqueur wine"), Verdict::holds);
  EXPECT_EQ(verdict("wine"), Verdict::fails);
  EXPECT_EQ(verdict("spirits"), Verdict::holds);
}

}  // namespace
}  // namespace tierce
