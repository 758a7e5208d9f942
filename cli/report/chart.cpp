#include "cli/report/chart.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "cli/report/foot.h"
#include "cli/report/report.h"
#include "cli/write/write.h"
#include "engine/measure/age.h"

namespace tierce {
namespace {

constexpr std::size_t kBarWidth = 60, kAgeWidth = 22;  // characters
const std::string kLetters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";
constexpr const char* kRuler = "|0 %           |25 %          |50 %          |75 %          ";

using Vintage = std::pair<int, std::string>;  // year, 0 if not known; and the name shown
struct Slice {
  Vintage vintage;
  double fraction = 0.0;
};

/// Oldest first; wine without a vintage, older than the book, before all others.
std::vector<Slice> slices_of(const Outlook& outlook, const Stock& stock, int row) {
  std::map<Vintage, double> by_vintage;
  for (const Share& share : shares_of(outlook.line, outlook.scenario.clock, part_of(stock, row, 1.0), stock.day)) {
    const Parcel& parcel = outlook.line.parcels[static_cast<std::size_t>(share.parcel)];
    by_vintage[{parcel.vintage, parcel.vintage > 0 ? std::to_string(parcel.vintage) : parcel.lot}] += share.fraction;
  }
  std::vector<Slice> slices;
  for (const auto& [vintage, fraction] : by_vintage) slices.push_back({vintage, fraction});
  return slices;
}

/// One letter for each vintage of the whole chart; more than there are letters share the last.
class Letters {
 public:
  void take(const std::vector<Slice>& slices) {
    for (const Slice& slice : slices) vintages_.insert(slice.vintage);
  }
  char of(const Vintage& vintage) const {
    const auto at = static_cast<std::size_t>(std::distance(vintages_.begin(), vintages_.find(vintage)));
    return kLetters[std::min(at, kLetters.size() - 1)];
  }
  std::string key() const {
    std::string text;
    for (const Vintage& vintage : vintages_)
      text += (text.empty() ? "" : ", ") + std::string(1, of(vintage)) + "\xC2\xA0" + vintage.second;
    return text;
  }

 private:
  std::set<Vintage> vintages_;
};

/// Every vintage ends where its cumulated share does, so that the bar is as long as all of them.
std::string bar_of(const std::vector<Slice>& slices, const Letters& letters) {
  std::string bar;
  double cumulated = 0.0;
  for (const Slice& slice : slices) {
    cumulated += slice.fraction;
    const auto end = static_cast<std::size_t>(std::lround(cumulated * static_cast<double>(kBarWidth)));
    if (end > bar.size()) bar.append(end - bar.size(), letters.of(slice.vintage));
  }
  return bar;
}

std::string book_end_text(const Outlook& outlook) {
  return "---- the book ends on " + day_text(outlook.line.log_end) +
         (outlook.scenario.habit.empty() ? "; no habit is stated ----" : "; what follows is the habit ----");
}

Table tier_table(const Outlook& outlook, int row, const Letters& letters) {
  Table table{{{"end of"}, {kRuler}, {"mean\nage", Figure::age}, {""}}, {}};
  double oldest_y = 0.0;
  std::vector<std::pair<const Stock*, double>> shown;
  for (const Stock& stock : outlook.run.looks) {
    if (!(stock.volume[row] > 0.0)) continue;
    const double mean_y = age_of(outlook.line, outlook.scenario.clock, part_of(stock, row, 1.0), stock.day).mean_y;
    if (mean_y > oldest_y) oldest_y = mean_y;
    shown.emplace_back(&stock, mean_y);
  }
  bool marked = false;
  for (const auto& [stock, mean_y] : shown) {
    if (!marked && stock->date > outlook.line.log_end && !table.rows.empty()) {
      table.rows.push_back({book_end_text(outlook)});
      marked = true;
    }
    const double part = is_known(mean_y) && oldest_y > 0.0 ? mean_y / oldest_y : 0.0;
    const auto length = static_cast<std::size_t>(std::lround(part * static_cast<double>(kAgeWidth)));
    table.rows.push_back({std::to_string(stock->date.year), bar_of(slices_of(outlook, *stock, row), letters), mean_y,
                          std::string(length, '#')});
  }
  return table;
}

}  // namespace

Document chart_report(const Outlook& looked, Units units) {
  Document report;
  Letters letters;
  report.csv = Table{{{"date"}, {"tier"}, {"vintage"}, {"fraction", Figure::share, {}, "fraction"}}, {}};
  for (const Stock& stock : looked.run.looks)
    for (int row = 0; row < looked.scenario.tier_count(); ++row) {
      if (!(stock.volume[row] > 0.0)) continue;
      const auto slices = slices_of(looked, stock, row);
      letters.take(slices);
      for (const Slice& slice : slices)
        report.csv.rows.push_back(
            {iso_text(stock.date), looked.scenario.name_of(row), slice.vintage.second, slice.fraction});
    }
  report.title =
      looked.scenario.reserve + ": the vintages of each tier at the end of every year, and the mean age of its wine";
  for (int row = 0; row < looked.scenario.tier_count(); ++row) {
    Table table = tier_table(looked, row, letters);
    if (table.rows.empty()) continue;
    report.gap();
    report.lead(looked.scenario.name_of(row));
    report.add(std::move(table));
  }
  report.say("Each letter is a vintage, oldest first: " + letters.key() + ".");
  close_report(report, looked, units);
  return report;
}

}  // namespace tierce
