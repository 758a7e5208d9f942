// How full each vessel is.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "engine/book/scenario.h"

namespace tierce {

/// Litres that nobody tells apart: vessels whose levels differ by less are shown together, and left as they are.
constexpr double kSameLevelL = 0.05;

/// Litres of each vessel, row after row. A tank is a row with one vessel. While the vessels of a row are treated alike,
/// as by every act that names none of them, all are filled to the same part of their capacity, and that part alone is
/// kept: a hundred vessels then cost no more than one.
class Levels {
 public:
  Levels() = default;
  explicit Levels(const Scenario& scenario) { reset(scenario); }
  void reset(const Scenario& scenario);  // all vessels empty, in the same memory

  double of(int row, int vessel) const;
  const std::vector<double> of(int row) const;  // const, so that nobody changes this copy by mistake
  std::span<const double> capacities_of(int row) const;
  double capacity_of(int row) const { return at(row).capacity_l; }  // of the vessels that are there
  void set_capacity(int row, int vessel, double litres);            // zero: the vessel is not in the cellar
  bool all_there() const { return all_there_; }                     // no vessel has come or gone, nor will come
  bool all_alike() const { return litres_.empty(); }                // each row's vessels, and they always were
  std::span<const double> capacities() const { return capacity_l_; }

  std::span<double> change(int row);  // from now on each vessel of the row is kept by itself
  void scale(int row, double keep) {  // all vessels alike
    if (at(row).alike) filled(row) *= keep;
    else scale_each(row, keep);
  }
  /// By row, to which part all vessels of a row that is alike are filled. Whoever scales the first rows here, all of
  /// them, leaves those that are not alike to scale_those_apart().
  double* alike() { return filled_.data(); }
  void scale_those_apart(int first_rows, double keep) {
    for (int row = 0; !litres_.empty() && row < first_rows; ++row)
      if (!at(row).alike) scale_each(row, keep);
  }
  void fill(int row, double litres_in) {  // in proportion to ullage; what is over, to capacity
    if (at(row).alike) filled(row) += litres_in / at(row).capacity_l;  // equal parts stay equal, by either
    else fill_each(row, litres_in);
  }
  double loss_of_each(int row, double each_l) const;  // litres that go if each loses `each_l`, or all that it holds
  void take_from_each(int row, double each_l);        // takes that loss
  /// Surely none holds more than its capacity and this part of it.
  bool within(int row, double tolerance) const { return at(row).alike && filled(row) <= 1.0 + tolerance; }
  /// Surely none of any row does.
  bool all_within(double tolerance) const {
    double fullest = 0.0;
    for (const double part : filled_) fullest = part > fullest ? part : fullest;
    return litres_.empty() && fullest <= 1.0 + tolerance;
  }

 private:
  struct Row {
    std::size_t first = 0;  // its first vessel
    std::size_t count = 0;
    double capacity_l = 0.0;  // of all its vessels
    bool one_size = true;     // of vessel
    bool alike = true;        // all filled to one part, filled_; else each as in litres_
  };
  Row& at(int row) { return rows_[static_cast<std::size_t>(row)]; }
  const Row& at(int row) const { return rows_[static_cast<std::size_t>(row)]; }
  double& filled(int row) { return filled_[static_cast<std::size_t>(row)]; }
  double filled(int row) const { return filled_[static_cast<std::size_t>(row)]; }
  void add_row(std::size_t vessels);
  void scale_each(int row, double keep);
  void fill_each(int row, double litres_in);

  bool all_there_ = true;
  std::vector<Row> rows_;
  std::vector<double> filled_;  // by row; means nothing where its vessels are not alike
  std::vector<double> capacity_l_;
  std::vector<double> litres_;  // of each vessel, for the rows that are not alike; empty as long as all are
};

}  // namespace tierce
