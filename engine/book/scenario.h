// What the user stated: the reserve, its lots, its book and its habit, each value with its place in the file.
// Plain values; the rules between them are in validate.h, the words and units of the file in cli/.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "engine/book/calendar.h"
#include "engine/book/claim.h"
#include "engine/book/composition.h"
#include "engine/book/receipt.h"
#include "engine/book/value.h"
#include "engine/wine/dip.h"
#include "engine/wine/sulfur.h"

namespace tierce {

enum class Clock { harvest, entry, wood };
enum class Units { metric, us };
struct Vessel {
  At at;
  std::string name;
  double capacity_l = 0.0;
  bool later = false;  // brought in by an entry of the log; not there before
  std::string note{};
  std::optional<CaskShape> shape{};  // for a gauge by dip, cm
  DipTable table{};                  // likewise; cm, litres
};

struct Evaporation {
  /// By a share a year; by litres from each vessel; or, where neither loss nor vapour is stated, by the cellar's air.
  enum class Kind { share, litres_per_vessel, air };
  Kind kind = Kind::share;
  double per_year =
      0.03;  // fraction of the volume (air: of wine of 18 %vol at 15 °C, 70 %), or litres from each vessel
  bool stated = false;
};

/// How wine is spread over the vessels of a tier: each to the same part, or as many full as can be.
enum class Level { even, full_first };

struct Tier {
  At at;
  std::string name;
  std::vector<Vessel> vessels;
  double target_l = 0.0;  // level after a refill; where nothing is stated, the capacities less the ullage wanted
  bool target_stated = false;
  Evaporation evaporation;
  double vapour_pct = kUnknown;  // strength of what evaporates, %vol
  bool vapour_stated = false;
  bool wood = true;
  std::optional<SulfurLoss> so2_loss;
  Level level = Level::even;  // wanted when a refresh is planned
  double ullage_part = 0.0;   // of each vessel's capacity, wanted free when it is filled
};

struct Tank {
  At at;
  std::string name;
  double capacity_l = 0.0;
  std::string note{};
  DipTable table{};  // for a gauge by dip; cm, litres
};

/// A tier, one vessel of a tier, or a tank. Rows run tiers first (0 = youngest), then tanks.
struct Place {
  At at;
  int row = -1;
  int vessel = -1;  // index among the vessels of the row; -1 = the row as a whole
};

/// The spirit that went into a lot, for labels and taxes.
struct SpiritUsed {
  double volume_l = kUnknown;
  double strength_pct = kUnknown;
  double into_l = kUnknown;
  int made = 0;  // year; 0 = not stated
};

/// What a litre was paid with; all costs of a scenario are in one currency (validate.h).
struct Cost {
  double per_litre = kUnknown;
  std::string currency;
  At at{};
};

/// How much of a lot was made, and where it was received.
struct LotMade {
  At at;
  double volume_l = 0.0;
  std::optional<Date> date;
  double lees_fraction = 0.0;  // of the volume made: no wine
  std::optional<Place> in;     // the tank where it stands from that day on
  double wine_l() const { return volume_l * (1.0 - lees_fraction); }
};

/// A draw of another reserve, whose file is named from this file's folder.
struct Origin {
  At at;
  std::string file, draw;
};

/// Wine of one lot in what was brought from another reserve, for each litre of it.
struct BroughtPart {
  std::string lot;
  int vintage = 0;
  double litres = 0.0;
  double entered = 0.0;
  double alcohol = 0.0;
  double age_when_drawn_y = kUnknown;  // by the clock
  double at_least_y = 0.0;             // the same, where the age is not known
  std::optional<Date> entered_on;
  double zero_day = kUnknown;
  double older_than_day = kUnknown;
  bool outside = false;  // never in a tier so far
};

struct Lot {
  At at;
  std::string name;
  int vintage = 0;
  Date harvested;
  bool harvested_stated = false;
  std::map<std::string, double> grapes;  // fraction of each variety
  std::map<std::string, double> grown;   // fraction of each origin
  Composition wine;
  bool sugar_is_extract = false;  // reckoned from a density: some of it is no sugar (kOtherExtractGL)
  std::optional<SpiritUsed> spirit;
  Came came = Came::not_stated;
  Cost cost;
  std::optional<LotMade> made = {};  // how much there was; empty = no account is kept
  std::optional<Date> analysed = {};
  std::optional<Origin> origin = {};      // wine of another reserve
  std::vector<BroughtPart> brought = {};  // what that wine is made of
  bool elsewhere = false;                 // a lot of another reserve, known only as part of what was brought
};

/// Spirit for fortifying: bought, with the account of what there is.
struct Spirit {
  At at;
  std::string name;
  double strength_pct = kUnknown;
  std::optional<Date> made;  // where its age begins; unknown age if not stated
  std::string origin;
  Cost cost;
  double stock_l = kUnknown;  // bought in all; unknown = no account is kept
};

struct Opening {
  At at;
  Date date;
  int row = -1;
  double volume_l = 0.0;
  struct Part {
    std::string name;
    int lot = -1;  // index of a known lot; -1 = a name of its own
    double share = 0.0;
    double age_years = kUnknown;  // on the opening's date, where stated
  };
  std::vector<Part> parts;
  Composition wine;
  Cost cost{};
};

/// How much: litres, a share of what is there, or bottles.
struct Amount {
  enum class Kind { litres, share, bottles };
  At at;
  Kind kind = Kind::litres;
  double value = 0.0;     // litres; fraction; or number of bottles
  double bottle_l = 0.0;  // litres in each bottle
  double litres_of(double held_l) const {
    if (kind == Kind::share) return value * held_l;
    return kind == Kind::bottles ? value * bottle_l : value;
  }
};

enum class RefillOrder { oldest_first, youngest_first };

struct Add {
  int lot = -1;
  At lot_at;
  Place to;
  Amount amount;
};
/// What becomes of a draw. Only bottlings are held against claims.
enum class Use { bottling, bulk, distil, vinegar, own_use, destroyed };

struct Draw {
  Place from;
  Amount amount;
  std::string name;
  Use use = Use::bottling;
  std::optional<Place> to = {};  // a tank, where it stands until it is bottled; empty = it leaves the book
};
struct Move {
  Place from;
  Place to;
  Amount amount;
};
struct Refill {
  int lot = -1;
  At lot_at;
  RefillOrder order = RefillOrder::oldest_first;
  std::optional<double> volume_l;  // new wine; empty = what the targets need
  std::optional<Place> from = {};  // a tank that gives the new wine; then there is no lot
};
/// Wine of a tank into bottles: it leaves the book.
struct Bottle {
  Place from;
  Amount bottles;
  double loss_l = 0.0;  // of the filling
  std::string name;     // empty = that of the draw which stands in the tank
};
struct Dose {
  enum class Kind { plain, metabisulfite, to_free, to_molecular };
  std::optional<Place> place;  // empty = every tier
  Kind kind = Kind::plain;
  double value = 0.0;  // mg/L; grams; mg/L free; mg/L molecular
  double at_most_total_mg_l =
      std::numeric_limits<double>::infinity();  // total SO2 just after, whatever the target wants
  At at;
};
struct Gauge {
  std::vector<std::pair<Place, double>> read_l;  // litres as read
  double temperature_c = kUnknown;               // of the wine when read; unknown = the reading is at 20 °C
  double error_fraction = kUnknown;              // of each reading; or, for each, in litres
  double error_l = kUnknown;
};
struct Analyse {
  Place place;
  Composition found;
  bool keep_only = false;  // file the reading, leave the book alone
  std::string method, laboratory, error;
  std::optional<bool> leave_out = {};  // of one vessel: reports mark it, or mark it no longer
};
struct Lose {
  Place from;
  Amount amount;
  std::string cause;
};
/// Spirit or water into a row, by a mass balance (design decision 4): a volume, or what a strength needs.
struct Fortify {
  Place place;
  int spirit = -1;
  std::optional<double> volume_l;
  double to_pct = kUnknown;
  At at;
};
struct Reduce {
  Place place;
  std::optional<double> volume_l;
  double to_pct = kUnknown;
  At at;
};

/// A vessel of a tier comes into the cellar, empty.
struct BringIn {
  Place vessel;
  double capacity_l = 0.0;
  double soakage_l = 0.0;  // what its dry wood takes from the first wine that lies in it
};
/// A vessel leaves the cellar, with the wine that it holds.
struct TakeOut {
  Place vessel;
  std::string because;
};
/// From this day on.
struct Set {
  Place tier;
  std::optional<double> target_l;
  std::optional<Evaporation> evaporation;
  std::optional<double> vapour_pct;
};

using Action =
    std::variant<Add, Draw, Move, Refill, Dose, Gauge, Analyse, Lose, Fortify, Reduce, Bottle, BringIn, TakeOut, Set>;

struct Entry {
  At at;
  Date date;
  Action action;
  std::string note, ref;
  std::optional<Date> entered{};     // into the book, where that was later than its day
  std::optional<Date> first_date{};  // the day it stood under before it was corrected
  bool corrected = false;
};

/// What was put right later: an entry that is not overwritten, but counts as if it had said so from the beginning.
struct Correction {
  At at;
  Date date;
  std::optional<Date> entered{};
  At entry;  // the entry that it corrects
  std::string because;
};

/// A book as it stood on an earlier day: what was entered later is left out.
struct Knowledge {
  Date on;
  int entries_left_out = 0;
  int corrections_left_out = 0;
};

struct HabitRefill {
  enum class Kind { none, like, lot };
  At at;
  Kind kind = Kind::none;
  int lot = -1;
  Composition changed;  // what differs from the lot it is like; unknown = as that lot
  Cost cost;
  std::optional<double> volume_l;
  std::optional<RefillOrder> order;
};

/// What is done on one day of a routine.
struct HabitDay {
  At at;
  bool draw_first = true;
  std::optional<Amount> draw;
  std::string name;  // `for:`, with {year} still in it
  HabitRefill refill;
  std::vector<Dose> doses;
};

struct Routine {
  At at;
  std::optional<DayOfYear> day;  // either a day of the year ...
  int every_months = 0;          // ... or a period, counted from `from`
  std::optional<Date> from;
  HabitDay usual;
  std::map<int, HabitDay> except;  // calendar years that differ, each complete
};

constexpr double kDefaultCellarC = 15.0;  // where the file states no cellar (design decision 3)

struct Cellar {
  double temperature_c = kUnknown;              // as stated
  double humidity_fraction = kUnknown;          // as stated
  double neutral_humidity_fraction = kUnknown;  // at which strengths stay; as stated
  bool southern = false;
};

struct Scenario {
  std::string reserve;
  Units units = Units::metric;
  Clock clock = Clock::harvest;
  Cellar cellar;
  std::vector<Tier> tiers;  // youngest first
  std::vector<Tank> tanks;
  std::vector<Lot> lots;
  std::vector<Spirit> spirits;
  std::vector<Opening> opening;
  std::vector<Entry> log;  // as corrected
  std::vector<Correction> corrections;
  std::optional<Knowledge> as_known;  // if set, not all of the log is here
  std::vector<Routine> habit;
  double interest_per_year = 0.0;        // on the money in the wine, compounding: 0.08 for 8 %/yr
  double allowance_per_year = kUnknown;  // of the wine held: the loss that is allowed, as the user states it
  std::optional<int> until;              // last year of the forecast
  At until_at;
  std::vector<Claim> claims;
  std::vector<std::pair<std::string, At>> rules;  // names of rule sets
  std::shared_ptr<const RuleBook> own_rules{};    // those built in and the user's own; null = those built in
  std::map<std::string, std::string> label;       // product, colour, designation, appellation, where stated
  At designation_at{};                            // where the file states the designation
  Filing filing{};

  std::optional<SulfurLoss> so2_loss;  // for tiers that state none
  int so2_steps = 1;                   // a year
  double so2_binding_fraction = kBindsAsPlanned;
  double so2_binding_error = 0.0;  // more or less, where stated
  bool so2_binding_stated = false;
  PkChoice so2_pk = PkChoice::oiv;
  double metabisulfite_yield = kMetabisulfiteYield;  // g SO2 from 1 g K2S2O5
  double acetaldehyde_gain_mg_l_year = 0.0;
  double va_gain_g_l_year = 0.0;

  std::vector<Remark> remarks;  // on what the file says

  int rows() const { return static_cast<int>(tiers.size() + tanks.size()); }
  int tier_count() const { return static_cast<int>(tiers.size()); }
  bool is_tank(int row) const { return row >= tier_count(); }
  bool is_wooden(int row) const { return !is_tank(row) && tiers[static_cast<std::size_t>(row)].wood; }
  const std::string& name_of(int row) const;
  double capacity_of(int row) const;  // litres, of all vessels that are ever there
};

}  // namespace tierce
