// Numbers with units: each unit against its published factor, and what is no number.
#include "cli/read/quantity_text.h"

#include <gtest/gtest.h>

#include <cmath>

namespace tierce {
namespace {

constexpr double kOneRounding = 4e-16;  // relative: a factor and a product, each rounded once

double value_of(const std::string& text, Measure measure) {
  const auto read = read_quantity(text, measure);
  if (const auto* quantity = std::get_if<Quantity>(&read)) return quantity->value;
  ADD_FAILURE() << text << ": " << std::get<Misread>(read).what;
  return kUnknown;
}

void expect_value(const std::string& text, Measure measure, double expected) {
  EXPECT_NEAR(value_of(text, measure), expected, kOneRounding * std::abs(expected)) << text;
}

template <class T>
Misread misread_of(const Read<T>& read) {
  if (const auto* misread = std::get_if<Misread>(&read)) return *misread;
  ADD_FAILURE() << "was read";
  return {};
}
Misread misread_volume(const std::string& text) { return misread_of(read_quantity(text, Measure::volume)); }

// The inch is 2.54 cm and the US gallon 231 cubic inches, both exact (NIST Handbook 44, appendix C).
TEST(Units, OfVolumeAreLitresTheirMultiplesAndTheUsGallon) {
  expect_value("225 L", Measure::volume, 225.0);
  expect_value("12 hL", Measure::volume, 1200.0);
  expect_value("375 mL", Measure::volume, 0.375);
  expect_value("1 gal", Measure::volume, 3.785411784);
  EXPECT_NEAR(value_of("1 gal", Measure::volume), 231 * 2.54 * 2.54 * 2.54 / 1000.0, 1e-15);
  expect_value("60 gal", Measure::volume, 227.12470704);
}

// The avoirdupois pound is 0.45359237 kg, exact, and has 16 ounces (NIST Handbook 44, appendix C).
TEST(Units, OfMassAreGramsAndTheAvoirdupoisOunce) {
  expect_value("55 g", Measure::mass, 55.0);
  expect_value("1.5 kg", Measure::mass, 1500.0);
  expect_value("1 oz", Measure::mass, 28.349523125);
  expect_value("16 oz", Measure::mass, 453.59237);
}

// 32 °F is the ice point and 212 °F the steam point; -40 is the same on both scales.
TEST(Units, OfTemperatureAreCelsiusAndFahrenheit) {
  expect_value("15 °C", Measure::temperature, 15.0);
  EXPECT_NEAR(value_of("59 °F", Measure::temperature), 15.0, 1e-14);
  EXPECT_NEAR(value_of("32 °F", Measure::temperature), 0.0, 1e-14);
  EXPECT_NEAR(value_of("212 °F", Measure::temperature), 100.0, 1e-13);
  EXPECT_NEAR(value_of("-40 °F", Measure::temperature), -40.0, 1e-14);
}

// 27 CFR 30.11: US proof is twice the percent by volume at 60 °F. 36 proof are 18.06 %vol at 20 °C: own evaluation of
// OIML R 22, whose shift is 0.056 at 16 and 0.067 at 21 %vol.
TEST(Units, OfStrengthArePercentByVolumeAndUsProof) {
  expect_value("18 %vol", Measure::strength, 18.0);
  EXPECT_NEAR(value_of("36 proof", Measure::strength), 18.06, 0.002);
}

TEST(Units, OfConcentrationDifferByAThousand) {
  expect_value("95 g/L", Measure::grams_per_litre, 95.0);
  expect_value("450 mg/L", Measure::grams_per_litre, 0.45);
  expect_value("30 mg/L", Measure::milligrams_per_litre, 30.0);
  expect_value("0.03 g/L", Measure::milligrams_per_litre, 30.0);
  expect_value("0.03 g/L/yr", Measure::grams_per_litre_year, 0.03);
  expect_value("30 mg/L/yr", Measure::grams_per_litre_year, 0.03);
  expect_value("36 mg/L/yr", Measure::milligrams_per_litre_year, 36.0);
}

TEST(Units, OfShareAreHundredths) {
  expect_value("20 %", Measure::share, 0.2);
  expect_value("4 %/yr", Measure::share_per_year, 0.04);
}

TEST(Units, OfTimeAreYearsOfTwelveMonths) {
  expect_value("5 years", Measure::years, 5.0);
  expect_value("1 year", Measure::years, 1.0);
  expect_value("18 months", Measure::years, 1.5);
  expect_value("6 months", Measure::months, 6.0);
  expect_value("2 years", Measure::months, 24.0);
}

TEST(Units, OfLossByVessel) {
  expect_value("8 L/yr per vessel", Measure::volume_per_vessel_year, 8.0);
  expect_value("2 gal/yr per vessel", Measure::volume_per_vessel_year, 7.570823568);
}

TEST(Units, OfEveryMeasureHaveABaseOfFactorOne) {
  for (int i = 0; i <= static_cast<int>(Measure::relative_density); ++i) {
    const auto& units = units_of(static_cast<Measure>(i));
    ASSERT_FALSE(units.empty());
    for (const Unit& unit : units)
      EXPECT_TRUE(std::get_if<Quantity>(
          &*std::make_unique<Read<Quantity>>(read_quantity("1 " + unit.name, static_cast<Measure>(i)))))
          << unit.name;
  }
}

TEST(Quantities, TakeAnySpaceOrNoneBeforeTheUnit) {
  for (const char* text : {"225 L", "225L", "225  L", " 225 L ", "225\xC2\xA0L", "225\xE2\x80\xAFL", "225\xE2\x80\x89L",
                           "225\tL", "+225 L", "225.0 L"})
    EXPECT_EQ(value_of(text, Measure::volume), 225.0) << text;
}

TEST(Quantities, AreReadToTheLastDigit) {
  EXPECT_EQ(value_of("0.1 L", Measure::volume), 0.1);
  EXPECT_EQ(value_of("1300.123456789 L", Measure::volume), 1300.123456789);
  EXPECT_EQ(value_of("-0.5 °C", Measure::temperature), -0.5);
}

TEST(Quantities, NameTheUnitsThatAreAllowed) {
  EXPECT_EQ(misread_volume("225").what, "'225' has no unit");
  EXPECT_EQ(misread_volume("225").allowed, "a number with a unit: L, hL, mL, gal");
  EXPECT_EQ(misread_volume("225").hint, "did you mean '225 L'?");
  EXPECT_EQ(misread_volume("225 l").what, "unknown unit 'l'");
  EXPECT_EQ(misread_volume("225 l").hint, "did you mean 'L'?");
}

TEST(Quantities, ConvertWhatPeopleWriteInAHintOnly) {
  EXPECT_EQ(misread_volume("75 cl").hint, "write 750 mL");
  EXPECT_EQ(misread_volume("1.5 m³").hint, "write 15 hL");
  EXPECT_EQ(misread_volume("60 gallons").hint, "did you mean 'gal'?");
  EXPECT_EQ(misread_of(read_quantity("18 % ABV", Measure::strength)).hint, "did you mean '%vol'?");
  EXPECT_EQ(misread_of(read_quantity("2 lb", Measure::mass)).hint, "write 32 oz");
  EXPECT_EQ(misread_of(read_quantity("0.07", Measure::share)).hint, "did you mean '7 %'?");
}

TEST(Quantities, RefuseEveryOtherWayToWriteANumber) {
  const std::pair<const char*, const char*> kOthers[] = {
      {"7,5 L", "write 7.5 L"},
      {"1,300 L", "write 1300 L, or 1.300 L"},
      {"1,300,000 L", "write 1300000 L"},
      {"1.300.000 L", "write 1300000 L"},
      {"1.300,5 L", "write 1300.5 L"},
      {"1,300.5 L", "write 1300.5 L"},
      {"1 300 L", "write 1300 L"},
      {"1\xE2\x80\xAF"
       "300 L",
       "write 1300 L"},
      {"1'300 L", "write 1300 L"},
      {"1\xE2\x80\x99"
       "300 L",
       "write 1300 L"},
      {"1_300 L", "write 1300 L"},
      {"1e3 L", "write 1000 L"},
      {"2.5E-1 L", "write 0.25 L"},
      {"1e999 L", ""},
      {"010 L", "write 10 L"},
      {"-007 L", "write -7 L"},
      {".5 L", "write 0.5 L"},
      {"\xE2\x88\x92"
       "5 L",
       "a minus is written '-'"},
  };
  for (const auto& [text, hint] : kOthers) EXPECT_EQ(misread_volume(text).hint, hint) << text;
  for (const char* text : {"", " ", "L", ".nan", ".inf L", "nan L", "inf L", "five L", "--5 L", "½ L", "- 5 L"})
    EXPECT_NE(misread_volume(text).what, "") << text;
}

TEST(Quantities, RefuseNumbersThatNoMachineHolds) {
  EXPECT_EQ(misread_volume(std::string(400, '9') + " L").what, "the number has too many digits");
  EXPECT_EQ(misread_volume("0." + std::string(400, '0') + "1 L").what, "the number has too many digits");
}

TEST(Numbers, StandAlone) {
  EXPECT_EQ(std::get<double>(read_number("3.55")), 3.55);
  EXPECT_EQ(misread_of(read_number("3.55 pH")).hint, "write 3.55");
  EXPECT_EQ(misread_of(read_number("3,55")).hint, "write 3.55");
  EXPECT_EQ(misread_of(read_number("acid")).what, "'acid' does not begin with a number");
}

TEST(WholeNumbers, AreInTheirRange) {
  EXPECT_EQ(std::get<int>(read_whole("12", 1, 12)), 12);
  EXPECT_EQ(std::get<int>(read_whole("-3", -5, 5)), -3);
  for (const char* text : {"0", "13", "99999999999999999999", "1.5", "1.0", "08", "1e1", "six", "", "12 L"})
    EXPECT_EQ(misread_of(read_whole(text, 1, 12)).what.empty(), false) << text;
  EXPECT_EQ(misread_of(read_whole("13", 1, 12)).allowed, "a whole number from 1 to 12");
}

TEST(Dates, AreDaysOfTheCalendar) {
  EXPECT_EQ(std::get<Date>(read_date("2027-02-10")), (Date{2027, 2, 10}));
  EXPECT_EQ(std::get<Date>(read_date(" 2024-02-29 ")), (Date{2024, 2, 29}));
  EXPECT_EQ(std::get<Date>(read_date("2000-02-29")), (Date{2000, 2, 29}));
  for (const char* text :
       {"2027-02-30", "2023-02-29", "1900-02-29", "2027-13-01", "2027-00-01", "2027-01-00", "0000-01-01", "2027-2-1",
        "27-02-01", "10.02.2027", "2027-02-10 ", "Feb 10", "", "2027-02-1O", "+027-02-10"}) {
    if (std::string(text) == "2027-02-10 ") continue;
    EXPECT_NE(misread_of(read_date(text)).what, "") << text;
  }
  EXPECT_EQ(misread_of(read_date("2027-2-1")).hint, "write 2027-02-01");
  EXPECT_EQ(misread_of(read_date("2027-31-12")).hint, "the month stands before the day: 2027-12-31");
}

// September has 30 days: no hint may name a day that is none.
TEST(Dates, AreNotMendedIntoAnotherDayThatIsNone) {
  EXPECT_EQ(misread_of(read_date("2022-31-09")).hint, "the month stands before the day; Sep 2022 has 30 days");
}

TEST(DaysOfTheYear, AreADayAndAMonth) {
  const auto day = std::get<DayOfYear>(read_day_of_year("29 Feb"));
  EXPECT_EQ(day.month, 2);
  EXPECT_EQ(day.day, 29);
  EXPECT_EQ(std::get<DayOfYear>(read_day_of_year("10\xC2\xA0"
                                                 "Dec"))
                .month,
            12);
  EXPECT_EQ(misread_of(read_day_of_year("30 Feb")).what, "there is no day 30 Feb");
  EXPECT_EQ(misread_of(read_day_of_year("10 february")).hint, "did you mean 'Feb'?");
  EXPECT_EQ(misread_of(read_day_of_year("2027-02-10")).hint, "did you mean '10 Feb'?");
  for (const char* text : {"", "10", "Feb", "Feb 10", "0 Feb", "31 Apr", "10 Feb 2027", "10. Feb"})
    EXPECT_NE(misread_of(read_day_of_year(text)).what, "") << text;
}

TEST(Amounts, AreVolumesSharesOrBottles) {
  const auto litres = std::get<Amount>(read_amount("300 L"));
  EXPECT_EQ(litres.kind, Amount::Kind::litres);
  EXPECT_EQ(litres.value, 300.0);
  const auto share = std::get<Amount>(read_amount("20 %"));
  EXPECT_EQ(share.kind, Amount::Kind::share);
  EXPECT_EQ(share.litres_of(500.0), 100.0);
  const auto bottles = std::get<Amount>(read_amount("800 x 375 mL"));
  EXPECT_EQ(bottles.kind, Amount::Kind::bottles);
  EXPECT_EQ(bottles.litres_of(0.0), 300.0);
  for (const char* text : {"0 L", "-1 L", "101 %", "0 %", "0 x 375 mL", "5 x 0 mL", "5 x 375", "5 x", "5", "none", "",
                           "5 x 375 g", "2000000000 L"})
    EXPECT_NE(misread_of(read_amount(text)).what, "") << text;
  EXPECT_EQ(misread_of(read_bottles("300 L")).allowed, "a number and a size, as in 500 x 375 mL");
}

TEST(Amounts, WithoutAUnitMayBeSharesOrLitres) {
  EXPECT_EQ(misread_of(read_amount("20")).hint, "did you mean '20 %' or '20 L'?");
  EXPECT_EQ(misread_of(read_amount("0.2")).hint, "did you mean '20 %' or '0.2 L'?");
  EXPECT_EQ(misread_of(read_amount("250")).hint, "did you mean '250 L'?");  // no share is above 100 %
}

// What a hint says can be read.
TEST(Amounts, OfBottlesAreMendedIntoWhatIsAllowed) {
  for (const char* text :
       {"390x375ml", "390 x375 ml", "390x375", "390 x 375", "390X375 mL", "390 x 37.5cl", "390*375ml"}) {
    const std::string hint = misread_of(read_amount(text)).hint;
    EXPECT_NE(hint.find("'390 x 375 mL'"), std::string::npos) << text << ": " << hint;
  }
  EXPECT_EQ(std::get<Amount>(read_amount("390 x 375 mL")).litres_of(0.0), 146.25);
}

TEST(PlainNumbers, AreShortAndHaveNoExponent) {
  EXPECT_EQ(plain_number(0.375), "0.375");
  EXPECT_EQ(plain_number(1e6), "1000000");
  EXPECT_EQ(plain_number(-2.5), "-2.5");
  EXPECT_EQ(plain_number(1e-7), "0.0000001");
}

}  // namespace
}  // namespace tierce
