#include "cli/report/json_sulfur.h"

#include "cli/report/json_number.h"

namespace tierce {

nlohmann::json sulfur_object(const Scenario& scenario, const SulfurNow& now) {
  const SulfurRange molecular_mg_l = molecular_so2_mg_l(scenario, now);
  return {{"so2_free_mg_L", json_number(now.free_mg_l.planned)},
          {"so2_free_low_mg_L", json_number(now.free_mg_l.low)},
          {"so2_free_high_mg_L", json_number(now.free_mg_l.high)},
          {"so2_molecular_mg_L", json_number(molecular_mg_l.planned)},
          {"so2_molecular_low_mg_L", json_number(molecular_mg_l.low)},
          {"so2_molecular_high_mg_L", json_number(molecular_mg_l.high)}};
}

}  // namespace tierce
