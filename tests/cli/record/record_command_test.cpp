// `tierce record` as its user meets it: what it writes, what it says, and that a fault leaves the file as it was.
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <ctime>
#include <filesystem>
#include <fstream>

#include "cli/read/load.h"
#include "cli/read/scenario_keys.h"
#include "cli/record/write_file.h"
#include "tests/cli/command/program.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;
using test::read_file;
using test::run_program;
using test::Said;

const std::string kBook =
    "# A book\n"
    "reserve: Amber\n"
    "tiers:\n"
    "  - {name: nursery, vessels: [{name: N, count: 2, capacity: 225 L}], evaporation: 4 %/yr, vapour: 10 %vol}\n"
    "  - {name: floor, vessels: [{name: F, count: 2, capacity: 225 L}], evaporation: 4 %/yr, vapour: 10 %vol}\n"
    "tanks: [{name: T1, capacity: 500 L}]\n"
    "lots:\n"
    "  - {name: GG23, vintage: 2023, alcohol: 18 %vol, so2: {free: 10 mg/L, total: 60 mg/L}}\n"
    "  - {name: GG24, vintage: 2024, alcohol: 18 %vol, so2: {free: 10 mg/L, total: 60 mg/L}}\n"
    "spirits: [{name: S1, strength: 96 %vol}]\n"
    "log:\n"
    "  - {date: 2024-01-10, do: add, lot: GG23, to: floor, volume: 440 L}\n"
    "  - {date: 2024-01-10, do: add, lot: GG23, to: nursery, volume: 400 L}\n"
    "  - {date: 2024-01-12, do: add, lot: GG23, to: T1, volume: 200 L}   # the rest\n"
    "habit: {day: 10 Feb, draw: 20 %, for: \"Bottling {year}\", refill: {like: GG24}, dose: {so2: 20 mg/L}}\n"
    "until: 2026\n";
const std::size_t kEndOfLog = kBook.find("habit:");

/// The book with lines at the end of its log.
std::string with(const std::string& lines) { return std::string(kBook).insert(kEndOfLog, lines); }

class Record : public testing::Test {
 protected:
  void SetUp() override {
    fs::create_directories(folder_);
    write(kBook);
  }
  void TearDown() override { fs::remove_all(folder_); }

  std::string path() const { return (folder_ / "book.yaml").string(); }
  std::string text() const { return read_file(path()); }
  void write(const std::string& text) { std::ofstream(path(), std::ios::binary) << text; }
  Said record(const std::string& arguments) { return run_program("record '" + path() + "' " + arguments); }

  const fs::path folder_ = fs::temp_directory_path() / ("tierce-record-" + std::to_string(::getpid()));
};

const std::string kDays = "--date 2024-02-10 --entered 2024-02-10 ";

TEST_F(Record, WritesTheEntryAndSaysWhatTheBookNowSays) {
  const Said said = record("draw --from T1 --volume '50 L' --for 'Bottling 2024' --ref D-1 " + kDays);
  EXPECT_EQ(said.status, 0) << said.err;
  EXPECT_EQ(text(), with("  - {date: 2024-02-10, do: draw, from: T1, volume: 50 L, for: Bottling 2024, ref: D-1}\n"));
  EXPECT_NE(said.out.find("book.yaml:15: written, at the end of the log"), std::string::npos) << said.out;
  EXPECT_NE(said.out.find("T1    200.0  150.0"), std::string::npos) << said.out;  // 200 L less 50 L
}

TEST_F(Record, WritesALaterDayOfEntryIntoTheBook) {
  EXPECT_EQ(record("lose --from T1 --volume '5 L' --cause leak --date 2024-02-10 --entered 2024-03-01").status, 0);
  EXPECT_EQ(text(),
            with("  - {date: 2024-02-10, do: lose, from: T1, volume: 5 L, cause: leak, entered: 2024-03-01}\n"));
}

TEST_F(Record, TakesTodayWhereNoDayIsGivenAndSaysSo) {
  const std::time_t now = std::time(nullptr);
  char day[16];
  std::strftime(day, sizeof day, "%Y-%m-%d", std::localtime(&now));
  const Said said = record("gauge --tier T1 --volume '200 L' --show");
  EXPECT_NE(said.out.find(std::string("the day is today, ") + day), std::string::npos) << said.out;
  const Said earlier = record("gauge --tier T1 --volume '200 L' --date 2024-02-10 --show");
  EXPECT_NE(earlier.out.find(std::string("entered: ") + day), std::string::npos) << earlier.out;
  EXPECT_EQ(text(), kBook);
}

