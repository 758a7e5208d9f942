#include "engine/plan/lot_choice.h"

#include <algorithm>
#include <cmath>
#include <coin/ClpSimplex.hpp>
#include <optional>

namespace tierce {
namespace {

// A wine that is this near to what was wanted has it; far below any measurement.
constexpr double kNearPct = 1e-6;   // %vol
constexpr double kNearGL = 1e-5;    // g/L
constexpr double kNearPart = 1e-9;  // of the litres wanted
// How far from a wish weighs as much as how far from the other, where both cannot be met: what a laboratory can tell.
constexpr double kPctWeight = 1.0 / 0.1;  // for each %vol
constexpr double kSugarWeight = 1.0;      // for each g/L

/// One linear program over the lots: litres of each, in parts of the litres wanted so that all figures are near 1.
class Program {
 public:
  Program(const std::vector<LotAtHand>& lots, const WantedWine& wanted) : wanted_(wanted) {
    for (const LotAtHand& lot : lots) {
      const bool young = lot.age_y < wanted.youngest_y;
      upper_.push_back(young ? 0.0 : std::min(1.0, lot.available_l / wanted.litres));
      strength_.push_back(is_known(lot.alcohol_pct) ? lot.alcohol_pct : 0.0);
      sugar_.push_back(is_known(lot.sugar_g_l) ? lot.sugar_g_l : 0.0);
    }
  }

  void want_strength() { rows_.push_back({strength_, wanted_.alcohol_pct, kNearPct}); }
  void want_sugar() { rows_.push_back({sugar_, wanted_.sugar_g_l, kNearGL}); }
  const std::vector<double>& strength() const { return strength_; }
  const std::vector<double>& sugar() const { return sugar_; }

  /// The parts with the least sum of part x price; empty if there are none.
  std::optional<std::vector<double>> cheapest(const std::vector<double>& price) const {
    ClpSimplex model;
    model.setLogLevel(0);
    const int lots = static_cast<int>(upper_.size());
    model.resize(0, lots);
    for (int i = 0; i < lots; ++i) {
      model.setColumnLower(i, 0.0);
      model.setColumnUpper(i, upper_[at(i)]);
      model.setObjectiveCoefficient(i, price[at(i)]);
    }
    add_row(model, std::vector<double>(upper_.size(), 1.0), 1.0, 0.0);
    for (const Row& row : rows_) add_row(model, row.factors, row.wanted, row.near);
    if (!solved(model)) return std::nullopt;
    return parts_of(model);
  }

  /// The parts whose strength and sugar are nearest to what is wanted.
  std::optional<std::vector<double>> nearest() const {
    ClpSimplex model;
    model.setLogLevel(0);
    const int lots = static_cast<int>(upper_.size());
    model.resize(0, lots + 4);  // and what is too much or too little of either
    for (int i = 0; i < lots; ++i) model.setColumnUpper(i, upper_[at(i)]);
    for (int i = 0; i < lots + 4; ++i) model.setColumnLower(i, 0.0);
    for (int i = lots; i < lots + 4; ++i) {
      model.setColumnUpper(i, COIN_DBL_MAX);
      model.setObjectiveCoefficient(i, i < lots + 2 ? kPctWeight : kSugarWeight);
    }
    add_row(model, std::vector<double>(upper_.size(), 1.0), 1.0, 0.0);
    const auto near = [&](std::vector<double> factors, double wanted, int slack) {
      if (!is_known(wanted)) return;
      factors.resize(upper_.size() + 4, 0.0);
      factors[upper_.size() + at(slack)] = 1.0;
      factors[upper_.size() + at(slack) + 1] = -1.0;
      add_row(model, factors, wanted, 0.0);
    };
    near(strength_, wanted_.alcohol_pct, 0);
    near(sugar_, wanted_.sugar_g_l, 2);
    if (!solved(model)) return std::nullopt;
    return parts_of(model);
  }

 private:
  struct Row {
    std::vector<double> factors;
    double wanted, near;
  };
  static std::size_t at(int i) { return static_cast<std::size_t>(i); }

