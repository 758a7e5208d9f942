#include "cli/report/harvests.h"

#include <algorithm>
#include <map>

#include "cli/report/foot.h"
#include "cli/report/report.h"
#include "cli/report/wine_rows.h"
#include "cli/write/field.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

constexpr std::size_t kAcross = 7;  // bottlings in one table

/// By vintage; wine without one stands under its lot's name, before all others.
using Harvest = std::pair<int, std::string>;

struct Bottled {
  const DrawRecord* wine;
  std::map<Harvest, double> fractions{};
  double mean_y = kUnknown;
};

/// Draws for bottling that went straight into bottles, and bottlings out of tanks, in order of time.
std::vector<Bottled> bottled_wines(const Outlook& outlook) {
  std::vector<Bottled> bottled;
  for (const DrawRecord& draw : outlook.run.draws)
    if (draw.use == Use::bottling && draw.to < 0) bottled.push_back({&draw});
  for (const BottlingRecord& bottling : outlook.run.bottlings) bottled.push_back({&bottling.wine});
  std::stable_sort(bottled.begin(), bottled.end(),
                   [](const Bottled& a, const Bottled& b) { return a.wine->day < b.wine->day; });
  for (Bottled& one : bottled) {
    const WineNow wine = DrawRow{&outlook, one.wine}.now();
    one.mean_y = wine.age().mean_y;
    for (const ShareRow& share : shares_in(wine))
      one.fractions[{share.of->vintage, share.of->vintage > 0 ? std::to_string(share.of->vintage) : share.of->lot}] +=
          share.fraction;
  }
  return bottled;
}

/// A name over two lines, broken at its last space.
std::string over_two_lines(std::string name) {
  if (const auto space = name.rfind(' '); space != std::string::npos) name[space] = '\n';
  return name;
}

Table table_of_some(const std::vector<Bottled>& bottled, std::size_t from, std::size_t to) {
  Table table{{{"harvest"}}, {}};
  std::map<Harvest, std::vector<Cell>> rows;
  std::vector<Cell> means = {std::string("mean age, years")};
  for (std::size_t i = from; i < to; ++i) {
    table.columns.push_back({over_two_lines(bottled[i].wine->name), Figure::share});
    for (const auto& [harvest, fraction] : bottled[i].fractions) {
      auto& cells = rows.try_emplace(harvest, to - from + 1, Cell{std::string("-")}).first->second;
      cells[i - from + 1] = fraction;
    }
    means.emplace_back(number_text(bottled[i].mean_y, Figure::age, Units::metric));
  }
  for (auto& [harvest, cells] : rows) {
    cells.front() = harvest.second;
    table.rows.push_back(std::move(cells));
  }
  table.rows.push_back(std::move(means));
  return table;
}

struct HarvestRow {
  const Bottled* bottled;
  const Harvest* harvest;
  double fraction;
};
constexpr Field<HarvestRow> kHarvestFields[] = {
    {"draw", "", Figure::text, "the bottling", [](auto& row) -> Value { return row.bottled->wine->name; }},
    {"date", "", Figure::date, "its day", [](auto& row) -> Value { return row.bottled->wine->date; }},
    {"past", "", Figure::flag, "true: the log holds it; false: forecast",
     [](auto& row) -> Value { return row.bottled->wine->past; }},
    {"vintage", "", Figure::text, "the harvest; of wine without one its lot",
     [](auto& row) -> Value { return row.harvest->second; }},
    {"fraction", "", Figure::share, "part of the litres", of<&HarvestRow::fraction>},
};
constexpr Shape<HarvestRow> kHarvest{"harvest", "A harvest in a bottling.", kHarvestFields};

Table every_harvest(const std::vector<Bottled>& bottled) {
  std::vector<HarvestRow> rows;
  for (const Bottled& one : bottled)
    for (const auto& [harvest, fraction] : one.fractions) rows.push_back({&one, &harvest, fraction});
  return table_of(rows, kHarvest);
}

}  // namespace

Document harvests_report(const Outlook& outlook, Units units) {
  const std::vector<Bottled> bottled = bottled_wines(outlook);
  Document document;
  document.csv = every_harvest(bottled);
  if (bottled.empty()) {
    document.title = outlook.scenario.reserve + ": nothing is bottled, in the log or by a habit.";
    close_report(document, outlook, units, kAges | kVolumes);
    return document;
  }
  const auto planned = static_cast<std::size_t>(
      std::count_if(bottled.begin(), bottled.end(), [](const Bottled& one) { return !one.wine->past; }));
  const std::size_t done = bottled.size() - planned;
  const std::size_t to = done > 0 ? done : std::min(kAcross, bottled.size());
  const Bottled& last = bottled[to - 1];
  const auto most = std::max_element(last.fractions.begin(), last.fractions.end(),
                                     [](const auto& a, const auto& b) { return a.second < b.second; });
  document.title = outlook.scenario.reserve + ": " + last.wine->name + " holds " +
                   std::to_string(last.fractions.size()) + " harvests, most of " + most->first.second + " (" +
                   figure_text(most->second, Figure::share, Units::metric) + ").";
  document.add(table_of_some(bottled, to > kAcross ? to - kAcross : 0, to));
  document.say("Parts of the litres, rounded down. The other bottlings, also those to come: --all.");
  Document more;
  for (std::size_t from = 0; from < bottled.size(); from += kAcross)
    more.add(table_of_some(bottled, from, std::min(from + kAcross, bottled.size())));
  document.more = std::move(more.blocks);
  close_report(document, outlook, units, kAges | kVolumes, last.wine->date);
  return document;
}

}  // namespace tierce
