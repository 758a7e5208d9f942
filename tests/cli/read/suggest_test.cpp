// What was probably meant: near enough to be a slip, and no guess where nothing is near.
#include "cli/read/suggest.h"

#include <gtest/gtest.h>

namespace tierce {
namespace {

const std::vector<std::string> kKeys = {"name", "vessels", "target", "evaporation", "vapour", "wood"};

TEST(Nearest, FindsALetterLeftOutAddedChangedOrSwapped) {
  EXPECT_EQ(nearest("evaporaton", kKeys), "evaporation");
  EXPECT_EQ(nearest("targget", kKeys), "target");
  EXPECT_EQ(nearest("vapoor", kKeys), "vapour");
  EXPECT_EQ(nearest("vessles", kKeys), "vessels");
  EXPECT_EQ(nearest("nmae", kKeys), "name");
}

TEST(Nearest, TakesWrongCapitalsForHalfASlip) {
  EXPECT_EQ(nearest("Vessels", kKeys), "vessels");
  EXPECT_EQ(nearest("NAME", kKeys), "");  // four capitals are two slips in four letters
  EXPECT_EQ(nearest("l", {"L", "hL", "mL"}), "L");
  EXPECT_EQ(nearest("mg/l", {"g/L", "mg/L"}), "mg/L");
}

TEST(Nearest, AllowsASlipInThreeLetters) {
  EXPECT_EQ(nearest("wod", kKeys), "wood");
  EXPECT_EQ(nearest("evprton", kKeys), "");               // four of seven
  EXPECT_EQ(nearest("evaprtion", kKeys), "evaporation");  // two of nine
  EXPECT_EQ(nearest("weather", kKeys), "");
}

TEST(Nearest, DoesNotTakeOneNumberedNameForAnother) {
  EXPECT_EQ(nearest("F3", {"F1", "F2"}), "");
  EXPECT_EQ(nearest("GG22", {"GG21"}), "");
  EXPECT_EQ(nearest("GG12", {"GG21"}), "GG21");  // swapped
  EXPECT_EQ(nearest("GG2l", {"GG21"}), "GG21");  // an l for a 1
}

TEST(Nearest, PrefersTheLeastDifferenceAndThenTheFirst) {
  EXPECT_EQ(nearest("flor", {"flour", "floor"}), "flour");
  EXPECT_EQ(nearest("floo", {"floors", "floor"}), "floor");
}

TEST(Nearest, TakesTheFirstLetterForTheSurest) {
  EXPECT_EQ(nearest("T2", {"N2", "T1"}), "T1");
  EXPECT_EQ(nearest("T2", {"N2", "F2"}), "N2");
  EXPECT_EQ(nearest("T2", {"T1"}), "");  // still no guess from one number to another
}

TEST(Nearest, GuessesNothingFromNothing) {
  EXPECT_EQ(nearest("", kKeys), "");
  EXPECT_EQ(nearest("name", {}), "");
  EXPECT_EQ(nearest("x", {"a", "b"}), "");
  EXPECT_EQ(nearest(std::string(1000, 'n'), kKeys), "");
}

TEST(Nearest, FindsTheWordItself) { EXPECT_EQ(nearest("name", kKeys), "name"); }

TEST(Hints, AreAQuestionOrNothing) {
  EXPECT_EQ(did_you_mean("floor"), "did you mean 'floor'?");
  EXPECT_EQ(did_you_mean(""), "");
}

TEST(Lists, AreWholeOrBrief) {
  EXPECT_EQ(listed({}), "");
  EXPECT_EQ(listed({"a"}), "a");
  EXPECT_EQ(listed({"a", "b", "c"}), "a, b, c");
  EXPECT_EQ(listed_briefly(std::vector<std::string>(13, "a")), "a, a, a, a, a, a, a, a, a, a, a, a, a");
  EXPECT_EQ(listed_briefly(std::vector<std::string>(14, "a")), "a, a, a, a, a, a, a, a, a, a, a, a and 2 more");
}

}  // namespace
}  // namespace tierce
