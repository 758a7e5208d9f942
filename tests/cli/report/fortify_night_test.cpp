// What a hydrometer says of must in `tierce fortify`, and the table for the night. Expected figures come from printed
// tables, by hand, and from the engine for the other direction of a round trip.
#include <gtest/gtest.h>

#include <algorithm>

#include "engine/wine/fortify.h"
#include "engine/wine/must.h"
#include "tests/cli/report/fortify_run.h"

namespace tierce {
namespace {

using namespace test;

// Readings.

// 237.8 g/L is the must table's row of 1.1001 kg/L, which is 1.1001 / 0.998201 SG and, by 145 - 145/SG, 13.43 Be.
TEST(FortifyCommand, ReadsTheMustsSugarOnEveryScale) {
  const Words rest = {"--volume", "1000 L", "--spirit", "96 %vol", "--arrest", "7 %vol", "--to", "16 %vol"};
  const auto sugar_g_l = [&](const Words& reading) { return figure(answer(rest + reading).at("must"), "sugar_g_L"); };
  EXPECT_NEAR(sugar_g_l({"--sugar", "24 Bx", "--refractometer"}), 237.8, 1e-9);
  EXPECT_NEAR(sugar_g_l({"--sugar", "1.10208 SG"}), 237.8, 0.02);
  EXPECT_NEAR(sugar_g_l({"--sugar", "102.08 °Oe"}), 237.8, 0.02);
  EXPECT_NEAR(sugar_g_l({"--sugar", "102.08 Oe"}), 237.8, 0.02);
  EXPECT_NEAR(sugar_g_l({"--sugar", "13.43 Be"}), 237.8, 0.2);  // 0.01 Be is 0.2 g/L
  // Sucrose of 24 % mass weighs, on the line in g/L between 20 and 30 %, 1.0991 kg/L: lighter than must of 24 Brix
  // by refractometer.
  EXPECT_NEAR(sugar_g_l({"--sugar", "24 Bx"}), 235.0, 0.5);
}

// A hydrometer made for 20 °C, in must of 25 °C: water has grown by 998.2012 / 997.0429, the glass by 5 x 25e-6.
TEST(FortifyCommand, BringsReadingsTo20DegreesByTheExpansionOfWaterAndGlass) {
  const double sg_20c = 1.1001 / 0.99820123;
  const double shown = sg_20c * 997.0429 / 998.2012 * (1.0 + 5.0 * 25e-6);
  const Words rest = {"--volume", "1000 L", "--spirit", "96 %vol", "--arrest", "7 %vol", "--to", "16 %vol"};
  const std::string reading = std::to_string(shown) + " SG";
  const json by_temperature = answer(rest + Words{"--sugar", reading, "--temperature", "77 °F"});
  EXPECT_NEAR(figure(by_temperature.at("must"), "sugar_g_L"), 237.8, 0.002);
  const json by_reading = answer(rest + Words{"--sugar", reading + " at 25 °C"});
  EXPECT_NEAR(figure(by_reading.at("must"), "sugar_g_L"), 237.8, 0.002);
  EXPECT_EQ(figure(by_reading.at("must"), "temperature_C"), 20.0);
}

// By hand at the arrest of the manual's case: must of 240 g/L lies between the table's 237.8 (1.1001 kg/L) and 243.6
// g/L (1.1024); the sucrose of its density is extract; less 117.81 g/L of sugar that went, its density between 10 and
// 20 % mass; less what alcohol of 7 %vol takes off (988.4316 against 998.2012 kg/m3). 0.00003 SG is the printed digits.
TEST(FortifyCommand, ForetellsWhatTheHydrometerShowsAtTheArrest) {
  const double must_kg_l = 1.1001 + (240.0 - 237.8) / (243.6 - 237.8) * 0.0023;
  const double must_table_kg_l = must_kg_l * 0.9982 / 0.99820123;
  const double extract_g_l = 216.2 + (must_table_kg_l - 1.0810) / (1.1270 - 1.0810) * (338.1 - 216.2) - 7.0 * 16.83;
  const double residue_kg_l = 1.0381 + (extract_g_l - 103.81) / (216.2 - 103.81) * (1.0810 - 1.0381);
  const double sg = residue_kg_l / 0.9982 + 988.4316 / 998.2012 - 1.0;
  const json made = answer(kToSixteen);
  EXPECT_NEAR(figure(made.at("arrest"), "sg_20C"), sg, 0.00003);
  EXPECT_NEAR(figure(made.at("arrest"), "reading"), sg, 0.00003);
  const json warm = answer(kToSixteen + Words{"--temperature", "25 °C"});
  EXPECT_NEAR(figure(warm.at("arrest"), "reading"), sg * 987.1902 / 988.4316 * (1.0 + 5.0 * 25e-6), 0.00003);
}

TEST(FortifyCommand, AnArrestByHydrometerFindsTheAlcoholThatForetoldIt) {
  for (const std::string temperature : {"20 °C", "8 °C", "30 °C"}) {
    const Words at = {"--temperature", temperature};
    const double reading = figure(answer(kToSixteen + at).at("arrest"), "reading");
    const json back = answer(kMust + Words{"--to", "16 %vol", "--arrest", std::to_string(reading) + " SG"} + at);
    EXPECT_NEAR(figure(back.at("arrest"), "alcohol_pct"), 7.0, 0.0002) << temperature;  // 1e-6 SG is 0.00013 %vol
  }
}

// The table for the night.

TEST(FortifyCommand, EveryRowOfTheNightAgreesWithTheEngine) {
  const json made = answer(kToSixteen + Words{"--temperature", "24 °C"});
  const double other_g_l = *must_other_extract_g_l(240.0);
  ASSERT_GE(made.at("night").size(), 8u);
  for (const json& row : made.at("night")) {
    const double alcohol_pct = figure(row, "must_alcohol_pct"), sugar_g_l = figure(row, "must_sugar_g_L");
    EXPECT_NEAR(sugar_g_l, 240.0 - 16.83 * alcohol_pct, 1e-9);
    const double sg_20c = *wine_sg(sugar_g_l, alcohol_pct, other_g_l);
    EXPECT_NEAR(figure(row, "sg_20C"), sg_20c, 1e-12);
    EXPECT_NEAR(figure(row, "reading"), *sg_shown(sg_20c, alcohol_pct, 24.0), 1e-9);
    const auto wine = std::get<Fortified>(fortify_to_strength({1000.0, alcohol_pct, sugar_g_l}, 96.0, 16.0));
    EXPECT_NEAR(figure(row, "spirit_L"), wine.spirit_l, 1e-9);
    EXPECT_NEAR(figure(row, "volume_L"), wine.volume_l, 1e-9);
    EXPECT_NEAR(figure(row, "sugar_g_L"), wine.sugar_g_l, 1e-9);
  }
}

TEST(FortifyCommand, TheNightRunsFromTheMustsOwnDensityToABitPastTheArrest) {
  const json night = answer(kToSixteen).at("night");
  EXPECT_EQ(figure(night.front(), "must_alcohol_pct"), 0.0);
  EXPECT_NEAR(figure(night.front(), "reading"), *sg_from_must_sugar_g_l(240.0), 1e-12);
  for (std::size_t i = 1; i < night.size(); ++i)
    EXPECT_LT(figure(night[i], "reading"), figure(night[i - 1], "reading"));
  const auto planned =
      std::count_if(night.begin(), night.end(), [](const json& row) { return row.at("planned").get<bool>(); });
  EXPECT_EQ(planned, 1);
  EXPECT_FALSE(night.back().at("planned").get<bool>());
  EXPECT_GT(figure(night.back(), "must_alcohol_pct"), 7.0);
  EXPECT_LT(figure(night.back(), "must_alcohol_pct"), 9.5);
}

TEST(FortifyCommand, TheNightIsReadOnTheScaleOfTheMustsReading) {
  const Words rest = {"--volume", "1000 L", "--spirit", "96 %vol", "--arrest", "7 %vol", "--to", "16 %vol"};
  for (const auto& [reading, unit] : std::vector<std::pair<std::string, std::string>>{
           {"1.1 SG", "SG"}, {"13.5 Be", "Be"}, {"24 Bx", "Bx"}, {"100 °Oe", "°Oe"}}) {
    const json made = answer(rest + Words{"--sugar", reading});
    EXPECT_EQ(made.at("reading_unit"), unit);
    EXPECT_NEAR(figure(made.at("night").front(), "reading"), std::stod(reading), 1e-6) << reading;
  }
}

// Must lighter than water has no Brix.
TEST(FortifyCommand, TheNightTurnsToSpecificGravityWhereBrixEnd) {
  const json made = answer(
      {"--volume", "1000 L", "--spirit", "96 %vol", "--sugar", "24 Bx", "--residual", "2 g/L", "--to", "18 %vol"});
  EXPECT_EQ(made.at("reading_unit"), "SG");
  EXPECT_LT(figure(made.at("arrest"), "reading"), 1.0);
}

TEST(FortifyCommand, WithoutADensityTheNightGoesByAlcohol) {
  const json made = answer(
      {"--volume", "1000 L", "--sugar", "350 g/L", "--spirit", "96 %vol", "--arrest", "2.5 %vol", "--to", "16 %vol"});
  EXPECT_TRUE(made.at("arrest").at("sg_20C").is_null());
  std::vector<double> alcohol_pct;
  for (const json& row : made.at("night")) {
    EXPECT_TRUE(row.at("reading").is_null());
    alcohol_pct.push_back(figure(row, "must_alcohol_pct"));
  }
  EXPECT_EQ(alcohol_pct, (std::vector<double>{0, 1, 2, 2.5, 3, 4, 5}));
}

TEST(FortifyCommand, NoRowIsShownFromWhichTheStrengthCannotBeReachedAnyMore) {
  const json night = answer(kMust + Words{"--arrest", "13 %vol", "--to", "13 %vol"}).at("night");
  for (const json& row : night) EXPECT_LE(figure(row, "must_alcohol_pct"), 13.0 + 1e-9);
}

TEST(FortifyCommand, TheCsvIsTheTableForTheNight) {
  const Answer csv = said(kToSixteen + Words{"--csv"});
  EXPECT_EQ(csv.out.substr(0, csv.out.find('\r')),
            "reading_SG,sg_20C,must_alcohol_pct,must_sugar_g_L,spirit_L,volume_L,alcohol_pct,sugar_g_L,planned");
  const auto lines = static_cast<std::size_t>(std::count(csv.out.begin(), csv.out.end(), '\n'));
  EXPECT_EQ(lines, 1 + answer(kToSixteen).at("night").size());
}

// Printed densities of water and of 10 %vol at 10, 20 and 30 °C; glass 25e-6 a degree.
TEST(Hydrometer, ShowsTheDensityOfItsTemperatureOnAFloatThatHasGrown) {
  EXPECT_NEAR(sg_shown(1.0, 0.0, 30.0).value(), 995.6454 / 998.2012 * (1.0 + 10.0 * 25e-6), 1e-6);
  EXPECT_NEAR(sg_shown(1.05, 10.0, 10.0).value(), 1.05 * 986.5620 / 984.7104 * (1.0 - 10.0 * 25e-6), 1e-6);
  EXPECT_EQ(sg_shown(1.05, 10.0, 20.0).value(), 1.05);
  for (const double temperature_c : {0.0, 12.5, 40.0})
    EXPECT_NEAR(sg_at_20c(*sg_shown(1.08, 5.0, temperature_c), 5.0, temperature_c).value(), 1.08, 1e-12);
  EXPECT_FALSE(sg_shown(1.05, 10.0, 41.0) || sg_shown(1.05, 101.0, 20.0) || sg_at_20c(1.05, 0.0, -21.0));
  EXPECT_EQ(std::get<FortifyRefusal>(arrest_at_density({1.0, 240.0}, 1.05, 29.0, 50.0)).fault,
            FortifyFault::temperature_out_of_range);
}

// A reading is known to some 0.002 SG (docs/fortify.md), and printed to 0.001; the case's arrest, worked out by hand
// above, lies at 1.0483. JSON keeps all digits.
TEST(FortifyCommand, PrintsAReadingToTheDigitsThatAreKnown) {
  const std::string text = said(kToSixteen).out;
  EXPECT_NE(text.find("shows 1.048 SG in must"), std::string::npos) << text;
  EXPECT_EQ(text.find("1.0483"), std::string::npos) << text;
  EXPECT_NE(text.find("Gas lifts the float"), std::string::npos);
  EXPECT_NE(text.find("15 °C or 60 °F"), std::string::npos);
}

}  // namespace
}  // namespace tierce