TEST_F(Record, PutsAnEntryInItsPlaceByDate) {
  const Said said = record("draw --from floor --volume '10 L' --date 2024-01-10 --entered 2024-01-10");
  std::string expected = kBook;
  expected.insert(expected.find("  - {date: 2024-01-12"),
                  "  - {date: 2024-01-10, do: draw, from: floor, volume: 10 L}\n");
  EXPECT_EQ(text(), expected);
  EXPECT_NE(said.out.find("before 1 entry of later days"), std::string::npos) << said.out;
}

TEST_F(Record, ShowsWithoutWriting) {
  EXPECT_EQ(record("draw --from T1 --volume '50 L' --show " + kDays).status, 0);
  EXPECT_EQ(text(), kBook);
}

TEST_F(Record, QuotesTextAndTakesMapsWithOrWithoutBraces) {
  record("draw --from T1 --volume '50 L' --for 'Bottling #9: late' " + kDays);
  record("analyse --tier T1 --so2 'free: 8 mg/L, total: 55 mg/L' " + kDays);
  record("gauge --gauge '{F1: 210 L}' --at='-1 °C' " + kDays);
  record("dose --tier floor --so2 '10 mg/L' --note \"say 'so'\" " + kDays);
  EXPECT_EQ(text(), with("  - {date: 2024-02-10, do: draw, from: T1, volume: 50 L, for: \"Bottling #9: late\"}\n"
                         "  - {date: 2024-02-10, do: analyse, tier: T1, so2: {free: 8 mg/L, total: 55 mg/L}}\n"
                         "  - {date: 2024-02-10, do: gauge, gauge: {F1: 210 L}, at: -1 °C}\n"
                         "  - {date: 2024-02-10, do: dose, tier: floor, so2: 10 mg/L, note: \"say 'so'\"}\n"));
}

// A fault of the new file leaves the old one as it stands; it is told as `check` tells it.
TEST_F(Record, WritesNothingIfTheFileWouldHaveAFault) {
  for (const char* wrong :
       {"draw --from T1 --volume '500 L' ", "draw --from nowhere --volume '5 L' ", "draw --from T1 ",
        "draw --from T1 --volume '5' ", "dose --to 'free: 5 furlongs' ", "move --from T1 --to T1 --share '5 %' "}) {
    const Said said = record(wrong + kDays);
    EXPECT_EQ(said.status, 2) << wrong;
    EXPECT_NE(said.err.find("book.yaml:15:"), std::string::npos) << said.err;
    EXPECT_NE(said.err.find("nothing was written"), std::string::npos) << said.err;
    EXPECT_EQ(said.out, "");
    EXPECT_EQ(text(), kBook);
  }
}

TEST_F(Record, AnEarlierEntryMayNotTakeWhatALaterOneNeeds) {
  write(with("  - {date: 2024-03-01, do: draw, from: T1, volume: 190 L}\n"));
  const std::string before = text();
  const Said said = record("draw --from T1 --volume '20 L' " + kDays);
  EXPECT_EQ(said.status, 2);
  EXPECT_NE(said.err.find("the draw asks for 190 L, but tank 'T1' holds 180 L"), std::string::npos) << said.err;
  EXPECT_EQ(text(), before);
}

TEST_F(Record, DoesNotTouchAFileThatIsFaultyAlready) {
  const std::string faulty = kBook + "untill: 2030\n";
  write(faulty);
  const Said said = record("draw --from T1 --volume '5 L' " + kDays);
  EXPECT_EQ(said.status, 2);
  EXPECT_NE(said.err.find("the file itself has to be mended first"), std::string::npos) << said.err;
  EXPECT_EQ(text(), faulty);
}

TEST_F(Record, RefusesWhatCouldBreakOutOfAValue) {
  for (const char* wrong : {"--so2 'free: 5 mg/L}, do: lose, x: {a: b'", "--note $'two\\nlines'", "--note $'\\x1b[2J'",
                            "--so2 '{free: 5 mg/L} # so'"}) {
    const Said said = run_program("record '" + path() + "' analyse --tier T1 " + wrong);
    EXPECT_EQ(said.status, 2) << wrong;
    EXPECT_EQ(text(), kBook) << wrong;
  }
}

TEST_F(Record, ExplainsItsArguments) {
  EXPECT_NE(record("drew --from T1").err.find("did you mean 'draw'?"), std::string::npos);
  EXPECT_NE(record("draw --form T1").err.find("did you mean '--from'?"), std::string::npos);
  EXPECT_NE(record("draw --lot GG23").err.find("belongs to add, refill"), std::string::npos);
  EXPECT_NE(record("draw T1").err.find("each value stands behind its key"), std::string::npos);
  EXPECT_NE(record("draw --date 10.2.2024").err.find("--date: "), std::string::npos);
  EXPECT_NE(record("").err.find("what was done?"), std::string::npos);
  EXPECT_NE(run_program("record no-such-file.yaml draw --from x").err.find("there is no such file"), std::string::npos);
  EXPECT_FALSE(fs::exists(fs::path(TIERCE_SOURCE_DIR) / ".no-such-file.yaml.tierce-lock"));
}

