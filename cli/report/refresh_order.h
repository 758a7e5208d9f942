// What a refresh has to order: new wine, and for wine still to be made must, spirit and fruit.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "cli/command/refresh_options.h"
#include "cli/report/fortify_plan.h"
#include "engine/plan/refresh.h"
#include "engine/wine/units.h"

namespace tierce {

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
std::vector<WineOrder> wine_orders(const RefreshPlan& plan, const RefreshOptions& options);

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

/// New wine that is still to be made, by the plan of `tierce fortify`.
struct MakingOrder {
  std::string lot{};
  FortifyOptions asked{};
  FortifyPlan plan{};
  SpiritNeed spirit{};
  double wine_l = 0.0;
  double fruit_kg = kUnknown;  // unknown: must is bought
  double fruit_cost = kUnknown;
  std::string fruit_currency{};
};

/// One for each lot of new wine; or what is wrong: with the arguments (exit status 2) or with the wish (1).
struct OrderRefusal {
  int status = 0;
  std::vector<Problem> problems{};
};
std::variant<std::vector<MakingOrder>, OrderRefusal> making_orders(const RefreshPlan& plan,
                                                                   const std::vector<WineOrder>& wines,
                                                                   const RefreshOptions& options);

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
