#include "engine/wine/must.h"

#include <gtest/gtest.h>

#include <limits>

#include "engine/wine/alcoholometry.h"
#include "tests/project/csv.h"

namespace tierce {
namespace {

using test::number;
using test::read_csv;

constexpr double kNoNumber = std::numeric_limits<double>::quiet_NaN();
constexpr double kWaterKgL = 0.998201;  // Council Directive 76/766/EEC, annex, coefficient A1

double constant(const std::string& start) {
  for (const auto& row : read_csv("sugar_constants.csv"))
    if (row.at("quantity").starts_with(start)) return number(row, "value");
  return kNoNumber;
}

// OIV-MA-AS2-02, table II: its own rows, so only rounding in the conversion from SG is allowed for.
TEST(Must, SugarIsThatOfTheOivTableByBrixAndByDensity) {
  for (const auto& row : read_csv("must_sugar_table.csv")) {
    const double brix = number(row, "sucrose_mass_pct_brix"), sugar = number(row, "must_sugar_g_L");
    const double density_kg_l = number(row, "must_density_20degC_kg_L");
    EXPECT_NEAR(*must_sugar_g_l_from_brix(brix), sugar, 1e-9);
    EXPECT_NEAR(*brix_from_must_sugar_g_l(sugar), brix, 1e-9);
    EXPECT_NEAR(*sg_from_must_sugar_g_l(sugar), density_kg_l / kWaterKgL, 1e-6);
    EXPECT_NEAR(*must_sugar_g_l_from_sg(*sg_from_must_sugar_g_l(sugar)), sugar, 1e-9);
  }
}

// The table's column 5 is sugar by mass: two columns that agree show that none was copied wrongly. 0.08 g/kg is half of
// each last digit (0.05 g/kg, 0.05 g/L) together with 0.00005 kg/L of the density.
TEST(Must, SugarByVolumeAndByMassOfTheOivTableAgree) {
  for (const auto& row : read_csv("must_sugar_table.csv")) {
    const double sugar = *must_sugar_g_l_from_brix(number(row, "sucrose_mass_pct_brix"));
    EXPECT_NEAR(sugar / (*sg_from_must_sugar_g_l(sugar) * kWaterKgL), number(row, "must_sugar_g_kg"), 0.1);
  }
}

// Baume and Oechsle of the same rows, printed to 0.01 and 0.1 degree: 0.005 Baume is 0.11 g/L, 0.05 Oechsle is 0.13.
TEST(Must, SugarFromBaumeAndOechsleIsThatOfTheSameRow) {
  for (const auto& row : read_csv("must_sugar_table.csv")) {
    const double sugar = number(row, "must_sugar_g_L"), baume = number(row, "baume_derived");
    const double oechsle = number(row, "oechsle_derived"), sg = *sg_from_must_sugar_g_l(sugar);
    EXPECT_NEAR(baume_from_sg(sg), baume, 0.0051);
    EXPECT_NEAR(oechsle_from_sg(sg), oechsle, 0.051);
    const auto by_baume = must_sugar_g_l_from_sg(sg_from_baume(baume));
    const auto by_oechsle = must_sugar_g_l_from_sg(sg_from_oechsle(oechsle));
    // The first and last row may round out of the table.
    if (by_baume) { EXPECT_NEAR(*by_baume, sugar, 0.13); }
    if (by_oechsle) { EXPECT_NEAR(*by_oechsle, sugar, 0.15); }
  }
}

// Columns 6 (16.83) and 7 (17.5) of the same annex, printed to 0.01 and 0.1 %vol; both were rounded from the sugar
// before it was rounded, hence 0.01 and 0.06.
TEST(Must, PotentialAlcoholIsThatOfTheOivTableUnderBothConversions) {
  EXPECT_EQ(kSugarGPerLPerPctVol, constant("sugar per 1 % vol ethanol (EU/OIV conversion)"));
  const double older = constant("sugar per 1 % vol ethanol (older French convention)");
  for (const auto& row : read_csv("must_sugar_table.csv")) {
    const double sugar = number(row, "must_sugar_g_L");
    EXPECT_NEAR(potential_alcohol_pct(sugar), number(row, "potential_abv_16.83_pct"), 0.01);
    if (row.at("potential_abv_17.5_pct").empty()) continue;
    EXPECT_NEAR(potential_alcohol_pct(sugar, older), number(row, "potential_abv_17.5_pct"), 0.06);
  }
}

// 1 %vol is 10 mL, 7.892 g, of ethanol in a litre: 0.469 g from each gram of sugar, below the 0.511 g of the reaction.
TEST(Must, TheConversionImpliesAYieldBelowThatOfTheReaction) {
  const double ethanol_g = 0.01 * *density_kg_m3(1.0, 20.0);
  EXPECT_NEAR(ethanol_g / kSugarGPerLPerPctVol, constant("yield implied by 16.83 g/L"), 0.6e-4);
  EXPECT_LT(ethanol_g / kSugarGPerLPerPctVol, 2.0 * 46.07 / 180.16);  // C6H12O6 = 2 C2H5OH + 2 CO2, by molar mass
}

// Sucrose densities after the CRC Handbook: the rows themselves, grams being mass percent x density.
TEST(Must, ExtractIsTheSucroseOfTheSameDensity) {
  const auto rows = read_csv("sucrose_density.csv");
  const double water = number(rows.front(), "density_20degC_g_mL");
  for (const auto& row : rows) {
    const double mass_pct = number(row, "sucrose_mass_pct"), density = number(row, "density_20degC_g_mL");
    EXPECT_NEAR(*sg_from_extract_g_l(10.0 * mass_pct * density), density / water, 1e-9);
    EXPECT_NEAR(*sg_from_hydrometer_brix(mass_pct), density / water, 1e-9);
    EXPECT_NEAR(*hydrometer_brix_from_sg(*sg_from_hydrometer_brix(mass_pct)), mass_pct, 1e-9);
  }
}

// Between the rows: a gram of dissolved sugar takes 0.617 to 0.620 mL up to 30 % mass (British Columbia Fruit, p. 28,
// gives 0.62 L/kg), so a litre with c grams weighs c + water (1 - 0.0006185 c), to 0.0015/1000 c of water.
TEST(Must, BetweenTheRowsDissolvedSugarTakesTheRoomItIsKnownToTake) {
  for (double grams = 10.0; grams <= 330.0; grams += 10.0) {
    const double expected_sg = grams / 998.2 + 1.0 - 0.0006185 * grams;
    EXPECT_NEAR(*sg_from_extract_g_l(grams), expected_sg, 1e-4 + 1.5e-6 * grams) << grams;
    EXPECT_NEAR(*extract_g_l_from_sg(expected_sg), grams, 0.3 + 0.004 * grams) << grams;
  }
}

// Mohos 2010, table A2.1, prints Baume to 0.1 degree: half of that, and 0.02 for its modulus and ours.
TEST(Must, BrixAndBaumeOfSucroseMatchMohos) {
  for (const auto& row : read_csv("brix_baume.csv"))
    EXPECT_NEAR(baume_from_sg(*sg_from_hydrometer_brix(number(row, "brix_pct"))), number(row, "baume_deg"), 0.07)
        << row.at("brix_pct");
}

// 20 Brix of must holds 191.9 g/L of sugar (OIV table), 20 Brix of sucrose 216.2 g/L (CRC table).
TEST(Must, BrixTimesDensityIsExtractAndNotSugar) {
  EXPECT_NEAR(*must_sugar_g_l_from_brix(20.0), 191.9, 0.05);
  EXPECT_NEAR(*extract_g_l_from_sg(*sg_from_hydrometer_brix(20.0)), 216.2, 0.05);
  // Its density, 1.0818 kg/L, is that of 218.3 g/L of sucrose by a straight line between 20 and 30 % mass.
  const double straight_line = 216.2 + (338.1 - 216.2) * (1.0818 / kWaterKgL * 0.9982 - 1.0810) / (1.1270 - 1.0810);
  EXPECT_NEAR(*must_other_extract_g_l(191.9), straight_line - 191.9, 0.1);
}

// A worked case: wine of 1.0130 g/mL and 19.0 %vol (ethanol-water 0.97463 g/mL) leaves a residue of SG 1.03844 by the
// OIV's relation with its printed factor, and 99.8 g/L by a straight line in the sucrose table. 0.1 g/L is one unit of
// the last digit of those densities, half a g/L what the OIV method promises.
TEST(Must, TabarieGivesTheExtractOfAFortifiedWine) {
  const double factor = constant("OIV density-to-specific-gravity factor");
  const double residue_sg = factor * (1.0130 - 0.97463) + 1.000;
  const double straight_line_g_l = 103.8 * (residue_sg - 1.0) / (1.0381 / 0.9982 - 1.0);
  EXPECT_NEAR(straight_line_g_l, 99.8, 0.05);
  EXPECT_NEAR(*wine_extract_g_l(1.0130 / kWaterKgL, 19.0), straight_line_g_l, 0.1);
}

// The relation for every printed density of ethanol-water: with no alcohol it is the sucrose table, and taking a
// strength out of the density leaves the same residue. 0.02 g/L is 0.0001 kg/m3 and the five digits of the factor.
TEST(Must, TabarieTakesOutThePrintedDensityOfTheAlcohol) {
  EXPECT_NEAR(*wine_extract_g_l(1.0810 / 0.9982, 0.0), 216.2, 1e-6);
  for (const auto& row : read_csv("oiml_r22_own_evaluation.csv")) {
    const double wine_g_ml = number(row, "density_20degC_kg_m3") / 1000.0 + 0.0400;
    const double residue_sg = constant("OIV density-to-specific-gravity factor") * 0.0400 + 1.0;
    const double straight_line_g_l = 103.81 + (216.2 - 103.81) * (residue_sg * 0.9982 - 1.0381) / (1.0810 - 1.0381);
    EXPECT_NEAR(*wine_extract_g_l(wine_g_ml / kWaterKgL, number(row, "abv20_pct")), straight_line_g_l, 0.02);
  }
}

// A rule of thumb in round figures: a fortified wine of 19 %vol that reads 3.3 Brix holds about 100 g/L. Tabarie's
// relation finds that at 3.8 Brix; 5.5 g/L allows for this half degree, as the rule has no better source.
TEST(Must, ASweetFortifiedWineHoldsFarMoreExtractThanItsBrixShows) {
  EXPECT_NEAR(*wine_extract_g_l(*sg_from_hydrometer_brix(3.3), 19.0), 100.0, 5.5);
}

TEST(Must, SugarOfAWineAndItsDensityReturnToWhereTheyStarted) {
  for (double alcohol = 0.0; alcohol <= 22.0; alcohol += 1.0)
    for (double sugar = 0.0; sugar <= 250.0; sugar += 12.5) {
      const double sg = *wine_sg(sugar, alcohol, 25.0);
      EXPECT_NEAR(*wine_sugar_g_l(sg, alcohol, 25.0), sugar, 1e-9);
      EXPECT_NEAR(*sg_from_extract_g_l(*wine_extract_g_l(sg, alcohol)), *sg_from_extract_g_l(sugar + 25.0), 1e-12);
    }
  for (double sg = 1.0411; sg <= 1.13; sg += 0.0013) {
    EXPECT_NEAR(*sg_from_must_sugar_g_l(*must_sugar_g_l_from_sg(sg)), sg, 1e-12);
    EXPECT_NEAR(sg_from_baume(baume_from_sg(sg)), sg, 1e-12);
    EXPECT_NEAR(sg_from_oechsle(oechsle_from_sg(sg)), sg, 1e-12);
    EXPECT_NEAR(*sg_from_hydrometer_brix(*hydrometer_brix_from_sg(sg)), sg, 1e-12);
  }
}

TEST(Must, OutsideTheTablesThereIsNoAnswer) {
  EXPECT_FALSE(must_sugar_g_l_from_brix(9.9) || must_sugar_g_l_from_brix(30.1) || must_sugar_g_l_from_brix(kNoNumber));
  EXPECT_FALSE(brix_from_must_sugar_g_l(82.0) || sg_from_must_sugar_g_l(309.0) || must_other_extract_g_l(50.0));
  EXPECT_FALSE(must_sugar_g_l_from_sg(1.03) || must_sugar_g_l_from_sg(1.14));
  EXPECT_FALSE(must_sugar_g_l_from_sg(sg_from_baume(145.0)) || must_sugar_g_l_from_sg(sg_from_baume(200.0)));
  EXPECT_FALSE(sg_from_hydrometer_brix(-0.1) || sg_from_hydrometer_brix(50.1) || hydrometer_brix_from_sg(0.99));
  EXPECT_FALSE(extract_g_l_from_sg(0.999) || extract_g_l_from_sg(1.24) || sg_from_extract_g_l(615.0));
  EXPECT_FALSE(wine_extract_g_l(0.95, 19.0) || wine_extract_g_l(1.01, 101.0) || wine_extract_g_l(kNoNumber, 10.0));
  EXPECT_FALSE(wine_sugar_g_l(0.990, 12.0, 25.0)) << "less extract than what is said not to be sugar";
  EXPECT_FALSE(wine_sg(-1.0, 18.0, 25.0) || wine_sg(600.0, 18.0, 25.0) || wine_sg(100.0, kNoNumber, 25.0));
}

}  // namespace
}  // namespace tierce