// Every verb of the key table can be recorded, and its help names every key.
TEST_F(Record, KnowsEveryVerbAndKeyOfTheFile) {
  for (const std::string& verb : keys::verbs()) {
    const Said said = run_program("record " + verb + " --help");
    EXPECT_EQ(said.status, 0);
    for (std::string key : keys::entry(verb)->names()) {
      std::replace(key.begin(), key.end(), ' ', '-');
      if (key == "do") continue;
      EXPECT_NE(said.out.find("--" + key + ' '), std::string::npos) << verb << ' ' << key;
    }
  }
}

TEST_F(Record, CorrectsAnEntry) {
  record("draw --from T1 --volume '50 L' --ref D-1 " + kDays);
  const Said said = record(
      "correct --entry 'ref: D-1' --because 'read the wrong line' --with 'volume: 40 L' "
      "--date 2024-02-12 --entered 2024-02-12");
  EXPECT_EQ(said.status, 0) << said.err;
  EXPECT_EQ(text(), with("  - {date: 2024-02-10, do: draw, from: T1, volume: 50 L, ref: D-1}\n"
                         "  - {date: 2024-02-12, do: correct, entry: {ref: D-1}, because: read the wrong line, with: "
                         "{volume: 40 L}}\n"));
  EXPECT_NE(said.out.find("T1    150.0  160.0"), std::string::npos) << said.out;
  EXPECT_EQ(
      record(
          "correct --entry 'ref: D-1' --because 'it was not done' --with none --date 2024-02-13 --entered 2024-02-13")
          .status,
      0);
  EXPECT_NE(
      run_program("stock --json '" + path() + "' --as-known-on 2024-02-11").out.find("2 corrections that came later"),
      std::string::npos)
      << text();
}

TEST_F(Record, SheetAsksForTheBlanksOneByOne) {
  // day, number of the sheet; nursery: volume, temperature, strength, volatile, free, total; floor: the same, skipped
  // but for the volume; draw, new wine, lot (habit's lot is of the file), doses.
  const std::string answers =
      "2024-02-10\nS-7\n"
      "385\n11 °C\n18.1\n\n6\n55 mg/L\n"
      "twelve\n420 L\n\n\n\n\n\n"
      "84\n\n"
      "16\n\n"
      "yes\n";
  std::ofstream(folder_ / "answers") << answers;
  const Said said = record("--sheet <'" + (folder_ / "answers").string() + "'");
  EXPECT_EQ(said.status, 0) << said.out << said.err;
  std::string now = text();
  // They came into the book on the day on which this test runs.
  for (auto at = now.find(", entered: "); at != std::string::npos; at = now.find(", entered: ")) now.erase(at, 21);
  EXPECT_EQ(now, with("  - {date: 2024-02-10, do: gauge, tier: nursery, volume: 385 L, at: 11 °C, ref: S-7}\n"
                      "  - {date: 2024-02-10, do: analyse, tier: nursery, alcohol: 18.1 %vol, so2: {free: 6 mg/L, "
                      "total: 55 mg/L}, ref: S-7}\n"
                      "  - {date: 2024-02-10, do: gauge, tier: floor, volume: 420 L, ref: S-7}\n"
                      "  - {date: 2024-02-10, do: draw, from: floor, volume: 84 L, for: Bottling 2024, ref: S-7}\n"
                      "  - {date: 2024-02-10, do: dose, tier: nursery, metabisulfite: 16 g, ref: S-7}\n"));
  EXPECT_NE(said.out.find("'twelve' does not begin with a number"), std::string::npos) << said.out;
}

TEST_F(Record, SheetWritesNothingWithoutAYes) {
  for (const char* answers : {"2024-02-10\n", "2024-02-10\n\n385\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\nno\n", ""}) {
    std::ofstream(folder_ / "answers") << answers;
    record("--sheet <'" + (folder_ / "answers").string() + "'");
    EXPECT_EQ(text(), kBook);
  }
}

// An editor that saves the file between reading and writing wins.
TEST_F(Record, DoesNotWriteOverWhatSomebodyElseWroteMeanwhile) {
  WritingTurn turn(path(), "a test");
  const auto seen = stamp_of(path());
  write(kBook + "# saved by an editor\n");
  EXPECT_NE(turn.replace("mine", seen), "");
  EXPECT_EQ(text(), kBook + "# saved by an editor\n");
  EXPECT_EQ(turn.replace("mine", stamp_of(path())), "");
  EXPECT_EQ(text(), "mine");
}

}  // namespace
}  // namespace tierce
