#include "cli/report/fortify/fortify.h"
#include "cli/report/fortify/fortify_scale.h"
#include "cli/write/write.h"
#include "engine/wine/alcoholometry.h"

namespace tierce {
namespace {

std::string quoted(const FortifyAsked& options, const std::string& option) {
  return "--" + option + " '" + options.typed(option) + "'";
}

std::string range_text(double lowest, double highest, int decimals, const std::string& unit) {
  return at_least_text(lowest, decimals) + " to " + at_most_text(highest, decimals) + " " + unit;
}

std::string percent(const std::string& text) { return text + " %vol"; }

Problem spirit_too_weak(const FortifyRefusal& refusal, const FortifyAsked& options) {
  const double spirit_pct = refusal.asked - (refusal.highest - options.spirit_pct);  // the least, not reached
  return {{},
          quoted(options, "to") + " cannot be reached with spirit of " + options.typed("spirit"),
          "below " + percent(at_most_text(refusal.highest, 2)) + ", or spirit above " +
              percent(at_least_text(spirit_pct, 2)),
          ""};
}

Problem must_too_strong(const FortifyRefusal& refusal, const FortifyAsked& options) {
  const double latest_pct = refusal.asked - potential_alcohol_pct(options.run_on_g_l);
  std::string allowed = percent(at_least_text(refusal.lowest, 2)) + " or more";
  if (latest_pct >= 0.0) allowed += ", or an arrest at " + percent(at_most_text(latest_pct, 2)) + " or earlier";
  const std::string why = options.run_on_g_l > 0.0 ? ", with what the yeast makes after it" : "";
  return {{}, quoted(options, "to") + " is less than the must has at the arrest" + why, allowed, ""};
}

Problem arrest_too_late(const FortifyRefusal& refusal, const FortifyAsked& options) {
  const double sugar_g_l = refusal.asked * kSugarGPerLPerPctVol;
  return {
      {},
      quoted(options, "arrest") + " is more than this must can make",
      range_text(0.0, refusal.highest, 2, "%vol") + ", or must with at least " + at_least_text(sugar_g_l, 1) + " g/L",
      ""};
}

Problem reading_out_of_reach(const FortifyRefusal& refusal, const FortifyAsked& options) {
  const auto& reading = std::get<HydrometerReading>(options.arrest);
  const double low = mark_of_sg(refusal.lowest, reading.scale), high = mark_of_sg(refusal.highest, reading.scale);
  return {{},
          quoted(options, "arrest") + " is not between this must before it ferments and the same must dry",
          range_text(is_known(low) ? low : 0.0, high, decimals_read(reading.scale), unit_of(reading.scale)) + " at " +
              trimmed_text(reading.temperature_c, 1) + " °C",
          ""};
}

/// Sugar of a must from which spirit alone, without any ferment, makes the wine that was asked for.
double sugar_needed_g_l(const FortifyAsked& options) {
  const double mixed_pct = options.to_pct - potential_alcohol_pct(options.run_on_g_l);
  const auto wine = fortify_to_strength({options.must_l(), 0.0, 0.0}, options.spirit_pct, mixed_pct);
  if (!std::holds_alternative<Fortified>(wine)) return kUnknown;
  return (options.sweet_g_l + options.run_on_g_l) * std::get<Fortified>(wine).volume_l / options.must_l();
}

Problem sweetness_out_of_reach(const FortifyRefusal& refusal, const FortifyAsked& options) {
  Problem problem{{}, quoted(options, "sweet") + " is out of reach with " + quoted(options, "to"), "", ""};
  if (refusal.highest < refusal.lowest) {
    problem.allowed = "the yeast would eat more than there is: --run-on up to " +
                      at_most_text(refusal.highest + options.run_on_g_l, 1) + " g/L";
    return problem;
  }
  problem.allowed = range_text(refusal.lowest, refusal.highest, 1, "g/L") + " from this must";
  const double needed_g_l = sugar_needed_g_l(options);
  if (refusal.asked > refusal.highest && potential_alcohol_pct(needed_g_l) < options.spirit_pct)
    problem.allowed += "; so much takes must with at least " + at_least_text(needed_g_l, 1) + " g/L";
  return problem;
}

}  // namespace

Problem refusal_text(const FortifyRefusal& refusal, const FortifyAsked& options) {
  switch (refusal.fault) {
    case FortifyFault::strength_not_below_the_spirit: return spirit_too_weak(refusal, options);
    case FortifyFault::strength_below_the_arrest: return must_too_strong(refusal, options);
    case FortifyFault::arrest_alcohol_out_of_reach: return arrest_too_late(refusal, options);
    case FortifyFault::arrest_density_out_of_reach: return reading_out_of_reach(refusal, options);
    case FortifyFault::final_sugar_out_of_reach: return sweetness_out_of_reach(refusal, options);
    case FortifyFault::arrest_sugar_out_of_reach:
      return {{},
              quoted(options, "residual") + " is more than the must holds",
              range_text(0.0, refusal.highest, 1, "g/L"),
              ""};
    case FortifyFault::run_on_out_of_reach:
      return {{},
              quoted(options, "run-on") + " is more sugar than the wine holds",
              range_text(0.0, refusal.highest, 1, "g/L"),
              ""};
    case FortifyFault::spirit_volume_out_of_range:
      return {{},
              quoted(options, "to") + " would take more spirit than there is anywhere",
              "a strength further below that of the spirit",
              ""};
    default:
      return {{},
              "these figures lead to " + fixed_text(refusal.asked, 2) + ", which cannot be reckoned with",
              range_text(refusal.lowest, refusal.highest, 2, ""),
              ""};
  }
}

}  // namespace tierce
