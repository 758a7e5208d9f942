// A slow and obvious twin of the engine: it follows every parcel of wine, one by one, through every entry of the book.
// Written from the design in plain loops: no matrices, no arithmetic of the engine, a calendar of its own. What the
// engine says of a scenario must agree with what comes out here.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "engine/book/scenario.h"

namespace tierce::twin {

constexpr int kNever = -1;

/// Days on a calendar of 365-day years: 29 February counts as 1 March (design decision 2).
int day_of(const Date& date);
/// The date so many months later, or the last day of that month where it is shorter.
Date months_later(Date date, int months);

/// Where wine comes from: a lot, or a part of what the book opened with.
struct Source {
  std::string name;
  int harvested_day = kNever;  // kNever: not known
  int opened_day = kNever;     // day on which the book opened with it
  double age_when_opened_y = kUnknown;
  int vintage = 0;
  Composition wine;
  double cost_per_l = kUnknown;
};

/// Wine of one source that entered the tiers on one day and, where the clock is `wood`, has spent one time in wood.
struct Parcel {
  int source = 0;
  int entered_day = kNever;  // kNever: still in a tank, outside the tiers
  double litres = 0.0;
  double entered_l = 0.0;  // litres as they entered, before evaporation
  double alcohol_l = 0.0;  // litres of pure alcohol
  double wood_y = 0.0;  // spent in wooden tiers since it is in the book, and before; counted by the clock `wood` alone
};

/// What a tier or a tank holds dissolved.
struct Dissolved {
  double sugar_g = 0.0;
  double acid_g = 0.0;
  double so2_total_mg = 0.0;
  double so2_free_mg = 0.0;
  double money = 0.0;                                    // what the wine has cost so far
  double so2_free_low_mg = 0.0, so2_free_high_mg = 0.0;  // the two reckonings beside that of so2_free_mg
};

/// A tier or a tank.
struct Row {
  std::vector<Parcel> wine;
  Dissolved dissolved;
  std::vector<double> levels_l;      // of its vessels
  std::vector<double> capacities_l;  // zero: not in the cellar
  Tier worked;                       // of a tier: target and losses as they are now
  double step_litres = 0.0;          // litres held when its sulfur step began (design decision 13) ...
  double step_years = 0.0;           // ... and the time since
  At filled_at;                      // the entry that last put wine in
  double found_over = 0.0;           // part of its capacity that a gauge found it over, within its error
  std::vector<int> standing;         // of a tank: the draws whose wine is in it
};

/// Where the litres of a source came from and went to.
enum Way { kOpened, kBrought, kTaken, kGone, kMissed, kSpilt, kFilled, kWays };
struct Ways {
  std::array<double, kWays> litres{};
  std::array<double, kWays> alcohol_l{};
};

/// Of some wine, by litres. All are unknown if the age of any of it is.
struct Ages {
  double mean_y = kUnknown;
  double youngest_y = kUnknown;
  double oldest_y = kUnknown;
  double sd_y = kUnknown;
  struct Between {
    double least_y = kUnknown, most_y = kUnknown;
  };
  std::array<Between, 3> quantiles{};  // at a tenth, a half and nine tenths of the litres, give or take 1e-9 of them
};

struct Drawn {
  Date date;
  std::string name;
  int row = 0;
  double litres = 0.0;
  std::vector<Parcel> wine;
  Dissolved dissolved;
  Ages ages;
};

/// Wine of a tank that went into bottles.
struct Filled {
  Drawn wine;
  double bottles = 0.0;
  std::vector<int> draws;  // what stood in the tank
};

struct Refreshed {
  Date date;
  double new_wine_l = 0.0;
};

/// Why an act cannot be done.
struct Refusal {
  At at;
  Date date{};
  int row = 0;
  double short_l = 0.0;     // litres wanted and not there; negative: litres over the capacity
  bool in_between = false;  // not an act: the wine dries up or runs out of alcohol between two entries
};

/// The whole cellar at one moment, and its record so far.
struct Cellar {
  const Scenario* scenario = nullptr;  // must outlive the cellar
  std::vector<Source> sources;         // the scenario's lots in their order, then the habit's, then opening stock
  std::vector<Row> rows;
  std::vector<Ways> ways;  // by source
  int day = 0;
  double interest = 0.0;       // earned so far, in money
  std::vector<double> used_l;  // by lot of the scenario: what was taken of it
  std::vector<Drawn> draws;
  std::vector<Filled> bottlings;
  struct Soaking {
    Place vessel;
    double litres = 0.0;
  };
  std::vector<Soaking> soaking;  // new vessels whose dry wood has still to take its wine
  std::vector<Refreshed> refreshes;
};

/// Something that is done on a day: an entry of the log, or an opening stock.
struct Deed {
  Date date;
  At at;
  bool past = false;
  const Opening* opening = nullptr;  // if set, there is no action
  Action action{};
};

/// A cellar without wine, and with all the lots of the scenario.
Cellar empty_cellar(const Scenario& scenario);
/// Lets the wine age to a day.
std::optional<Refusal> age_to(Cellar& cellar, int day);
/// The ages of some wine on the day the cellar stands at.
Ages ages_of(const Cellar& cellar, const std::vector<Parcel>& wine);
/// Does one thing, on the day the cellar stands at; a refusal changes nothing.
std::optional<Refusal> perform(Cellar& cellar, const Deed& deed);
/// The first vessel that holds more than its capacity.
std::optional<Refusal> overfull(const Cellar& cellar);

/// Wine taken out of a row.
struct Taken {
  std::vector<Parcel> wine;
  Dissolved dissolved;
};

/// How much an entry asks of a place, or why it cannot be had (design decision 7).
struct Asked {
  double litres = 0.0;
  double share_of_row = 0.0;
  std::optional<Refusal> refusal;
};

double held_in(const Cellar& cellar, const Place& place);
Asked ask(const Cellar& cellar, const Place& from, const Amount& amount);
Taken take(Cellar& cellar, const Place& from, const Asked& asked);
void put(Row& row, const Taken& taken);
/// Wine put in fills the vessels in proportion to ullage; what is over, in proportion to capacity, until the day ends.
void raise_levels(Cellar& cellar, const Place& to, double litres);
/// Wine of a source comes into the book, by the entry at `entry`.
void bring(Cellar& cellar, Way way, int source, const Place& to, double litres, const At& entry);
void count_all(Cellar& cellar, Way way, const std::vector<Parcel>& wine);

// Verbs that stand in files of their own; a refusal leaves it to perform() to change nothing.
std::optional<Refusal> draw(Cellar& cellar, const Deed& deed, const Draw& draw);
std::optional<Refusal> bottle(Cellar& cellar, const Deed& deed, const Bottle& bottle);
/// New wine for a refill out of a tank.
std::optional<Refusal> give_from_tank(Cellar& cellar, const Deed& deed, const Place& tank, double litres);

/// Counts what is taken of a lot against what was made of it.
std::optional<Refusal> take_of_lot(Cellar& cellar, int lot, double litres, At asked_at);
std::optional<Refusal> bring_vessel_in(Cellar& cellar, const BringIn& in);
std::optional<Refusal> take_vessel_out(Cellar& cellar, const TakeOut& out);
std::optional<Refusal> set_tier(Cellar& cellar, const Set& set);
/// A vessel that an action names and that is not there.
std::optional<Refusal> not_there(const Cellar& cellar, const Action& action);
/// What the wood takes when a day ends.
void soak(Cellar& cellar);

double litres_in(const Row& row);
double alcohol_in(const Row& row);
bool is_tank(const Cellar& cellar, int row);
double capacity_of(const Cellar& cellar, int row);
double capacity_of(const Cellar& cellar, int row, std::size_t vessel);
/// Volumes are compared to 1e-9 of a row's capacity (design decision 6).
double slack_l(const Cellar& cellar, int row);
void begin_sulfur_step(Row& row);
void count(Cellar& cellar, Way way, const Parcel& parcel);
inline std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Opening stock, log and habit as one list in order; adds the lots of the habit to the cellar.
std::vector<Deed> deeds_in_order(Cellar& cellar);
/// The last day of the run: the close of its last year if there is a habit or an `until`, else the day of the last
/// deed.
int last_day(const Scenario& scenario, const std::vector<Deed>& deeds);

struct Outcome {
  Cellar cellar;
  std::vector<Refusal> left_out;   // of the log
  std::optional<Refusal> stopped;  // of the forecast
};
Outcome run(const Scenario& scenario);

}  // namespace tierce::twin
