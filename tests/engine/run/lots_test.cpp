// Lots with a volume, and wine of another reserve: figures worked out by hand.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>

#include "cli/read/load.h"
#include "engine/measure/age.h"
#include "engine/measure/balance.h"
#include "engine/measure/losses.h"
#include "engine/run/outlook.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;

/// A folder of scenario files, removed afterwards.
class Folder {
 public:
  explicit Folder(const std::string& name) : path_(fs::temp_directory_path() / ("tierce-lots-" + name)) {
    fs::create_directories(path_);
  }
  ~Folder() { fs::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  void write(const std::string& name, const std::string& text) const { std::ofstream(path_ / name) << text; }
  LoadedScenario load(const std::string& name) const { return load_scenario((path_ / name).string()); }

 private:
  fs::path path_;
};

std::string reserve(const std::string& name, const std::string& clock, const std::string& lots,
                    const std::string& log) {
  return "reserve: " + name + "\nclock: " + clock +
         "\ntiers:\n  - {name: floor, vessels: [{name: F, count: 4, capacity: 200 L}], evaporation: 0 %/yr}\n"
         "tanks: [{name: T3, capacity: 1000 L}]\nlots:\n" +
         lots + "log:\n" + log;
}

const char* const kTwoLots =
    "  - {name: GG20, vintage: 2020, harvested: 2020-10-01, alcohol: 18 %vol, sugar: 100 g/L, cost: 6.00 EUR/L}\n"
    "  - {name: GG23, vintage: 2023, harvested: 2023-10-01, alcohol: 16 %vol, sugar: 60 g/L, cost: 10.00 EUR/L}\n";

/// 600 L of 2020 and 200 L of 2023, of which 300 L leave for another reserve on 1 October 2024.
std::string giving(const std::string& clock) {
  return reserve("Amber", clock, kTwoLots,
                 "  - {date: 2021-10-01, do: add, lot: GG20, to: floor, volume: 600 L}\n"
                 "  - {date: 2023-10-01, do: add, lot: GG23, to: floor, volume: 200 L}\n"
                 "  - {date: 2024-10-01, do: draw, from: floor, volume: 300 L, use: bulk, for: To Tern}\n");
}

std::string taking(const std::string& clock) {
  return reserve("Tern", clock, "  - {name: Amber 24, from: amber.yaml, draw: To Tern}\n",
                 "  - {date: 2025-10-01, do: add, lot: Amber 24, to: floor, volume: 200 L}\n"
                 "  - {date: 2026-10-01, do: draw, from: floor, volume: 50 L}\n");
}

double mean_age_y(const std::string& clock) {
  const Folder folder("age-" + clock);
  folder.write("amber.yaml", giving(clock));
  folder.write("tern.yaml", taking(clock));
  const LoadedScenario loaded = folder.load("tern.yaml");
  EXPECT_TRUE(loaded.problems.empty()) << loaded.problems.front().what;
  const Outlook outlook = run_scenario(loaded.scenario, {});
  const DrawRecord& draw = outlook.run.draws.at(0);
  return age_of(outlook.line, outlook.scenario.clock, draw.wine, draw.day).mean_y;
}

TEST(WineOfAnotherReserve, KeepsItsAgesByEveryClock) {
  EXPECT_NEAR(mean_age_y("harvest"), 0.75 * 6.0 + 0.25 * 3.0, 1e-12);
  EXPECT_NEAR(mean_age_y("entry"), 0.75 * 5.0 + 0.25 * 3.0, 1e-12);  // the year between the two cellars counts too
  EXPECT_NEAR(mean_age_y("wood"), 0.75 * (3.0 + 1.0) + 0.25 * (1.0 + 1.0), 1e-12);  // but not as a year in wood
}

// 100 L lose a tenth a year for two years: the 40 L that are brought entered as 40 / 0.81 L. Beside 40 L that lost none
// they are 3 years old and the others 1.
TEST(WineOfAnotherReserve, WeighsByWhatEnteredBeforeItCame) {
  const Folder folder("entered");
  folder.write("amber.yaml",
               "reserve: Amber\ntiers: [{name: floor, vessels: [{name: F, capacity: 100 L}], evaporation: 10 %/yr, "
               "vapour: 10 %vol}]\nlots: [{name: GG20, vintage: 2020, harvested: 2020-10-01, alcohol: 18 %vol}]\nlog:\n"
               "  - {date: 2020-10-01, do: add, lot: GG20, to: floor, volume: 100 L}\n"
               "  - {date: 2022-10-01, do: draw, from: floor, volume: 40 L, use: bulk, for: To Tern}\n");
  folder.write("tern.yaml", reserve("Tern", "harvest",
                                    "  - {name: Amber 22, from: amber.yaml, draw: To Tern}\n"
                                    "  - {name: GG22, vintage: 2022, harvested: 2022-10-01, alcohol: 18 %vol}\n",
                                    "  - {date: 2022-10-01, do: add, lot: Amber 22, to: floor, volume: 40 L}\n"
                                    "  - {date: 2022-10-01, do: add, lot: GG22, to: floor, volume: 40 L}\n"
                                    "  - {date: 2023-10-01, do: draw, from: floor, volume: 50 L}\n"));
  const LoadedScenario loaded = folder.load("tern.yaml");
  ASSERT_TRUE(loaded.problems.empty()) << loaded.problems.front().what;
  const Outlook outlook = run_scenario(loaded.scenario, {});
  const DrawRecord& draw = outlook.run.draws.at(0);
  const auto age = age_of(outlook.line, outlook.scenario.clock, draw.wine, draw.day);
  EXPECT_NEAR(age.mean_y, 2.0, 1e-12);
  EXPECT_NEAR(age.mean_by_solids_y, (40.0 / 0.81 * 3.0 + 40.0 * 1.0) / (40.0 / 0.81 + 40.0), 1e-12);
}

TEST(WineOfAnotherReserve, BringsItsStrengthSugarCostAndWhatIsLeftOfIt) {
  const Folder folder("contents");
  folder.write("amber.yaml", giving("harvest"));
  folder.write("tern.yaml", taking("harvest"));
  const LoadedScenario loaded = folder.load("tern.yaml");
  ASSERT_TRUE(loaded.problems.empty());
  const Lot& lot = loaded.scenario.lots[0];
  EXPECT_NEAR(lot.wine.alcohol_pct, 0.75 * 18.0 + 0.25 * 16.0, 1e-12);
  EXPECT_NEAR(lot.wine.sugar_g_l, 90.0, 1e-12);
  EXPECT_NEAR(lot.cost.per_litre, 7.0, 1e-12);
  const Outlook outlook = run_scenario(loaded.scenario, {});
  const auto accounts = lot_accounts(outlook.scenario, outlook.line, outlook.run);
  ASSERT_EQ(accounts.size(), 1u);
  EXPECT_NEAR(accounts[0].left_l, 100.0, 1e-9);
  EXPECT_NEAR(outlook.run.looks.back().alcohol_l(0), 150.0 * 0.175, 1e-9);
  EXPECT_NEAR(balance_of_volume(outlook.run).gap(), 0.0, 1e-9 * 200.0);
  EXPECT_LT(largest_parcel_gap_l(outlook.run), 1e-9 * 200.0);
}

std::string fault_of(const LoadedScenario& loaded) {
  return loaded.problems.empty() ? "" : loaded.problems.front().what + " | " + loaded.problems.front().hint;
}

TEST(WineOfAnotherReserve, IsRefusedWhereItCannotBe) {
  const Folder folder("faults");
  folder.write("amber.yaml", giving("harvest"));
  const auto fault = [&](const std::string& lot, const std::string& log) {
    folder.write("tern.yaml", reserve("Tern", "harvest", "  - " + lot + "\n", log));
    return fault_of(folder.load("tern.yaml"));
  };
  const std::string none = "  []\n";
  EXPECT_EQ(fault("{name: X, from: amber.yaml, draw: To Turn}", none),
            "the book of amber.yaml has no draw 'To Turn' | did you mean 'To Tern'?");
  EXPECT_NE(fault("{name: X, from: topaz.yaml, draw: To Tern}", none).find("topaz.yaml is not read"),
            std::string::npos);
  EXPECT_EQ(fault("{name: X, from: amber.yaml, draw: To Tern}",
                  "  - {date: 2025-10-01, do: add, lot: X, to: floor, volume: 301 L}\n"),
            "this takes 301 L of lot 'X', of which 300 L is left on 2025-10-01 | 1 L short");
  EXPECT_EQ(fault("{name: X, from: amber.yaml, draw: To Tern}",
                  "  - {date: 2024-09-30, do: add, lot: X, to: floor, volume: 30 L}\n"),
            "the log adds lot 'X' on 2024-09-30, before it was drawn on 2024-10-01 | ");
  EXPECT_EQ(fault("{name: X, from: tern.yaml, draw: To Tern}", none),
            "the files name one another in a ring: tern.yaml -> tern.yaml | ");
  EXPECT_EQ(fault("{name: X, from: /dev/zero, draw: To Tern}", none),
            "/dev/zero is not read: it is a pipe or a device | ");
}

TEST(WineOfAnotherReserve, NamesTheWholeRingOfFiles) {
  const Folder folder("ring");
  const auto naming = [&](const std::string& file) {
    return reserve("R", "harvest", "  - {name: X, from: " + file + ", draw: D}\n", "  []\n");
  };
  folder.write("a.yaml", naming("b.yaml"));
  folder.write("b.yaml", naming("c.yaml"));
  folder.write("c.yaml", naming("a.yaml"));
  EXPECT_NE(fault_of(folder.load("a.yaml")).find("a.yaml -> b.yaml -> c.yaml -> a.yaml"), std::string::npos)
      << fault_of(folder.load("a.yaml"));
}

// Each of twenty files takes two draws of the next: read again for each lot, the last would be read a million times.
// Equal parts of one wine are that wine.
TEST(WineOfAnotherReserve, ReadsAFileOnceThoughManyLotsComeFromIt) {
  const Folder folder("chain");
  const auto draws_on = [](int year) {
    const std::string day = "  - {date: " + std::to_string(year) + "-10-01, do: ";
    return day + "draw, from: floor, volume: 50 L, use: bulk, for: One}\n" + day +
           "draw, from: floor, volume: 50 L, use: bulk, for: Two}\n";
  };
  constexpr int kFiles = 20;
  for (int file = 0; file < kFiles; ++file) {
    const std::string next = "f" + std::to_string(file + 1) + ".yaml", year = std::to_string(2020 + kFiles - file);
    const auto add = [&](const std::string& lot) {
      return "  - {date: " + year + "-10-01, do: add, lot: " + lot + ", to: floor, volume: 50 L}\n";
    };
    folder.write("f" + std::to_string(file) + ".yaml",
                 reserve("R" + std::to_string(file), "harvest",
                         "  - {name: X, from: " + next + ", draw: One}\n  - {name: Y, from: " + next + ", draw: Two}\n",
                         add("X") + add("Y") + draws_on(2020 + kFiles - file)));
  }
  folder.write("f" + std::to_string(kFiles) + ".yaml",
               reserve("Last", "harvest", kTwoLots,
                       "  - {date: 2020-10-01, do: add, lot: GG20, to: floor, volume: 100 L}\n" + draws_on(2020)));
  const LoadedScenario loaded = folder.load("f0.yaml");
  ASSERT_TRUE(loaded.problems.empty()) << loaded.problems.front().what;
  EXPECT_NEAR(loaded.scenario.lots[0].wine.alcohol_pct, 18.0, 1e-9);
  EXPECT_NEAR(loaded.scenario.lots[0].wine.sugar_g_l, 100.0, 1e-9);
}

Outlook run_of(const std::string& lots, const std::string& log) {
  std::vector<Problem> problems;
  const LoadedScenario loaded = check_source(source_from("lots.yaml", reserve("Amber", "entry", lots, log), problems));
  EXPECT_TRUE(loaded.problems.empty()) << loaded.problems.front().what;
  return run_scenario(loaded.scenario, {});
}

// 410 L less 3 % of lees are 397.7 L.
TEST(LotWithAVolume, CountsWhatIsLeft) {
  const Outlook outlook = run_of(
      "  - {name: GG26, harvested: 2026-09-20, alcohol: 18 %vol, made: {volume: 410 L, date: 2026-10-20}, lees: 3 %}\n",
      "  - {date: 2026-11-01, do: add, lot: GG26, to: floor, volume: 300 L}\n");
  const auto accounts = lot_accounts(outlook.scenario, outlook.line, outlook.run);
  ASSERT_EQ(accounts.size(), 1u);
  EXPECT_NEAR(accounts[0].lees_l, 12.3, 1e-12);
  EXPECT_NEAR(accounts[0].used_l(), 300.0, 1e-9);
  EXPECT_NEAR(accounts[0].left_l, 97.7, 1e-9);
}

TEST(LotWithAVolume, StandsInItsTankFromItsDayOnAndEntersTheTiersWhenItIsUsed) {
  const Outlook outlook = run_of(
      "  - {name: GG26, harvested: 2026-09-20, alcohol: 18 %vol, made: {volume: 410 L, date: 2026-10-20}, lees: 3 %, "
      "in: "
      "T3}\n",
      "  - {date: 2026-12-01, do: refill, from: T3, volume: 300 L}\n"
      "  - {date: 2027-12-01, do: draw, from: floor, volume: 30 L}\n");
  const Balance balance = balance_of_volume(outlook.run);
  EXPECT_NEAR(balance.flow[kIn], 410.0, 1e-9);
  EXPECT_NEAR(balance.flow[kLost], 12.3, 1e-9);
  EXPECT_NEAR(outlook.run.looks.back().volume[1], 97.7, 1e-9);
  const auto accounts = lot_accounts(outlook.scenario, outlook.line, outlook.run);
  EXPECT_NEAR(accounts[0].left_l, 97.7, 1e-9);
  EXPECT_NEAR(accounts[0].used_l(), 300.0, 1e-9);
  const DrawRecord& draw = outlook.run.draws[0];
  EXPECT_NEAR(age_of(outlook.line, Clock::entry, draw.wine, draw.day).mean_y, 1.0, 1e-12);
}

}  // namespace
}  // namespace tierce
