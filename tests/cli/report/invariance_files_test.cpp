// What changes no figure of a file: gallons in place of litres, another time zone or locale, another folder. The
// scenarios of the project, run as their user runs them; both sides are runs of this program.
#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <regex>

#include "cli/write/write.h"
#include "tests/cli/command/program.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using test::read_file;
using test::run_program;
using test::Said;

const std::vector<std::string> kCommands = {"stock", "age", "forecast", "losses", "dose", "label"};

std::vector<std::string> scenarios() {
  std::vector<std::string> paths;
  for (const auto& entry : fs::directory_iterator(std::string(TIERCE_SOURCE_DIR) + "/scenarios"))
    if (entry.path().extension() == ".yaml") paths.push_back(entry.path().filename().string());
  std::sort(paths.begin(), paths.end());
  return paths;
}

/// A copy of the folder `scenarios`, gone with the object.
struct Elsewhere {
  fs::path folder = fs::temp_directory_path() / ("tierce-elsewhere-" + std::to_string(::getpid()));
  Elsewhere() {
    fs::remove_all(folder);
    fs::copy(std::string(TIERCE_SOURCE_DIR) + "/scenarios", folder);
  }
  ~Elsewhere() { fs::remove_all(folder); }
  Elsewhere(const Elsewhere&) = delete;
  Elsewhere& operator=(const Elsewhere&) = delete;
};

// 1 gal = 3.785411784 L exactly: 231 cubic inches (27 CFR 24.10; NIST Handbook 44, appendix C).
std::string in_gallons(const std::string& text) {
  static const std::regex kLitres(R"(([0-9][0-9.]*) L(?=[ ,}\]\n/]))");
  std::string converted;
  auto last = text.begin();
  for (std::sregex_iterator at(text.begin(), text.end(), kLitres), end; at != end; ++at) {
    converted.append(last, (*at)[0].first);
    converted += fixed_text(std::stod((*at)[1]) / 3.785411784, 15) + " gal";
    last = (*at)[0].second;
  }
  return converted.append(last, text.end());
}

void expect_close(const json& a, const json& b, const std::string& where) {
  ASSERT_EQ(a.type(), b.type()) << where << ": " << a << " and " << b;
  if (a.is_number_float()) {
    const double x = a.get<double>(), y = b.get<double>();
    ASSERT_NEAR(x, y, 1e-8 * std::max({1.0, std::abs(x), std::abs(y)})) << where;
  } else if (a.is_structured()) {
    ASSERT_EQ(a.size(), b.size()) << where;
    for (auto one = a.begin(), other = b.begin(); one != a.end(); ++one, ++other)
      expect_close(*one, *other, where + '/' + (a.is_object() ? one.key() : std::to_string(one - a.begin())));
  } else {
    ASSERT_EQ(a, b) << where;
  }
}

TEST(NoFigureChanges, WhenAFileStatesGallonsInPlaceOfLitres) {
  const Elsewhere elsewhere;
  std::size_t changed = 0;  // one of them states gallons already
  for (const std::string& name : scenarios()) {
    const std::string path = (elsewhere.folder / name).string(), text = read_file(path);
    std::ofstream(path, std::ios::binary) << in_gallons(text);
    changed += read_file(path) != text;
  }
  ASSERT_EQ(changed + 1, scenarios().size());
  for (const std::string& name : scenarios())
    for (const std::string& command : kCommands) {
      SCOPED_TRACE(command + " " + name);
      const Said litres = run_program(command + " --json scenarios/" + name);
      const Said gallons = run_program(command + " --json " + (elsewhere.folder / name).string());
      ASSERT_EQ(litres.status, gallons.status) << gallons.err;
      if (!litres.out.empty()) expect_close(json::parse(litres.out), json::parse(gallons.out), "");
      if (HasFatalFailure()) return;
    }
}

TEST(NoFigureChanges, WhenAFileLiesInAnotherFolder) {
  const Elsewhere elsewhere;
  for (const std::string& name : scenarios())
    for (const std::string& command : kCommands) {
      const Said here = run_program(command + " scenarios/" + name);
      const Said there = run_program(command + " " + (elsewhere.folder / name).string());
      ASSERT_EQ(here.out, there.out) << command << ' ' << name;
      ASSERT_EQ(here.status, there.status) << command << ' ' << name;
    }
}

/// A variable of the environment, set as it was when the object goes.
class Environment {
 public:
  Environment(const char* name, const char* value) : name_(name) {
    if (const char* old = std::getenv(name)) old_ = old;
    ::setenv(name, value, 1);
  }
  ~Environment() {
    if (old_) ::setenv(name_, old_->c_str(), 1);
    else ::unsetenv(name_);
  }
  Environment(const Environment&) = delete;
  Environment& operator=(const Environment&) = delete;

 private:
  const char* name_;
  std::optional<std::string> old_;
};

// Zones a day apart, and the zone's rules as text, which need no list of zones; a locale with a decimal comma, and one
// whose letter i has no dot. A locale that is not installed is that of C: then the test tells nothing, but holds.
TEST(NoFigureChanges, InAnotherTimeZoneOrLocale) {
  for (const std::string& name : scenarios())
    for (const std::string& command : kCommands) {
      const std::string line = command + " --today 2026-11-30 scenarios/" + name;
      const Said here = run_program(line);
      for (const auto& [zone, locale] : {std::pair("XXX-14", "de_DE.UTF-8"), std::pair("YYY+12", "tr_TR.UTF-8")}) {
        const Environment at("TZ", zone), in("LC_ALL", locale);
        const Said there = run_program(line);
        ASSERT_EQ(here.out, there.out) << line << ' ' << zone << ' ' << locale;
        ASSERT_EQ(here.err, there.err) << line << ' ' << zone << ' ' << locale;
      }
    }
}

}  // namespace
}  // namespace tierce
