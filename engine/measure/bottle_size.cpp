#include "engine/measure/bottle_size.h"

namespace tierce {

double bottle_of_file(const Scenario& scenario) {
  double bottle_l = kUnknown;
  const auto take = [&](const Amount& amount) {
    if (amount.kind == Amount::Kind::bottles) bottle_l = amount.bottle_l;
  };
  for (const Entry& entry : scenario.log)
    if (const auto* draw = std::get_if<Draw>(&entry.action)) take(draw->amount);
  for (const Routine& routine : scenario.habit)
    if (routine.usual.draw) take(*routine.usual.draw);
  return bottle_l;
}

}  // namespace tierce
