// Every figure that a run tells of its wine, in one order, so that two runs can be held against each other.
#pragma once

#include <string>
#include <vector>

#include "engine/book/scenario.h"
#include "engine/run/timeline.h"

namespace tierce::test {

/// What a figure is of: amounts grow with the size of the cellar, all else does not.
enum class Kind { amount, strength, cost, age, of_parts, solid_age, sulfur, free_sulfur };

struct Figure {
  const char* what = "";
  std::string of{};  // a draw, a tier or a tank
  Kind kind = Kind::amount;
  double value = 0.0;
};

struct Figures {
  std::vector<Figure> all{};
  std::size_t faults = 0;  // entries of the log that could not be done
  bool stopped = false;    // the habit cannot be kept to the end
  bool ended = false;      // there is a stock at the end
};

/// Of each draw after `since`, and of each tier and the first `tanks` tanks at the end of the run.
Figures figures_of(const Scenario& scenario, std::size_t tanks, const Date& since = {0, 1, 1});

/// How far two figures of a kind may be apart; those of a kind that is left out are not looked at.
struct Tolerance {
  double amount = 1e-9;  // of the larger of one and the figure, as all but SO2
  double strength = 1e-9;
  double cost = 1e-9;
  double age = 1e-9;
  double solid_age = 1e-9;
  double sulfur_mg_l = 1e-7;
  double free_sulfur_mg_l = 1e-7;
};
constexpr double kNotLookedAt = 1e300;

/// Expects the same figures, those of amounts `factor` times as large.
void expect_same(const Figures& a, const Figures& b, const Tolerance& tolerance = {}, double factor = 1.0);

}  // namespace tierce::test
