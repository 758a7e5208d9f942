#include "cli/command/page.h"

#include <cmath>

#include "cli/read/quantity_text.h"
#include "cli/report/dose.h"
#include "cli/report/draw_shares.h"
#include "cli/report/json_number.h"
#include "cli/report/json_report.h"
#include "cli/report/label_report.h"
#include "cli/report/page/charts.h"
#include "cli/report/refresh.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

using nlohmann::json;

json outcome_object(const ShareOutcome& outcome) {
  json draws = json::array();
  for (const auto& [date, mean_y] : outcome.means_y)
    draws.push_back({{"date", iso_text(date)}, {"mean_y", json_number(mean_y)}});
  return {{"draw_fraction", json_number(outcome.share)},
          {"draw_means", draws},
          {"mean_y", json_number(outcome.mean_y)},
          {"youngest_y", json_number(outcome.youngest_y)},
          {"drawn_L", json_number(outcome.drawn_l)},
          {"new_wine_L", json_number(outcome.new_wine_l)},
          {"bottles", json_number(outcome.bottles)},
          {"long_run", json_parts::long_run(outcome.long_run)},
          {"impossible", outcome.stopped.empty() ? json(nullptr) : json(outcome.stopped)}};
}

/// The figures of one part, one row each.
class FiguresOf {
 public:
  FiguresOf(const ReservePage& page, const Part& part, Table& table) : page_(page), part_(part), table_(table) {}

  void all() {
    for (const OldBlock& block : part_.blocks) {
      ++number_;
      if (const auto* facts = std::get_if<OldFacts>(&block)) add(facts->facts, "facts");
      else if (const auto* one = std::get_if<PageTable>(&block))
        add(one->table, one->title.empty() ? "table " + std::to_string(number_) : one->title);
      else if (const auto* chart = std::get_if<OldChart>(&block)) add(chart->behind, chart->title);
      else if (const auto* choice = std::get_if<OldChoice>(&block)) add(*choice);
    }
  }

 private:
  void add(const OldChoice& choice) {
    add(choice.behind, choice.title);
    if (choice.by == OldChoice::By::slider) return;  // its table holds all options
    for (const OldChoice::Option& option : choice.options) {
      add(option.facts, choice.title + ": " + option.label);
      add(option.behind, choice.title + ": " + option.label);
    }
  }

  void add(const std::vector<OldFact>& facts, const std::string& title) {
    double line = 0.0;
    for (const OldFact& fact : facts) row(title, ++line, fact.name, "value", "", fact.value);
  }

  /// A row is named by its first cell; one that is indented belongs to the remark above it.
  void add(const Table& table, const std::string& title) {
    std::string remark;
    double line = 0.0;
    for (const auto& cells : table.rows) {
      ++line;
      const std::string first = csv_cell(cells.front(), table.columns.front().figure, page_.units);
      if (cells.size() == 1) remark = first;
      const std::string name = first.starts_with("  ") ? remark + ": " + first.substr(2) : first;
      for (std::size_t c = 1; c < cells.size(); ++c) {
        const Column& column = table.columns[c];
        row(title, line, name, one_line(column.name), with_plain_spaces(unit_text(column.figure, page_.units)),
            csv_cell(cells[c], column.figure, page_.units));
      }
    }
  }

  void row(const std::string& title, double line, const std::string& name, const std::string& column,
           const std::string& unit, const std::string& value) {
    table_.rows.push_back({page_.name, part_.title, title, line, name, column, unit, value});
  }

  static std::string one_line(std::string text) {
    for (char& letter : text)
      if (letter == '\n') letter = ' ';
    return text;
  }

  const ReservePage& page_;
  const Part& part_;
  Table& table_;
  std::size_t number_ = 0;
};

}  // namespace

std::string page_text(const std::vector<PageOfReserve>& reserves) {
  Page page;
  for (const PageOfReserve& one : reserves) page.reserves.push_back(one.page);
  page.title =
      page.reserves.size() == 1 ? page.reserves.front().name : std::to_string(page.reserves.size()) + " reserves";
  page.overview = overview_of(reserves);
  return html_of(page);
}

json page_json(const ReserveRuns& runs) {
  const Outlook& outlook = runs.outlook;
  json object = report_head(outlook);
  object["balance"] = json_parts::balances(outlook.run);
  if (!runs.book.run.looks.empty()) object["stock"] = stock_json(runs.book, runs.book.run.looks.back());
  object["forecast"] = forecast_json(outlook, long_run(outlook.scenario), Draws::packed);
  ChosenWines wines;
  for (const DrawRecord& draw : outlook.run.draws) wines.draws.push_back(&draw);
  for (const BottlingRecord& bottling : outlook.run.bottlings) wines.bottlings.push_back(&bottling);
  object["age"] = age_json(outlook, wines, Draws::packed);
  object["dose"] = dose_json(outlook);
  if (const auto* refresh = std::get_if<Refresh>(&runs.refresh)) object["refresh"] = refresh_json(*refresh);
  object["label"] = label_json(label_of(runs), nullptr);
  object["year_ends"] = json::array();
  for (const Stock& stock : outlook.run.looks)
    object["year_ends"].push_back({{"date", iso_text(stock.date)}, {"stock", json_parts::rows(outlook, stock)}});
  const DrawShares shares = draw_shares(outlook, runs.span);
  json list = json::array();
  for (const ShareOutcome& outcome : shares.shares) list.push_back(outcome_object(outcome));
  if (!shares.shares.empty())
    object["yearly_draw"] = {{"bottle_L", shares.bottle_l},
                             {"last_year", shares.last_year},
                             {"as_stated", outcome_object(shares.as_stated)},
                             {"shares", list}};
  return object;
}

Table page_csv(const ReserveRuns& runs) {
  Table table{{{"reserve"}, {"part"}, {"table"}, {"line", Figure::whole}, {"row"}, {"column"}, {"unit"}, {"value"}},
              {}};
  const ReservePage page = reserve_page(runs);
  for (const Part& part : page.parts) FiguresOf(page, part, table).all();
  return table;
}

}  // namespace tierce
