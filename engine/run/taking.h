// Wine out of a place and into one: what the acts that move wine have in common.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/run/run.h"

namespace tierce {

/// An amount asked of a place, as litres and as a share of the row that the place belongs to.
struct Asked {
  double litres = 0.0;
  double share_of_row = 0.0;
  std::optional<Fault> fault = none();
};

/// `act`: what asks, for the message ("the draw").
Asked ask(const Run& run, const Place& place, const Amount& amount, const char* act);
/// Lowers the vessels and the row's volume; its lots are thinned or poured by the caller.
void lower(Run& run, const Place& place, const Asked& asked);
/// Raises the vessels and the row's volume; `at` is the entry that fills them.
void raise(Run& run, const Place& place, double litres, const At& at);
/// Both for wine that goes from one row into another and leaves some behind.
inline void pass_volume(Run& run, const Pour& pour, const At& at) {
  Stock& now = run.now;
  now.levels.scale(pour.from, 1.0 - pour.share);
  now.volume[pour.from] -= pour.litres;
  now.levels.fill(pour.to, pour.litres);
  now.volume[pour.to] += pour.litres;
  look_at_levels(run, pour.to, at);
}
/// Adds what `litres` of a wine hold in solution to a row and to a flow, each of kSoluteCount amounts.
void add_dissolved(const Composition& wine, const Cost& cost, double litres, double* row, double* flow);
/// Wine of a lot comes into the book, as the column `parcel`.
void bring_in(Run& run, Flow flow, const Place& to, const Composition& wine, const Cost& cost, double litres,
              int parcel, const At& at);
/// Wine of a lot into a tier or tank, by an Add or a Refill; `taken_at` is what asks for it. More than there is of a
/// lot is a fault, and changes nothing.
std::optional<Fault> take_lot(Run& run, const Event& event, int lot, const Place& to, double litres,
                              const At& asked_at);
/// Why a lot cannot give so much; empty if it can.
std::optional<Fault> short_of_account(const Run& run, int lot, double litres, const At& asked_at);
inline std::optional<Fault> short_of_lot(const Run& run, int lot, double litres, const At& asked_at) {
  if (!run.line.lots[static_cast<std::size_t>(lot)].made) return std::nullopt;  // no account is kept
  return short_of_account(run, lot, litres, asked_at);
}
/// Wine that leaves the book.
void leave(Run& run, Flow flow, const Place& from, const Asked& asked);
/// Litres of pure alcohol in all tiers.
double alcohol_of_tiers_l(const Run& run);
/// Wine that leaves a tank for the tiers enters them today: it changes its column, in the row and in the flows.
void enter_tiers(Run& run, int row, const std::vector<std::pair<int, int>>& columns);
/// Clock wood: what came into a row out of wood rests there, and what came into wood ages on, each in its own column.
/// The lots of the row are written.
void turn_parts(Run& run, int row);

}  // namespace tierce
