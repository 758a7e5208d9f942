#include "cli/report/so2_text.h"

#include <cmath>

#include "cli/write/write.h"

namespace tierce {
namespace {

constexpr double kNearNoFree = 1.0;        // mg/L; below it the usual methods do not tell it from none
constexpr double kNearNoMolecular = 0.01;  // mg/L; what is printed as 0.00 or 0.01

std::string number(double value, Figure figure) { return number_text(value, figure, Units::metric); }

}  // namespace

std::string so2_text(const SulfurRange& range, Figure figure) {
  const double near_none = figure == Figure::milligrams_per_litre ? kNearNoFree : kNearNoMolecular;
  if (range.high < near_none) return "near none";
  if (!is_known(range.low) || !is_known(range.high)) return number(range.planned, figure);
  const std::string from = number(range.low, figure), to = number(range.high, figure);
  return from == to ? from : from + "-" + to;
}

std::string free_text(const SulfurNow& now) { return so2_text(now.free_mg_l, Figure::milligrams_per_litre); }

std::string molecular_text(const Scenario& scenario, const SulfurNow& now) {
  const SulfurRange own = molecular_so2_mg_l(scenario, now);
  const std::string text = so2_text(own, Figure::fine_milligrams_per_litre);
  const PkChoice other = scenario.so2_pk == PkChoice::oiv ? PkChoice::classic : PkChoice::oiv;
  const double apart = std::abs(molecular_so2_mg_l(scenario, now, other).planned - own.planned);
  if (own.high < kNearNoMolecular || !(apart > own.high - own.low)) return text;
  return text + " (" + number(molecular_so2_mg_l(scenario, now, other).planned, Figure::fine_milligrams_per_litre) +
         ")";
}

}  // namespace tierce