  static void add_row(ClpSimplex& model, const std::vector<double>& factors, double wanted, double near) {
    std::vector<int> columns(factors.size());
    for (std::size_t i = 0; i < columns.size(); ++i) columns[i] = static_cast<int>(i);
    model.addRow(static_cast<int>(factors.size()), columns.data(), factors.data(), wanted - near, wanted + near);
  }

  static bool solved(ClpSimplex& model) {
    model.setPrimalTolerance(1e-9);
    model.setDualTolerance(1e-9);
    model.initialSolve();
    return model.isProvenOptimal();
  }

  std::vector<double> parts_of(const ClpSimplex& model) const {
    std::vector<double> parts(upper_.size());
    for (std::size_t i = 0; i < parts.size(); ++i) parts[i] = std::clamp(model.getColSolution()[i], 0.0, upper_[i]);
    return parts;
  }

  WantedWine wanted_;
  std::vector<double> upper_, strength_, sugar_;
  std::vector<Row> rows_;
};

double mean_of(const std::vector<double>& parts, const std::vector<double>& values) {
  double sum = 0.0, of_all = 0.0;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    sum += parts[i] * values[i];
    of_all += parts[i];
  }
  return sum / of_all;
}

std::vector<double> negative(std::vector<double> values) {
  for (double& value : values) value = -value;
  return values;
}

Reach reach_of(const Program& program, const std::vector<double>& values) {
  const auto low = program.cheapest(values), high = program.cheapest(negative(values));
  if (!low || !high) return {};
  return {mean_of(*low, values), mean_of(*high, values)};
}

/// By cost where every lot has one, else by age, oldest first.
std::vector<double> prices(const std::vector<LotAtHand>& lots, bool& by_cost) {
  by_cost = std::all_of(lots.begin(), lots.end(), [](const LotAtHand& lot) { return is_known(lot.cost_per_l); });
  std::vector<double> price;
  for (const LotAtHand& lot : lots) price.push_back(by_cost ? lot.cost_per_l : is_known(lot.age_y) ? -lot.age_y : 0.0);
  return price;
}

bool outside(double wanted, const Reach& reach, double near) {
  return is_known(wanted) && (wanted < reach.low - near || wanted > reach.high + near);
}

void take(LotChoice& choice, const Program& program, const std::vector<double>& parts, double litres) {
  choice.litres.clear();
  for (const double part : parts) choice.litres.push_back(part * litres);
  choice.alcohol_pct = mean_of(parts, program.strength());
  choice.sugar_g_l = mean_of(parts, program.sugar());
}

}  // namespace

LotChoice choose_lots(const std::vector<LotAtHand>& lots, const WantedWine& wanted) {
  LotChoice choice;
  for (const LotAtHand& lot : lots) {
    if (!(lot.age_y < wanted.youngest_y)) choice.available_l += lot.available_l;
    if (!(lot.age_y <= choice.oldest_y)) choice.oldest_y = lot.age_y;
  }
  if (choice.available_l < wanted.litres * (1.0 - kNearPart)) {
    choice.fault = choice.available_l > 0.0 ? LotFault::too_little : LotFault::no_lot_old_enough;
    return choice;
  }
  Program program(lots, wanted);
  choice.strength = reach_of(program, program.strength());
  choice.sugar = reach_of(program, program.sugar());
  if (is_known(wanted.alcohol_pct)) {
    program.want_strength();
    choice.sugar_at_strength = reach_of(program, program.sugar());
  }
  if (is_known(wanted.sugar_g_l)) program.want_sugar();
  if (const auto parts = program.cheapest(prices(lots, choice.by_cost))) {
    take(choice, program, *parts, wanted.litres);
    return choice;
  }
  choice.fault = outside(wanted.alcohol_pct, choice.strength, kNearPct) ? LotFault::strength
                 : outside(wanted.sugar_g_l, choice.sugar, kNearGL)     ? LotFault::sugar
                                                                        : LotFault::both_together;
  if (const auto parts = program.nearest()) take(choice, program, *parts, wanted.litres);
  return choice;
}

}  // namespace tierce
