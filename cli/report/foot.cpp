#include "cli/report/foot.h"

#include <cmath>

#include "cli/report/remarks.h"
#include "cli/report/report.h"
#include "cli/write/write.h"
#include "engine/measure/balance.h"

namespace tierce {
namespace {

bool closes(const Outlook& outlook, const Balance& volume) {
  const double most = kBalanceTolerance * volume.throughput();
  return std::abs(volume.gap()) <= most && largest_parcel_gap_l(outlook.run) <= most;
}

/// Whole litres or gallons as they are printed, so that the line adds up as it stands.
double shown_whole(double litres, Units units) { return std::round(in_shown_unit(litres, Figure::litres, units)); }

/// "Balance to 10 Feb 2026: 3,335 L in = 1,330 held + 2,005 out; closes."
std::string balance_line(const Outlook& outlook, Units units) {
  const auto& years = outlook.run.flows.years;
  if (years.empty()) return "Balance: nothing came in and nothing left; closes.";
  const Balance volume = balance_of_volume(outlook.run);
  const double in = shown_whole(volume.flow[kOpening] + volume.flow[kIn] + volume.flow[kWater], units);
  const double held = shown_whole(volume.held, units);
  const auto text = [](double whole) { return number_text(whole, Figure::whole, Units::metric); };
  const std::string line = "Balance to " + day_text(years.back().closed) + ": " + text(in) + "\xC2\xA0" +
                           unit_text(Figure::litres, units) + " in = " + text(held) + " held + " + text(in - held) +
                           " out; ";
  const std::string money = money_balance_text(outlook);
  const bool money_closes = money.find("DOES NOT") == std::string::npos;
  return line + (closes(outlook, volume) ? "closes." : "DOES NOT CLOSE.") + (money_closes ? "" : " " + money);
}

std::string defaults_text(std::size_t count) {
  if (count == 0) return "";
  return count == 1 ? " 1 assumption touches these figures: --notes"
                    : " " + std::to_string(count) + " assumptions touch these figures: --notes";
}

}  // namespace

std::string balance_text(const Outlook& outlook, Units units) {
  const Balance balance = balance_of_volume(outlook.run);
  const auto litres = [&](double value) { return number_text(value, Figure::litres, units); };
  std::string line = "Balance in " + std::string(units == Units::us ? "gallons" : "litres") + ": ";
  if (balance.flow[kOpening] > 0.0) line += "opening " + litres(balance.flow[kOpening]) + " + ";
  line += "in " + litres(balance.flow[kIn]) +
          (balance.flow[kWater] > 0.0 ? " + water " + litres(balance.flow[kWater]) : "") + " = held " +
          litres(balance.held) + " + drawn " + litres(balance.flow[kDrawn]) + " + evaporated " +
          litres(balance.flow[kEvaporated]);
  if (balance.flow[kGauged] != 0.0)
    line += (balance.flow[kGauged] < 0.0 ? " - found by gauge " : " + lost by gauge ") +
            litres(std::abs(balance.flow[kGauged]));
  if (balance.flow[kBottled] > 0.0) line += " + bottled " + litres(balance.flow[kBottled]);
  if (balance.flow[kLost] > 0.0) line += " + lost " + litres(balance.flow[kLost]);
  if (balance.flow[kContracted] != 0.0)
    line += (balance.flow[kContracted] < 0.0 ? " - expanded " : " + contracted ") +
            figure_text(std::abs(balance.flow[kContracted]), Figure::small_litres, units);
  line += closes(outlook, balance)
              ? "; it closes, lot by lot."
              : "; IT DOES NOT CLOSE: difference " + number_text(balance.gap(), Figure::small_litres, units) + ".";
  if (const std::string money = money_balance_text(outlook); !money.empty()) line += " " + money;
  return line;
}

void close_report(Document& report, const Outlook& outlook, Units units, unsigned touches,
                  const std::optional<Date>& day) {
  const auto& years = outlook.run.flows.years;
  const bool earlier = day && !years.empty() && *day < years.back().closed;
  const Outlook to_day =
      earlier ? run_scenario(outlook.scenario, {.until_year = 0, .habit = *day > outlook.line.log_end, .end_on = *day})
              : Outlook{};
  std::size_t defaults = 0;
  for (const Assumption& one : assumptions_of(outlook)) {
    if ((one.touches & touches) == 0) continue;
    report.notes.push_back(one.text);
    defaults += one.by_default ? 1 : 0;
  }
  report.foot = {Sentence{balance_line(earlier ? to_day : outlook, units) + defaults_text(defaults)}};
  if (outlook.scenario.as_known) report.foot.emplace_back(Sentence{knowledge_text(outlook)});
  for (const std::string& remark : remarks_beside_figures(outlook)) report.foot.emplace_back(Sentence{remark});
  report.notes.push_back(balance_text(outlook, units));
}

}  // namespace tierce
