#include "engine/wine/alcoholometry.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

#include "tests/project/csv.h"

namespace tierce {
namespace {

using test::number;
using test::read_csv;

constexpr double kNoNumber = std::numeric_limits<double>::quiet_NaN();
// Old tables give mass per old litre, 1.000028 dm3 (the litre of 1901 to 1964).
constexpr double kNewPerOldLitre = 1.0 / 1.000028;
// Weighings: air of 1.2 kg/m3 (as in the R 22 tables) and brass weights of 8400 kg/m3.
constexpr double kAirKgM3 = 1.2;
constexpr double kBrassKgM3 = 8400.0;
constexpr double kPoundKg = 0.45359237;
constexpr double kUsGallonL = 3.785411784;

double specific_gravity_in_air(double mass_fraction, double temperature_c) {
  return (*density_kg_m3(mass_fraction, temperature_c) - kAirKgM3) / (*density_kg_m3(0.0, temperature_c) - kAirKgM3);
}

// True mass of what balances one pound of brass in air.
double kg_per_pound_in_air(double density_kg_m3) {
  return kPoundKg * (1.0 - kAirKgM3 / kBrassKgM3) / (1.0 - kAirKgM3 / density_kg_m3);
}

// The engine mixes litres at 20 C; the published cases state litres at another temperature and strengths at that
// temperature too, but all of theirs are pure ethanol or pure water, whose strength is the same at any temperature.
EthanolWaterMix mix_at(double temperature_c, EthanolWater a, EthanolWater b) {
  a.volume_l = *volume_at_20c_l(a.volume_l, temperature_c, a.alcohol_pct);
  b.volume_l = *volume_at_20c_l(b.volume_l, temperature_c, b.alcohol_pct);
  EthanolWaterMix mix = *mix_by_mass(a, b);
  mix.volume_l = *volume_at_temperature_l(mix.volume_l, temperature_c, mix.alcohol_pct);
  return mix;
}

// Perry's handbook, 7th ed., and the US Bureau of Standards, both measured and printed apart from R 22. 0.05 and 0.1
// kg/m3 is how far the formula and these tables are known to part; a wrong coefficient parts by more.
TEST(Alcoholometry, DensityAgreesWithPrintedTablesOnceTheOldLitreIsCorrected) {
  for (const auto& row : read_csv("oiml_r22_check_values.csv")) {
    const double mass_fraction = number(row, "mass_fraction_ethanol"), celsius = number(row, "temperature_degC");
    const double printed = number(row, "table_density_kg_per_1000_old_litres") * kNewPerOldLitre;
    EXPECT_NEAR(*density_kg_m3(mass_fraction, celsius), printed, mass_fraction < 0.2 ? 0.05 : 0.1)
        << mass_fraction << " at " << celsius << " C";
  }
}

// The same formula evaluated by another program: only the arithmetic is tested, to the last digit printed there.
TEST(Alcoholometry, DensityAndMassFractionMatchTheFormulaEvaluatedElsewhere) {
  for (const auto& row : read_csv("oiml_r22_own_evaluation.csv")) {
    const double alcohol_pct = number(row, "abv20_pct");
    EXPECT_NEAR(*mass_fraction_from_alcohol_pct(alcohol_pct), number(row, "mass_fraction_ethanol"), 0.6e-8);
    for (const int celsius : {10, 15, 20, 25, 30}) {
      const double printed = number(row, "density_" + std::to_string(celsius) + "degC_kg_m3");
      EXPECT_NEAR(*density_of_strength_kg_m3(alcohol_pct, celsius), printed, 0.6e-4) << alcohol_pct << " " << celsius;
      // Half of the printed density's last digit is at most 0.0001 %vol; at either end it may round out of the range.
      if (alcohol_pct == 0.0 || alcohol_pct == 100.0) continue;
      EXPECT_NEAR(*alcohol_pct_from_density(printed, celsius), alcohol_pct, 1e-4) << alcohol_pct << " " << celsius;
    }
  }
}

// Council Directive 76/766/EEC, annex: density of water at 20 C; of ethanol, the formula's value as printed in R 22.
TEST(Alcoholometry, WaterAndEthanolAt20CWeighWhatR22Prints) {
  EXPECT_NEAR(*density_kg_m3(0.0, 20.0), 998.2012, 0.5e-4);
  EXPECT_NEAR(*density_kg_m3(1.0, 20.0), 789.24, 0.5e-2);
}

// USP 29, alcoholometric table: half of its last digit is 0.005 % mass; 0.002 more for the older densities under it.
TEST(Alcoholometry, UsProofGivesTheMassPercentOfThePharmacopoeia) {
  for (const auto& row : read_csv("usp_alcoholometric_check.csv")) {
    const double strength_60f_pct = number(row, "abv_at_15.56degC_pct");
    const double alcohol_pct = *alcohol_pct_from_us_proof(2.0 * strength_60f_pct);
    EXPECT_NEAR(100.0 * *mass_fraction_from_alcohol_pct(alcohol_pct), number(row, "table_mass_pct"), 0.007);
    EXPECT_NEAR(*us_proof_from_alcohol_pct(alcohol_pct), 2.0 * strength_60f_pct, 1e-9);
  }
}

// The same table's specific gravities, weighed in air. Its last digit is 0.0001, so 0.0001 is all it can tell.
TEST(Alcoholometry, SpecificGravityInAirAgreesWithThePharmacopoeia) {
  for (const auto& row : read_csv("usp_alcoholometric_check.csv")) {
    const double alcohol_pct = *alcohol_pct_from_us_proof(2.0 * number(row, "abv_at_15.56degC_pct"));
    const double mass_fraction = *mass_fraction_from_alcohol_pct(alcohol_pct);
    EXPECT_NEAR(specific_gravity_in_air(mass_fraction, 25.0), number(row, "table_sg_in_air_25_25"), 1e-4);
    EXPECT_NEAR(specific_gravity_in_air(mass_fraction, kSixtyFahrenheitC), number(row, "table_sg_in_air_15.56_15.56"),
                1e-4);
  }
}

// US Gauging Manual, table 6, Cooley and chim.lu: 0.01 L per 100 L, which is their last digit. The columns r22_* are a
// mass balance done apart from this program, printed to 0.001 (its 60 F is 15.556 C, which moves nothing here).
TEST(Alcoholometry, MixingByMassGivesThePublishedVolumes) {
  for (const auto& row : read_csv("contraction_examples.csv")) {
    const EthanolWater a{number(row, "volume_a_L"), number(row, "abv_a_pct")};
    const EthanolWater b{number(row, "volume_b_L"), number(row, "abv_b_pct")};
    const EthanolWaterMix mix = mix_at(number(row, "temperature_degC"), a, b);
    EXPECT_NEAR(mix.volume_l, number(row, "r22_final_volume_L"), 0.6e-3) << row.at("case");
    if (row.at("kind").starts_with("published")) {
      EXPECT_NEAR(mix.volume_l, number(row, "published_final_volume_L"), 1e-4 * mix.volume_l) << row.at("case");
    }
    const bool at_20c = number(row, "temperature_degC") == 20.0;
    const double strength_there_pct = at_20c ? mix.alcohol_pct : *us_proof_from_alcohol_pct(mix.alcohol_pct) / 2.0;
    EXPECT_NEAR(strength_there_pct, number(row, "r22_final_abv_pct_at_same_temperature"), 0.6e-3) << row.at("case");
  }
}

// 27 CFR 30.64 and 21.161: their tables rest on older densities, so 1 part in 5,000 and not their last digit. Water to
// reduce 1000 lb is a small difference of large weights: the weight afterwards, 1082.03 lb, is what is compared.
TEST(Alcoholometry, WeighingsInAirMatchTheUsGaugingRules) {
  const auto rows = read_csv("water_addition_examples.csv");
  const auto published = [&](std::string_view start) {
    for (const auto& row : rows)
      if (row.at("quantity").starts_with(start)) return number(row, "published_value");
    return kNoNumber;
  };
  const auto near = [](double computed, double printed) { EXPECT_NEAR(computed, printed, 2e-4 * printed); };
  const double fraction_190 = *mass_fraction_from_alcohol_pct(*alcohol_pct_from_us_proof(190.0));
  const double density_190 = *density_kg_m3(fraction_190, kSixtyFahrenheitC);
  const double density_200 = *density_kg_m3(1.0, kSixtyFahrenheitC);
  const double density_water = *density_kg_m3(0.0, kSixtyFahrenheitC);
  const auto gallons_per_lb = [](double density) {
    return kg_per_pound_in_air(density) / density * 1000.0 / kUsGallonL;
  };
  near(gallons_per_lb(density_190), published("wine gallons per lb"));
  near(1.9 * gallons_per_lb(density_190), published("proof gallons per lb"));
  near(1000.0 * 2.0 * gallons_per_lb(density_200), published("proof gallons in 1000 lb"));
  near(1.0 / gallons_per_lb(density_water), published("weight of one gallon of water"));
  const double reduced_kg = 1000.0 * kg_per_pound_in_air(density_200) / fraction_190;
  near(reduced_kg / kg_per_pound_in_air(density_190), 1000.0 + published("water to reduce 1000 lb"));
}

// 27 CFR 186.66, now 30.66: 12.42 gal of water bring 100 gal of 112 proof to 100. The rule's second example (191 to 188
// proof) prints 1.84 gal because it cuts 95.5/94 to 1.01 before it multiplies; uncut, from the same table, it is 1.887.
// Half of 0.01 gal in 112 gal is 0.005 degree of proof; the table's own rounding doubles that.
TEST(Alcoholometry, ReducingProofTakesTheWaterOfTheGaugingManual) {
  const auto reduced_proof = [](double proof, double water_gal) {
    const double alcohol_pct = *alcohol_pct_from_us_proof(proof);
    const EthanolWater spirit{*volume_at_20c_l(100.0, kSixtyFahrenheitC, alcohol_pct), alcohol_pct};
    const EthanolWater water{*volume_at_20c_l(water_gal, kSixtyFahrenheitC, 0.0), 0.0};
    return *us_proof_from_alcohol_pct(mix_by_mass(spirit, water)->alcohol_pct);
  };
  EXPECT_NEAR(reduced_proof(112.0, 12.42), 100.0, 0.01);
  EXPECT_NEAR(reduced_proof(191.0, 95.5 / 94.0 * 7.36 - 5.59), 188.0, 0.01);
}

// A twin from printed densities alone: at 30 C a spirit of 26 %vol weighs 962.0411 kg/m3 (the table); the float has
// grown by 25e-6 x 10, so it settles at the mark of 962.2816, which lies between the marks of 29 and 30 %vol
// (963.4387 and 962.2105 at 20 C). 0.004 %vol is what a straight line between those two marks may miss.
TEST(Alcoholometry, AWarmHydrometerReadsAsTheTableAndTheGrownFloatSay) {
  const double mark_kg_m3 = 962.0411 * (1.0 + 25e-6 * 10.0);
  const double reading_pct = 29.0 + (963.4387 - mark_kg_m3) / (963.4387 - 962.2105);
  EXPECT_NEAR(*hydrometer_reading_pct(26.0, 30.0), reading_pct, 0.004);
  EXPECT_NEAR(*alcohol_pct_from_hydrometer(reading_pct, 30.0), 26.0, 0.004);
}

// By definition: the scale is that of 20 C, and a glass that does not grow shows the density alone.
TEST(Alcoholometry, AHydrometerAt20CNeedsNoCorrection) {
  EXPECT_NEAR(*alcohol_pct_from_hydrometer(18.3, 20.0), 18.3, 1e-9);
  const double reading_pct = *hydrometer_reading_pct(18.3, 12.0, /*glass_expansion_per_c=*/0.0);
  EXPECT_NEAR(*density_of_strength_kg_m3(reading_pct, 20.0), *density_of_strength_kg_m3(18.3, 12.0), 1e-9);
}

// 1000 L of 18 %vol gauged at 10 C: printed densities 978.5094 and 975.7060 kg/m3; 0.0001 kg/m3 is 0.0001 L here.
TEST(Alcoholometry, ColdWineFillsMoreAt20CInTheRatioOfPrintedDensities) {
  EXPECT_NEAR(*volume_at_20c_l(1000.0, 10.0, 18.0), 1000.0 * 978.5094 / 975.7060, 2e-4);
}

// Specific volume bends the other way at 0.1575 mass (19.4 %vol), by another calculation with the formula.
TEST(Alcoholometry, MixturesBelow19PercentExpandAndAboveContract) {
  const auto bend = [](double p) {
    const auto volume = [](double at) { return 1.0 / *density_kg_m3(at, 20.0); };
    return volume(p + 1e-3) - 2.0 * volume(p) + volume(p - 1e-3);
  };
  EXPECT_LT(bend(0.1565), 0.0);
  EXPECT_GT(bend(0.1585), 0.0);
  EXPECT_LT(mix_by_mass({100.0, 5.0}, {100.0, 18.0})->contraction_l, 0.0);
  EXPECT_GT(mix_by_mass({100.0, 25.0}, {100.0, 45.0})->contraction_l, 0.0);
  // 100 L of water and 100 L at 20 %vol: 200.235 L at 9.988 %vol, by a mass balance done apart from this program.
  const auto mix = *mix_by_mass({100.0, 0.0}, {100.0, 20.0});
  EXPECT_NEAR(mix.volume_l, 200.235, 0.6e-3);
  EXPECT_NEAR(mix.alcohol_pct, 9.988, 0.6e-3);
}

// The additive rule between wines of 13 to 20 %vol: wrong by less than 0.001 %vol, by another calculation.
TEST(Alcoholometry, BetweenWinesTheAdditiveRuleIsRightToAThousandthOfAPercent) {
  for (double low = 13.0; low <= 20.0; low += 0.5)
    for (double high = low; high <= 20.0; high += 0.5)
      EXPECT_NEAR(mix_by_mass({30.0, low}, {70.0, high})->alcohol_pct, 0.3 * low + 0.7 * high, 1e-3);
}

// The book of a brandy is kept by adding alcohols (docs/model.md, section 4). By another calculation with the formula
// (bisection for the mass fraction): 62 with 50 %vol half and half is 56.0255 %vol in 99.954 L, 65 with 45 is 55.0726
// in 99.868.
TEST(Alcoholometry, BetweenSpiritsTheAdditiveRuleIsOffByHundredthsOfAPercent) {
  const auto near_spirits = mix_by_mass({50.0, 62.0}, {50.0, 50.0}),
             far_spirits = mix_by_mass({50.0, 65.0}, {50.0, 45.0});
  EXPECT_NEAR(near_spirits->alcohol_pct - 56.0, 0.0255, 1e-4);
  EXPECT_NEAR(near_spirits->contraction_l, 0.0455, 1e-4);
  EXPECT_NEAR(far_spirits->alcohol_pct - 55.0, 0.0726, 1e-4);
  EXPECT_NEAR(far_spirits->contraction_l, 0.1319, 1e-4);
}

// Spirit of 96 %vol that brings 100 L from one strength to another, and what vanishes of all that went in, in percent
// (docs/model.md, Spirit and water): by another calculation with the formula, where 11.0797, 16.3778, 16.7549 and
// 18.4742 L of spirit are needed.
TEST(Alcoholometry, TheContractionOfMustWithSpiritRunsToMoreThanOnePercent) {
  struct Case {
    double from_pct, spirit_l, to_pct, contraction_pct;
  };
  for (const Case& of : {Case{7.0, 11.0797, 16.0, 0.7666}, Case{5.0, 16.3778, 18.0, 1.0755},
                         Case{7.0, 16.7549, 20.0, 1.1403}, Case{8.0, 18.4742, 22.0, 1.2627}}) {
    const auto mix = *mix_by_mass({100.0, of.from_pct}, {of.spirit_l, 96.0});
    EXPECT_NEAR(mix.alcohol_pct, of.to_pct, 1e-4);
    EXPECT_NEAR(100.0 * mix.contraction_l / (100.0 + of.spirit_l), of.contraction_pct, 1e-3);
  }
}

// A scale made for 60 °F or 15 °C in must at 20 °C, which is known as SG 20/20: the float has grown by 25e-6 a degree,
// and its mark 1.0000 is water of its own temperature (0.99901 and 0.99910 kg/L in every table of water).
TEST(Alcoholometry, ScalesMadeForCoolerWaterStandLow) {
  const auto shown = [](double sg_20c, double made_for_c) {
    return sg_20c * *density_kg_m3(0.0, 20.0) / *density_kg_m3(0.0, made_for_c) *
           (1.0 + kSodaLimeGlassPerC * (20.0 - made_for_c));
  };
  EXPECT_NEAR(*density_kg_m3(0.0, kSixtyFahrenheitC), 999.01, 0.02);
  EXPECT_NEAR(1.05 - shown(1.05, kSixtyFahrenheitC), 0.0007, 0.00005);
  EXPECT_NEAR(1.05 - shown(1.05, 15.0), 0.0008, 0.00005);
}

// Conservation: what went in as ethanol and as water is there afterwards. 1e-10 is rounding over fractions and
// densities.
TEST(Alcoholometry, MixingKeepsEthanolAndWaterOverRandomParcels) {
  const auto mass_kg = [](double volume_l, double pct) { return volume_l * *density_of_strength_kg_m3(pct, 20.0); };
  const auto ethanol_kg = [&](double volume_l, double pct) {
    return mass_kg(volume_l, pct) * *mass_fraction_from_alcohol_pct(pct);
  };
  std::mt19937 rng(20);
  std::uniform_real_distribution<double> litres(0.0, 2000.0), strength(0.0, 100.0);
  for (int i = 0; i < 2000; ++i) {
    const EthanolWater a{litres(rng), strength(rng)}, b{litres(rng), strength(rng)};
    const auto mix = *mix_by_mass(a, b);
    const double mass = mass_kg(a.volume_l, a.alcohol_pct) + mass_kg(b.volume_l, b.alcohol_pct);
    const double ethanol = ethanol_kg(a.volume_l, a.alcohol_pct) + ethanol_kg(b.volume_l, b.alcohol_pct);
    EXPECT_NEAR(mass_kg(mix.volume_l, mix.alcohol_pct), mass, 1e-10 * mass);
    EXPECT_NEAR(ethanol_kg(mix.volume_l, mix.alcohol_pct), ethanol, 1e-10 * mass);
    EXPECT_NEAR(mix.volume_l + mix.contraction_l, a.volume_l + b.volume_l, 1e-9);
  }
}

TEST(Alcoholometry, EveryConversionReturnsToWhereItStartedTo1e9) {
  for (int i = 0; i <= 2000; ++i) {
    const double pct = i / 20.0;
    EXPECT_NEAR(*alcohol_pct_from_mass_fraction(*mass_fraction_from_alcohol_pct(pct)), pct, 1e-9);
    EXPECT_NEAR(*alcohol_pct_from_us_proof(*us_proof_from_alcohol_pct(pct)), pct, 1e-9);
    for (double celsius = -20.0; celsius <= 40.0; celsius += 7.5) {
      EXPECT_NEAR(*alcohol_pct_from_density(*density_of_strength_kg_m3(pct, celsius), celsius), pct, 1e-9);
      EXPECT_NEAR(*volume_at_temperature_l(*volume_at_20c_l(225.0, celsius, pct), celsius, pct), 225.0, 1e-9);
      const auto reading_pct = hydrometer_reading_pct(pct, celsius);
      if (!reading_pct) continue;  // off the scale
      EXPECT_NEAR(*alcohol_pct_from_hydrometer(*reading_pct, celsius), pct, 1e-9) << celsius;
    }
  }
}

TEST(Alcoholometry, DensityFallsWithEveryStepOfStrengthAtEveryTemperature) {
  for (double celsius = -20.0; celsius <= 40.0; celsius += 1.0)
    for (int i = 1; i <= 1000; ++i)
      EXPECT_LT(*density_kg_m3(i / 1000.0, celsius), *density_kg_m3((i - 1) / 1000.0, celsius)) << i << " " << celsius;
}

TEST(Alcoholometry, NothingIsExtrapolated) {
  EXPECT_FALSE(density_kg_m3(-1e-6, 20.0) || density_kg_m3(1.000001, 20.0) || density_kg_m3(kNoNumber, 20.0));
  EXPECT_FALSE(density_kg_m3(0.1, -20.1) || density_kg_m3(0.1, 40.1) || density_kg_m3(0.1, kNoNumber));
  EXPECT_FALSE(density_of_strength_kg_m3(100.1, 20.0) || density_of_strength_kg_m3(18.0, 41.0));
  EXPECT_FALSE(mass_fraction_from_alcohol_pct(-0.1) || mass_fraction_from_alcohol_pct(100.1));
  EXPECT_FALSE(alcohol_pct_from_mass_fraction(1.1) || alcohol_pct_from_mass_fraction(kNoNumber));
  EXPECT_FALSE(alcohol_pct_from_density(999.0, 20.0) || alcohol_pct_from_density(789.0, 20.0));
  EXPECT_FALSE(alcohol_pct_from_density(975.0, 50.0) || alcohol_pct_from_density(kNoNumber, 20.0));
  EXPECT_FALSE(hydrometer_reading_pct(0.0, 10.0)) << "cold water is heavier than the scale's zero";
  EXPECT_FALSE(alcohol_pct_from_hydrometer(0.0, 30.0)) << "nothing warm is as heavy as the scale's zero";
  EXPECT_FALSE(alcohol_pct_from_hydrometer(18.0, -25.0) || alcohol_pct_from_hydrometer(101.0, 20.0));
  EXPECT_FALSE(alcohol_pct_from_us_proof(200.1) || us_proof_from_alcohol_pct(-1.0));
  EXPECT_FALSE(volume_at_20c_l(-1.0, 15.0, 18.0) || volume_at_temperature_l(1.0, 15.0, 101.0));
  EXPECT_FALSE(mix_by_mass({-1.0, 10.0}, {5.0, 20.0}) || mix_by_mass({1.0, 101.0}, {5.0, 20.0}));
  EXPECT_FALSE(mix_by_mass({0.0, 10.0}, {0.0, 20.0}) || mix_by_mass({kNoNumber, 10.0}, {1.0, 20.0}));
}

}  // namespace
}  // namespace tierce
