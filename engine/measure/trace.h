// Where the wine of a lot is, and what is behind a draw: two views of one run in which the wine of every act that
// brings some in is kept apart.
#pragma once

#include <string>
#include <vector>

#include "engine/book/scenario.h"
#include "engine/run/timeline.h"
#include "engine/run/trajectory.h"

namespace tierce {

/// What one act brought in: a column of the run.
struct Arrival {
  std::size_t event = 0;  // in Traced::line
  std::string lot;
  int vintage = 0;  // 0 = not known
};

struct Traced {
  Timeline line;  // with one parcel for each arrival
  std::vector<Arrival> arrivals;
  Trajectory run;
};

/// The same acts, litres and draws as the timeline's own run; only the wine is kept apart more finely.
Traced trace(const Scenario& scenario, const Timeline& line);

/// Litres of a lot among amounts by arrival.
double litres_of_lot(const Traced& traced, const std::string& lot, const Amounts& litres);
/// Litres of a lot that took this way: in, drawn, evaporated, ...
double flow_of_lot(const Traced& traced, const std::string& lot, Flow flow);

/// Names of all lots that came into the book, in the order in which they came.
std::vector<std::string> lot_names(const Traced& traced);

/// A place that holds some of a lot.
struct Holding {
  enum class Kind { vessel, tank, draw, bottling };
  std::string place;
  Kind kind = Kind::vessel;
  Date date{};
  double litres = 0.0;  // of the lot
  double wine_l = 0.0;  // of all the wine there
  double share() const { return litres / wine_l; }
};
/// Draws that left the book, bottlings, then what is held. A draw into a tank is what stands there, or was bottled of
/// it.
std::vector<Holding> places_of_lot(const Scenario& scenario, const Traced& traced, const std::string& lot);

/// Where the litres of one lot went.
struct LotBalance {
  double in_l = 0.0;  // opening stock and water included
  double held_l = 0.0, drawn_l = 0.0, bottled_l = 0.0, evaporated_l = 0.0, gauge_l = 0.0, lost_l = 0.0;
  double contracted_l = 0.0;
  double gap_l() const { return in_l - held_l - drawn_l - bottled_l - evaporated_l - gauge_l - lost_l - contracted_l; }
};
LotBalance balance_of_lot(const Traced& traced, const std::string& lot);

struct LotShare {
  std::string lot;
  int vintage = 0;  // 0 = not known
  double litres = 0.0;
  double fraction = 0.0;  // of the draw
};
/// The lots in a draw or a bottling, in the order in which they came into the book.
std::vector<LotShare> lots_in(const Traced& traced, const DrawRecord& draw);

/// An act behind a draw: it put wine in (then `litres` of the draw came by it), passed wine on, or changed it.
struct Behind {
  std::size_t event = 0;  // in Traced::line
  double litres = 0.0;    // of the draw that this act brought into the book
};

/// What is behind a draw or a bottling of this run, in order of time: every act that brought in some of its wine, and
/// every act on a tier or tank whose wine went on into it, as long as that held wine; last, its own act.
std::vector<Behind> behind(const Scenario& scenario, const Traced& traced, const DrawRecord& draw);

}  // namespace tierce
