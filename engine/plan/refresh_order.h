// What a refresh has to order: new wine, and for wine still to be made must, spirit and fruit.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "engine/plan/fortification.h"
#include "engine/plan/refresh.h"

namespace tierce {

/// A loss on the way: a part of what goes in, or litres.
struct Loss {
  double part = 0.0;
  double litres = 0.0;
  double of(double volume_l) const { return part * volume_l + litres; }
  /// What must go in for `volume_l` to come out.
  double before(double volume_l) const { return (volume_l + litres) / (1.0 - part); }
};

/// Of the new wine before it goes in, and what new wood drinks later.
struct NewWineLosses {
  Loss lees{}, filter{};
  double soakage_l = 0.0;
};

/// New wine of one lot.
struct WineOrder {
  std::string lot{};
  bool stated = false;  // the file states the lot; else it is still to be harvested, or to be written down
  double goes_in_l = 0.0;
  double soakage_l = 0.0;  // for topping up new wood later; with the first lot
  double lees_l = 0.0, filter_l = 0.0;
  double needed_l = 0.0;  // all of that
  Composition wine{};
  Cost cost{};
};
std::vector<WineOrder> wine_orders(const RefreshPlan& plan, const NewWineLosses& losses);

/// The spirit of one strength.
struct SpiritNeed {
  std::string name{};  // in the file; empty: only its strength is known
  double strength_pct = kUnknown;
  double needed_l = 0.0;
  double held_l = kUnknown;  // what the account holds; unknown: no account
  Cost cost{};
  double order_l() const;        // what must be bought
  double pure_l() const;         // of what must be bought
  double proof_gallons() const;  // the same, US
};

/// A spirit of the file, with what is left of it.
SpiritNeed need_of(const RefreshPlan& plan, const Spirit& spirit);

/// What new wine is made from.
struct MakingWish {
  AmountOrReading sugar{};          // of the must
  double must_l_per_kg = kUnknown;  // unknown: must is bought
  double drum_l = kUnknown;         // of the spirit
  double fruit_cost_per_kg = kUnknown;
  std::string fruit_currency{};
};

/// New wine that is still to be made, by the plan of a fortification.
struct MakingOrder {
  std::string lot{};
  FortifyPlan plan{};
  SpiritNeed spirit{};
  double wine_l = 0.0;
  double fruit_kg = kUnknown;  // unknown: must is bought
  double fruit_cost = kUnknown;
  std::string fruit_currency{};
};

/// Why such wine cannot be made: the lot does not state what it should be like, or no fortification gives it.
struct MakingRefusal {
  enum class Why { no_sugar, no_strength, out_of_reach };
  Why why = Why::out_of_reach;
  WineOrder wine{};
  FortifyWish wish{};        // of `out_of_reach`
  FortifyRefusal refusal{};  // the same
};
/// One for each lot of new wine.
std::variant<std::vector<MakingOrder>, MakingRefusal> making_orders(const std::vector<WineOrder>& wines,
                                                                    SpiritNeed spirit, const MakingWish& wish);

/// What several reserves order together. Each file's account of spirit counts for that file.
struct SpiritSum {
  std::string name{};
  double strength_pct = kUnknown;
  double needed_l = 0.0, order_l = 0.0, pure_l = 0.0, proof_gallons = 0.0;
};
struct OrderSum {
  double new_wine_l = 0.0, must_l = 0.0, fruit_kg = 0.0;
  std::vector<SpiritSum> spirits{};                     // by name and strength
  std::vector<std::pair<std::string, double>> costs{};  // by currency, of what has a cost
  bool some_cost_unknown = false;
  double metabisulfite_g = 0.0, so2_g = 0.0;
};
void add_to(OrderSum& sum, const std::vector<WineOrder>& wines, const std::vector<MakingOrder>& makings,
            const RefreshPlan& plan);

}  // namespace tierce
