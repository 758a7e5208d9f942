// No file takes more than two seconds or 500 MB: what is larger is refused, in plain words, before it is run.
#include "cli/read/limits.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <functional>

#include "cli/read/load.h"
#include "cli/report/long_run.h"
#include "tests/cli/command/program.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;

const std::string kTier = "tiers: [{name: floor, vessels: [{name: F, capacity: 900000 L}], evaporation: 3 %/yr}]\n";
const std::string kHead = "reserve: Big\n" + kTier + "lots: [{name: GG21, vintage: 2021, alcohol: 18 %vol}]\n";
const std::string kFilled = "log:\n  - {date: 2021-11-01, do: add, lot: GG21, to: floor, volume: 400000 L}\n";

std::string repeated(const std::string& text, std::size_t times) {
  std::string all;
  all.reserve(text.size() * times);
  for (std::size_t i = 0; i < times; ++i) all += text;
  return all;
}

std::string numbered(std::size_t count, const std::function<std::string(const std::string&)>& line) {
  std::string all;
  for (std::size_t i = 0; i < count; ++i) all += line(std::to_string(i));
  return all;
}

std::string first_fault(const std::string& text, const Limits& limits = kUsualLimits) {
  std::vector<Problem> problems;
  Source source = source_from("big.yaml", text, problems, limits);
  if (problems.empty()) problems = check_source(std::move(source), limits).problems;
  return problems.empty() ? "" : problems.front().what;
}

