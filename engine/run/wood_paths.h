// Clock `wood`: which columns the wine of each row may be in as the events go by, so that all columns that a run will
// need are there when it begins. Whether a row is emptied by litres is not known here, so that some may stay empty.
#pragma once

#include <vector>

#include "engine/run/timeline.h"

namespace tierce {

class WoodPaths {
 public:
  /// Adds to the parcels of `line`, and to what it knows of their parts. For the other clocks it does nothing.
  WoodPaths(const Scenario& scenario, Timeline& line) : scenario_(scenario), line_(line) {
    if (scenario.clock == Clock::wood) held_.resize(static_cast<std::size_t>(scenario.rows()));
  }
  void follow(const Event& event);

 private:
  struct Held {
    std::vector<int> columns;
    std::vector<char> has;  // by column
  };
  void put(int row, int column);
  void pass(int from, int to, const Event& event);
  void come(int row, const Event& event);
  void empty(const Place& place, const Amount& amount);

  void acts(const Open& open, const Event& event);
  void acts(const Add& add, const Event& event);
  void acts(const Move& move, const Event& event);
  void acts(const Draw& draw, const Event& event);
  void acts(const Refill& refill, const Event& event);
  void acts(const Fortify& fortify, const Event& event);
  void acts(const Lose& lose, const Event& event);
  void acts(const Bottle& bottle, const Event& event);
  template <class Other>
  void acts(const Other&, const Event&) {}

  const Scenario& scenario_;
  Timeline& line_;
  std::vector<Held> held_;  // by row
};

}  // namespace tierce
