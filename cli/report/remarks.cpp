#include "cli/report/remarks.h"

#include <algorithm>
#include <cmath>

#include "cli/read/suggest.h"
#include "cli/write/write.h"
#include "engine/run/evaporation.h"

namespace tierce {
namespace {

/// "in 'loft' in 2031, in 'floor' in 2033", of the rows that pass a figure.
std::string rows_and_years(const Outlook& outlook, Beyond::What what) {
  std::vector<std::string> rows;
  for (const Beyond& beyond : outlook.run.beyond)
    if (beyond.what == what)
      rows.push_back("in " + outlook.scenario.name_of(beyond.row) + " in " + std::to_string(beyond.date.year));
  return listed(rows);
}

/// Spirits may be as strong as they are: of a file that names them so, or that states them.
bool of_spirits(const Scenario& scenario) {
  const auto product = scenario.label.find("product");
  if (product != scenario.label.end()) return product->second == "spirits";
  const auto strong = [](const auto& part) { return part.wine.alcohol_pct > kNoWineAbovePct; };
  const auto reads_strong = [&](const Entry& entry) {
    const auto* analyse = std::get_if<Analyse>(&entry.action);
    return analyse != nullptr && analyse->found.alcohol_pct > kNoWineAbovePct;
  };
  return std::any_of(scenario.lots.begin(), scenario.lots.end(), strong) ||
         std::any_of(scenario.opening.begin(), scenario.opening.end(), strong) ||
         std::any_of(scenario.log.begin(), scenario.log.end(), reads_strong);
}

void wine_beyond_wine(const Outlook& outlook, std::vector<Remark>& remarks) {
  const std::string strong = rows_and_years(outlook, Beyond::What::strength);
  if (!strong.empty() && !of_spirits(outlook.scenario))
    remarks.push_back(
        {{},
         "strength passes 24 %vol " + strong + ": no wine is that strong; are 'evaporation' and 'vapour' as measured?",
         true});
  if (const std::string sweet = rows_and_years(outlook, Beyond::What::sugar); !sweet.empty())
    remarks.push_back(
        {{}, "sugar passes 800 g/L " + sweet + ": no wine holds so much; is 'evaporation' as measured?", true});
}

/// Damp holds water back, and the loss with it: where the loss is stated and only the vapour feels the air, strengths
/// would fall too far, and in dry air rise too far. The engine therefore holds the humidity (engine/run/evaporation.h).
void vapour_without_its_loss(const Outlook& outlook, std::vector<Remark>& remarks) {
  const double humidity = air_of(outlook.scenario.cellar).humidity;
  constexpr double kRounding = 1e-9;  // of a percentage read
  const double held = air_for(outlook.scenario.cellar, Tier{}).humidity;
  if (std::abs(humidity - held) <= kRounding) return;
  std::vector<std::string> names;
  for (const Tier& tier : outlook.scenario.tiers)
    if (!tier.vapour_stated && tier.evaporation.kind != Evaporation::Kind::air && tier.evaporation.per_year > 0.0)
      names.push_back(tier.name);
  if (names.empty()) return;
  remarks.push_back({{},
                     "at " + figure_text(humidity, Figure::percent, Units::metric) +
                         " humidity a vapour from the cellar's air does not go with the loss stated for " +
                         listed(names) + ", which does not follow the air; it is taken as at " +
                         figure_text(held, Figure::percent, Units::metric) +
                         ": state 'vapour', as in vapour: 10 %vol, from two analyses of strength",
                     true});
}

}  // namespace

void remark_on_days_ahead(Scenario& scenario, const Date& today) {
  std::vector<std::pair<Date, std::string>> ahead;  // day, what stands there
  At first{};
  const auto take = [&](const std::string& what, const Date& date, const At& at) {
    if (date <= today || date.year == 9999) return;
    if (ahead.empty()) first = at;
    ahead.emplace_back(date, "the " + what + " of " + day_text(date) + " (line " + std::to_string(at.line) + ")");
  };
  for (const Opening& opening : scenario.opening) take("opening stock", opening.date, opening.at);
  for (const Entry& entry : scenario.log) take("entry", entry.date, entry.at);
  if (ahead.empty()) return;
  const auto day = [](const auto& a, const auto& b) { return a.first < b.first; };
  const auto earliest = std::min_element(ahead.begin(), ahead.end(), day);
  const auto latest = std::max_element(ahead.begin(), ahead.end(), day);
  std::string what = earliest->second;
  if (ahead.size() == 2) what += " and " + (earliest == latest ? ahead.back().second : latest->second);
  if (ahead.size() > 2)
    what += " and " + std::to_string(ahead.size() - 1) + " more, the last " + latest->second.substr(4);
  what += (ahead.size() == 1 ? " lies" : " lie") + std::string(" after today, ") + day_text(today) + ": ";
  what += scenario.habit.empty() ? "a log holds what was done"
          : ahead.size() == 1    ? "the habit does not run before it"
                                 : "the habit does not run before the last";
  scenario.remarks.push_back({first, what, true});
}

std::vector<Remark> remarks_on(const Outlook& outlook) {
  std::vector<Remark> remarks = outlook.scenario.remarks;
  wine_beyond_wine(outlook, remarks);
  vapour_without_its_loss(outlook, remarks);
  return remarks;
}

std::string as_sentence(const Remark& remark) {
  return "Remark: " + remark.what + (remark.what.ends_with('?') ? "" : ".");
}

std::vector<std::string> remarks_beside_figures(const Outlook& outlook) {
  std::vector<std::string> lines;
  for (const Remark& remark : remarks_on(outlook))
    if (remark.beside_figures) lines.push_back(as_sentence(remark));
  return lines;
}

}  // namespace tierce