TEST(Limits, RefuseWhatIsTooMuchText) {
  EXPECT_EQ(first_fault(repeated("# x\n", 4'000'000)), "the file is larger than 12 MB; --large lifts this limit");
  EXPECT_EQ(first_fault(kHead + repeated("\n", 500'000)),
            "the file has more than 400000 lines; --large lifts this limit");
  EXPECT_EQ(first_fault("reserve: [" + repeated("[],", 1'000'000) + "]\n"),
            "the file holds more than 900000 keys and values");
  EXPECT_EQ(first_fault("reserve: " + repeated("[", 100'000)), "lists and maps stand too deep inside one another");
  EXPECT_EQ(first_fault("reserve: " + repeated("[", 40) + repeated("]", 40) + "\n"),
            "lists and maps stand too deep inside one another");
  EXPECT_EQ(first_fault("reserve: " + repeated("a", 5'000) + "\n" + kTier), "a text of 5000 bytes stands here");
}

TEST(Limits, RefuseWhatIsTooLargeAReserve) {
  const auto lots = [](const std::string& i) { return "  - {name: L" + i + ", vintage: 2000, alcohol: 18 %vol}\n"; };
  EXPECT_EQ(first_fault("reserve: Big\n" + kTier + "lots:\n" + numbered(10'001, lots)), "the file has 10,001 lots");
  const auto tiers = [](const std::string& i) {
    return "  - {name: T" + i + ", vessels: [{name: V" + i + ", capacity: 225 L}]}\n";
  };
  EXPECT_EQ(first_fault("reserve: Big\nlots: [{name: GG21, vintage: 2021, alcohol: 18 %vol}]\ntiers:\n" +
                        numbered(2'001, tiers)),
            "the file has 2,001 tiers");
  EXPECT_EQ(
      first_fault(kHead + kFilled + repeated("  - {date: 2021-11-01, do: draw, from: floor, volume: 1 L}\n", 50'000)),
      "the file has 50,001 log entries");
  EXPECT_EQ(first_fault(kHead + kFilled + "habit: [" + repeated("{day: 10 Feb, draw: 1 L},", 51) + "]\n"),
            "the file has 51 routines");
  EXPECT_EQ(first_fault(kHead + kFilled + "habit: [" + repeated("{day: 10 Feb, draw: 1 L},", 50) + "]\nuntil: 2900\n"),
            "the habit has 44,000 days until 2900");
}

TEST(Limits, AreLiftedByLarge) {
  const auto lots = [](const std::string& i) { return "  - {name: L" + i + ", vintage: 2000, alcohol: 18 %vol}\n"; };
  EXPECT_EQ(first_fault("reserve: Big\n" + kTier + "lots:\n" + numbered(10'001, lots), kLargeLimits), "");
}

TEST(Limits, CountFaultsBeyondThoseThatAreShown) {
  // Each entry lacks its place and its volume, and has a key too many: three faults.
  std::vector<Problem> problems;
  Source source = source_from(
      "bad.yaml", kHead + "log:\n" + repeated("  - {date: 2021-11-01, do: lose, oops: 1}\n", 25'000), problems);
  problems = check_source(std::move(source)).problems;
  ASSERT_EQ(problems.size(), kMostFaults + 1);
  EXPECT_EQ(problems.back().what, "15000 more faults are not shown");
}

TEST(Limits, OfTheLongRunAreSaid) {
  const auto why = [](const std::string& habit) {
    std::vector<Problem> problems;
    const LoadedScenario loaded = check_source(source_from("long.yaml", kHead + kFilled + habit, problems));
    EXPECT_TRUE(loaded.problems.empty()) << loaded.problems[0].what;
    return why_text(long_run(loaded.scenario).why_not);
  };
  // 7 x 11 x 13 months, and a year: 1001 years, beyond any use.
  EXPECT_EQ(
      why("habit: [{every: 7 months, from: 2022-01-01, draw: 1 L}, {every: 11 months, from: 2022-01-01, draw: 1 L}, "
          "{every: 13 months, from: 2022-01-01, draw: 1 L}]\n"),
      "its routines meet again only after more than 50 years");
}

#if defined(NDEBUG)  // sanitizers take several times as much of both
/// Seconds of the processor and megabytes that a run of the program took; -1 where it did not end by itself.
struct Cost {
  double seconds = -1.0, megabytes = 0.0;
  int status = -1;
};

Cost cost_of(const std::string& text) {
  const fs::path file = fs::temp_directory_path() / ("tierce-limits-" + std::to_string(::getpid()) + ".yaml");
  std::ofstream(file) << text;
  const std::string path = file.string();
  const ::pid_t child = ::fork();
  if (child == 0) {
    const int nowhere = ::open("/dev/null", O_WRONLY);
    ::dup2(nowhere, 1);
    ::dup2(nowhere, 2);
    ::execl(TIERCE_PROGRAM, TIERCE_PROGRAM, "forecast", path.c_str(), nullptr);
    ::_exit(127);
  }
  int status = 0;
  ::rusage used{};
  ::wait4(child, &status, 0, &used);
  fs::remove(file);
  const auto seconds = [](const ::timeval& time) {
    return static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
  };
  return {seconds(used.ru_utime) + seconds(used.ru_stime), static_cast<double>(used.ru_maxrss) / 1024.0,
          WIFEXITED(status) ? WEXITSTATUS(status) : -1};
}

// 500 MB, and 2 s when nothing else runs; a test allows five times as long, so that only what has no limit fails it.
TEST(Limits, HoldTimeAndMemoryOfTheLargestFiles) {
  const std::string add = "  - {date: 2021-11-01, do: add, lot: GG21, to: floor, volume: 1 L}\n";
  const auto named = [](const std::string& i) { return "  - {name: L" + i + ", vintage: 2000, alcohol: 18 %vol}\n"; };
  const std::pair<const char*, std::string> files[] = {
      {"50,000 entries", kHead + "log:\n" + repeated(add, 50'000)},
      {"50,000 draws",
       kHead + kFilled + repeated("  - {date: 2021-11-01, do: draw, from: floor, volume: 1 L}\n", 49'999)},
      {"50,000 faults", kHead + "log:\n" + repeated("  - {date: 2021-11-01, do: ad, lot: GG2, too: flor}\n", 50'000)},
      {"10,000 lots", "reserve: Big\n" + kTier + "lots:\n" + numbered(10'000, named)},
      {"monthly for 800 years",
       kHead + kFilled + "habit: {every: 1 month, from: 2022-01-01, draw: 1 %, refill: {like: GG21}}\nuntil: 2821\n"},
      {"aliases", "reserve: &a x\nlots: [" + repeated("*a,", 400'000) + "]\n"},
      {"empty lists", "reserve: [" + repeated("[],", 899'000) + "]\n"},
      {"one long line",
       "reserve: {" + numbered(400'000, [](const std::string& i) { return "a" + i + ": 1,"; }) + "}\n"},
      {"blank lines", repeated("\n", 399'000) + kHead},
      {"open brackets", repeated("[", 11'000'000)},
      {"spaces", "reserve:" + repeated(" ", 11'000'000) + "x\n"}};
  for (const auto& [what, text] : files) {
    const Cost cost = cost_of(text);
    EXPECT_TRUE(cost.status == 0 || cost.status == 1 || cost.status == 2) << what << ": status " << cost.status;
    EXPECT_LE(cost.seconds, 10.0) << what;
    EXPECT_LE(cost.megabytes, 500.0) << what;
  }
}
#endif

}  // namespace
}  // namespace tierce
