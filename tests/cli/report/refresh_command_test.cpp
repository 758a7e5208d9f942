// `tierce refresh` as its user types it: the order against tierce fortify, several reserves, the sheet, what is
// refused.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/command/commands.h"
#include "cli/command/options.h"
#include "cli/report/page/sheet_page.h"
#include "cli/write/write.h"
#include "tests/cli/command/program.h"
#include "tests/cli/report/fortify_run.h"

namespace tierce {
namespace {

using nlohmann::json;
using test::Words;
using test::operator+;

const std::string kAmber = std::string(TIERCE_SOURCE_DIR) + "/scenarios/amber.yaml";
const std::string kTiers = std::string(TIERCE_SOURCE_DIR) + "/scenarios/three_tiers.yaml";

test::Answer typed(const Words& words) {
  const ParsedOptions parsed = parse_options(Words{"refresh"} + words);
  if (!parsed.error.empty()) return {kBadInput, parsed.show, parsed.error};
  std::ostringstream out, err;
  const int status = run_command(parsed.options, out, err);
  return {status, out.str(), err.str()};
}

json planned(const Words& words) {
  const test::Answer answer = typed(words + Words{"--json"});
  EXPECT_EQ(answer.status, kFine) << answer.err;
  return json::parse(answer.out);
}

double figure(const json& object, const char* name) { return object.at(name).get<double>(); }

// Amber loses 4 % of 1330 L in its year; a fifth is drawn, the rest is filled up to 1330 L (by hand).
constexpr double kHeld = 1330 * 0.96, kDraw = kHeld * 0.2, kNew = 1330 - kHeld * 0.8;

TEST(RefreshCommand, ExpectsAddsAndBottlesAsByHand) {
  const json plan = planned({kAmber});
  const json& tier = plan["tiers"][0];
  EXPECT_NEAR(figure(tier, "expected_L"), kHeld, 1e-9);
  EXPECT_NEAR(figure(tier, "expected_low_L"), kHeld * 0.99, 1e-9);  // 1 % unless stated
  EXPECT_NEAR(figure(tier, "expected_high_L"), kHeld * 1.01, 1e-9);
  EXPECT_NEAR(figure(plan["draws"][0], "volume_L"), kDraw, 1e-9);
  EXPECT_NEAR(figure(plan["refreshes"][0], "new_wine_L"), kNew, 1e-9);
  EXPECT_NEAR(figure(tier, "newest_vintage_fraction"), kNew / 1330, 1e-12);
  EXPECT_EQ(tier["newest_vintage"], 2026);
  for (const json& bottle : plan["bottles"]) {
    const double size = figure(bottle, "size_L");
    EXPECT_EQ(figure(bottle, "bottles"), std::floor(kDraw / size));
    EXPECT_NEAR(figure(bottle, "left_L"), kDraw - size * std::floor(kDraw / size), 1e-9);
    EXPECT_EQ(bottle["own"].get<bool>(), size == 0.375);  // the log's one bottling in bottles
  }
  EXPECT_EQ(plan["bottles"].size(), 3u);
}

TEST(RefreshCommand, TakesTheErrorTheLossesAndTheBottleThatAreStated) {
  const json plan = planned({kAmber, "--error", "2.5 %", "--lees", "3 %", "--filter", "4 L", "--bottling-loss", "2 %",
                             "--bottle", "250 mL", "--soakage", "B5: 6 L, H9: 3 L"});
  EXPECT_NEAR(figure(plan["tiers"][0], "expected_low_L"), kHeld * 0.975, 1e-9);
  const json& wine = plan["order"]["wines"][0];
  EXPECT_NEAR(figure(wine, "goes_in_L"), kNew, 1e-9);
  EXPECT_NEAR(figure(wine, "needed_L"), (kNew + 9 + 4) / 0.97, 1e-9);
  EXPECT_NEAR(figure(wine, "filter_L"), 4, 1e-9);
  EXPECT_NEAR(figure(wine, "lees_L"), (kNew + 13) / 0.97 * 0.03, 1e-9);
  EXPECT_NEAR(figure(wine, "cost"), (kNew + 13) / 0.97 * 8.00, 1e-6);  // that of GG25, 8.00 EUR/L
  EXPECT_NEAR(figure(plan, "to_bottle_L"), kDraw * 0.98, 1e-9);
  EXPECT_EQ(plan["bottles"].size(), 4u);
  EXPECT_EQ(figure(plan["bottles"][3], "bottles"), std::floor(kDraw * 0.98 / 0.25));
  double soakage_l = 0.0;
  for (const json& vessel : plan["vessels"]) soakage_l += figure(vessel, "soakage_L");
  EXPECT_DOUBLE_EQ(soakage_l, 9.0);
}

TEST(RefreshCommand, EveryVesselGivesAndTakesWhatItsLevelsSay) {
  for (const std::string& file : {kAmber, kTiers}) {
    const json plan = planned({file});
    std::map<std::string, double> after, doses;
    for (const json& vessel : plan["vessels"]) {
      EXPECT_NEAR(figure(vessel, "expected_L") - figure(vessel, "take_out_L") + figure(vessel, "put_in_L"),
                  figure(vessel, "volume_L"), 1e-9);
      EXPECT_LE(figure(vessel, "volume_L"), figure(vessel, "capacity_L") + 1e-9);
      after[vessel["tier"]] += figure(vessel, "volume_L");
      doses[vessel["tier"]] += figure(vessel, "so2_g");
    }
    for (const json& tier : plan["tiers"]) EXPECT_NEAR(after[tier["tier"]], figure(tier, "after_L"), 1e-8);
    for (const json& dose : plan["doses"]) EXPECT_NEAR(doses[dose["tier"]], figure(dose, "so2_g"), 1e-9);
  }
}

// The same must in tierce fortify gives the wine and the spirit that the order names.
TEST(RefreshCommand, OrdersWhatFortifyTurnsIntoTheNewWine) {
  const json plan = planned({kAmber, "--sugar", "245 g/L", "--spirit", "96 %vol", "--yield", "650 L/t", "--drum",
                             "60 L", "--fruit-cost", "1.20 EUR/kg"});
  const json& order = plan["order"]["making"][0];
  const json made = test::answer({"--volume", std::to_string(figure(order, "must_L")) + " L", "--sugar", "245 g/L",
                                  "--spirit", "96 %vol", "--arrest",
                                  std::to_string(figure(order, "arrest_alcohol_pct")) + " %vol", "--to", "18 %vol"});
  EXPECT_NEAR(figure(made, "volume_L"), kNew, 1e-3);  // six decimals are typed
  EXPECT_NEAR(figure(made, "spirit_L"), figure(order, "spirit_L"), 1e-3);
  EXPECT_NEAR(figure(made, "sugar_g_L"), 100, 1e-3);
  EXPECT_NEAR(figure(order, "volume_L"), kNew, 1e-6);
  const double fruit_kg = figure(order, "must_L") / 0.65;
  EXPECT_NEAR(figure(order, "fruit_kg"), fruit_kg, 1e-9);
  EXPECT_NEAR(figure(order, "fruit_us_tons"), fruit_kg / 907.18474, 1e-12);  // 2000 lb of 0.45359237 kg
  EXPECT_NEAR(figure(order, "fruit_cost"), fruit_kg * 1.2, 1e-6);
  EXPECT_NEAR(figure(order, "spirit_order_pure_L"), figure(order, "spirit_L") * 0.96, 1e-9);
  // A US proof gallon: 231 cubic inches at 50 %vol, measured at 60 °F; between 20 °C and there spirit shrinks by 0.5 %.
  EXPECT_NEAR(figure(order, "spirit_order_proof_gal"), figure(order, "spirit_L") / 3.785411784 * 1.92,
              0.006 * figure(order, "spirit_L"));
}

TEST(RefreshCommand, TakesOffWhatTheSpiritAccountHolds) {
  const std::string file = ::testing::TempDir() + "refresh-spirits.yaml";
  std::string text = test::read_file(kAmber);
  text.replace(text.find("\nlog:"), 1, "\nspirits:\n  - {name: Marc, strength: 96 %vol, stock: 10 L, cost: 9 EUR/L}\n");
  std::ofstream(file) << text;
  const json plan = planned({file, "--sugar", "245 g/L", "--from", "must"});
  const json& order = plan["order"]["making"][0];
  EXPECT_EQ(order["spirit"], "Marc");
  EXPECT_DOUBLE_EQ(figure(order, "spirit_held_L"), 10);
  EXPECT_NEAR(figure(order, "spirit_order_L"), figure(order, "spirit_L") - 10, 1e-9);
  EXPECT_NEAR(figure(order, "spirit_cost"), figure(order, "spirit_order_L") * 9, 1e-9);
  EXPECT_TRUE(order["fruit_kg"].is_null());
}

TEST(RefreshCommand, SeveralReservesMakeOneOrder) {
  const Words must = {"--sugar", "245 g/L", "--spirit", "96 %vol", "--yield", "650 L/t"};
  const std::string other = std::string(TIERCE_SOURCE_DIR) + "/docs/examples/first.yaml";
  const json one = planned(Words{kAmber} + must), two = planned(Words{other} + must),
             both = planned(Words{kAmber, other} + must);
  ASSERT_EQ(both["plans"].size(), 2u);
  EXPECT_EQ(both["plans"][0], one);
  EXPECT_EQ(both["plans"][1], two);
  const auto sum = [&](const char* list, const char* name) {
    return figure(one["order"][list][0], name) + figure(two["order"][list][0], name);
  };
  const json& order = both["order"];
  EXPECT_NEAR(figure(order, "new_wine_L"), sum("wines", "needed_L"), 1e-9);
  EXPECT_NEAR(figure(order, "must_L"), sum("making", "must_L"), 1e-9);
  EXPECT_NEAR(figure(order, "fruit_kg"), sum("making", "fruit_kg"), 1e-9);
  ASSERT_EQ(order["spirits"].size(), 1u);
  EXPECT_NEAR(figure(order["spirits"][0], "order_L"), sum("making", "spirit_order_L"), 1e-9);
}

TEST(RefreshCommand, ChoosesFromLotsAtHandAndTypesTheChoice) {
  const json plan = planned(
      {kAmber, "--lots", "GG23: 150 L, GG24: 200 L, GG25: 300 L", "--strength", "18.05 %vol", "--youngest", "1 year"});
  double litres = 0.0, alcohol = 0.0;
  for (const json& wine : plan["order"]["wines"]) {
    litres += figure(wine, "goes_in_L");
    alcohol += figure(wine, "goes_in_L") * figure(wine, "alcohol_pct");
  }
  EXPECT_NEAR(litres, kNew, 1e-9);
  EXPECT_NEAR(alcohol / litres, 18.05, 0.001);  // amounts are rounded to 0.1 L
  EXPECT_EQ(plan["order"]["chosen_by"], "cost");
  EXPECT_TRUE(plan["lot_lines"].empty());
}

// Every refusal: its status, and the figure that would make it possible.
struct Refused {
  Words words;
  int status;
  std::string figure;
};

TEST(RefreshCommand, SaysWhatWouldMakeItPossible) {
  const std::vector<Refused> all = {
      {{kAmber, "--draw", "1500 L"}, kFails, "a draw of up to 1276.8 L in place of 1,500.0 L"},
      {{kAmber, "--sugar", "245 g/L", "--spirit", "96 %vol"}, kBadInput, "--yield"},
      {{kAmber, "--yield", "650 L/t"}, kBadInput, "--sugar is missing"},
      {{kAmber, "--sugar", "245 g/L", "--from", "must"}, kBadInput, "--spirit is missing"},
      {{kAmber, "--sugar", "90 g/L", "--spirit", "96 %vol", "--from", "must"}, kFails, "g/L from this must"},
      {{kAmber, "--on", "2025-01-01"}, kBadInput, "--on 2026-02-10 or a later day"},
      {{kAmber, "--refill", "GG52"}, kBadInput, "did you mean 'GG25'?"},
      {{kAmber, "--lots", "GG24: 100 L"}, kFails, "208.6 L more"},
      {{kAmber, "--lots", "GG25: 400 L", "--youngest", "3 years"}, kFails, "--youngest up to \"1.41 years\""},
      {{kAmber, "--lots", "GG24: 400 L, GG25: 400 L", "--strength", "19 %vol"}, kFails, "17.90 to 18.20 %vol"},
      {{kAmber, "--soakage", "X1: 5 L"}, kBadInput, "B1, B2"},
      {{kAmber, "--error", "30 %"}, kBadInput, "up to 25 %"},
      {{kAmber, "--draw", "20"}, kBadInput, "--draw"},
      {{kAmber, "--sheet", "--json"}, kBadInput, "--sheet"},
      {{kAmber, "--lees", "95 %"}, kBadInput, "0 % to 90 %"},
      {{kAmber, "--strength", "18 %vol"}, kBadInput, "--lots"},
      {{kAmber, "--sugar", "245 g/L", "--spirit", "96 %vol", "--yield", "0 L/t"}, kBadInput, "above 0 L/kg"},
      {{kAmber, "--draw", "110 %"}, kBadInput, "up to 100 %"},
  };
  for (const Refused& refused : all) {
    std::string line;
    for (const std::string& word : refused.words) line += word + ' ';
    SCOPED_TRACE(line);
    const test::Answer answer = typed(refused.words);
    EXPECT_EQ(answer.status, refused.status) << answer.err;
    EXPECT_NE(answer.err.find(refused.figure), std::string::npos) << answer.err;
    EXPECT_EQ(answer.out, "");
  }
}

// What is named as possible is possible, and a tenth of a litre more is not.
TEST(RefreshCommand, TheDrawThatIsNamedAsPossibleIsPossible) {
  EXPECT_EQ(typed({kAmber, "--draw", "1276.8 L"}).status, kFine);
  EXPECT_EQ(typed({kAmber, "--draw", "1276.9 L"}).status, kFails);
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

TEST(RefreshCommand, TheSheetFitsOneOrTwoPages) {
  for (const std::string name : {"amber", "three_tiers", "five_casks", "steel_reserve"}) {
    for (const Words& more : {Words{}, Words{"--units", "us", "--error", "2 %"}}) {
      SCOPED_TRACE(name);
      const Words sheet = {std::string(TIERCE_SOURCE_DIR) + "/scenarios/" + name + ".yaml", "--sheet"};
      const test::Answer answer = typed(sheet + more);
      ASSERT_EQ(answer.status, kFine) << answer.err;
      std::size_t pages = 1, on_page = 0;
      for (std::string line : lines_of(answer.out)) {
        if (line.starts_with("\f")) {
          ++pages;
          on_page = 0;
          line.erase(0, 1);
        }
        EXPECT_LE(++on_page, 60u) << line;
        EXPECT_LE(width_of_text(line), 90u) << line;
      }
      EXPECT_LE(pages, 2u);
      for (const char* part : {"GAUGE", "DRAW", "ADD", "READS", "FILL", "CHECK", "BAD AIR", "SO2", "no flame"})
        EXPECT_NE(answer.out.find(part), std::string::npos) << part;
    }
  }
}

// A block that is longer than a page is cut, others are not; each page has its number.
TEST(SheetPage, KeepsBlocksTogether) {
  const std::vector<Lines> blocks = {Lines(10, "a"), Lines(12, "b"), Lines(30, "c")};
  const std::string text = paged(blocks, {40, 20, "L", "M"});
  EXPECT_EQ(std::count(text.begin(), text.end(), '\f'), 3);
  for (const char* number : {"page 1 of 4", "page 4 of 4"}) EXPECT_NE(text.find(number), std::string::npos) << text;
  EXPECT_EQ(text.find("a\n\nb"), std::string::npos);
}

TEST(SheetPage, DrawsFiguresFiveLinesHigh) {
  EXPECT_EQ(large_figure("27.5"), (Lines{"### ###   ### ",  //
                                         "  #   #   #   ",  //
                                         "###   #   ### ",  //
                                         "#     #     # ",  //
                                         "###   # # ### "}));
}

}  // namespace
}  // namespace tierce
