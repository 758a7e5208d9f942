// How far a figure was from the table it was checked against. Whoever reads a table with csv.h gets an EXPECT_NEAR that
// remembers, for each expression checked, the place nearest to its tolerance. With TIERCE_DEVIATIONS=FILE the test
// program writes them at its end, and reference/validation.py puts them into docs/validation.md.
#pragma once

#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <fstream>
#include <map>
#include <string>
#include <utility>

namespace tierce::test {

class Deviations {
 public:
  static Deviations& all() {
    static Deviations deviations;
    return deviations;
  }

  /// The running test checks against this table, unless it has begun with a longer one: the other then has constants.
  void begin(const std::string& table, std::size_t rows) {
    const testing::TestInfo* test = testing::UnitTest::GetInstance()->current_test_info();
    if (test == test_ && rows < rows_) return;
    table_ = table;
    rows_ = rows;
    test_ = test;
  }

  void note(const std::string& expression, double got, double want, double tolerance) {
    if (test_ == nullptr || test_ != testing::UnitTest::GetInstance()->current_test_info()) return;
    Worst& worst = worst_[{table_, expression}];
    ++worst.checks;
    const double apart = std::abs(got - want);
    if (worst.checks > 1 && !(apart / tolerance > worst.apart / worst.tolerance)) return;
    worst.apart = apart;
    worst.tolerance = tolerance;
  }

  ~Deviations() {
    const char* file = std::getenv("TIERCE_DEVIATIONS");
    if (file == nullptr) return;
    std::ofstream out(file);
    for (const auto& [key, worst] : worst_)
      out << key.first << '\t' << key.second << '\t' << worst.checks << '\t' << worst.apart << '\t' << worst.tolerance
          << '\n';
  }

 private:
  struct Worst {
    int checks = 0;
    double apart = 0.0, tolerance = 0.0;
  };
  std::string table_;
  std::size_t rows_ = 0;
  const testing::TestInfo* test_ = nullptr;
  std::map<std::pair<std::string, std::string>, Worst> worst_;  // by table and expression
};

inline testing::AssertionResult near_the_table(const char* got_text, const char* want_text, const char* tolerance_text,
                                               double got, double want, double tolerance) {
  Deviations::all().note(got_text, got, want, tolerance);
  return testing::internal::DoubleNearPredFormat(got_text, want_text, tolerance_text, got, want, tolerance);
}

}  // namespace tierce::test

#undef EXPECT_NEAR
#define EXPECT_NEAR(got, want, tolerance) EXPECT_PRED_FORMAT3(::tierce::test::near_the_table, got, want, tolerance)
