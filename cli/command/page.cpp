#include "cli/command/page.h"

#include <cmath>

#include "cli/read/quantity_text.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

/// The figures of one part, one row each.
class FiguresOf {
 public:
  FiguresOf(const ReservePage& page, const Part& part, Table& table) : page_(page), part_(part), table_(table) {}

  void all() {
    for (const Block& block : part_.blocks) {
      if (std::holds_alternative<Gap>(block)) continue;
      ++number_;
      if (const auto* facts = std::get_if<Facts>(&block)) add(facts->facts, "facts");
      else if (const auto* one = std::get_if<Table>(&block))
        add(*one, one->title.empty() ? "table " + std::to_string(number_) : one->title);
      else if (const auto* chart = std::get_if<Chart>(&block)) add(chart->behind, chart->title);
      else if (const auto* choice = std::get_if<Choice>(&block)) add(*choice);
    }
  }

 private:
  void add(const Choice& choice) {
    add(choice.behind, choice.title);
    if (choice.by == Choice::By::slider) return;  // its table holds all options
    for (const Choice::Option& option : choice.options) {
      add(option.facts, choice.title + ": " + option.label);
      add(option.behind, choice.title + ": " + option.label);
    }
  }

  void add(const std::vector<Fact>& facts, const std::string& title) {
    double line = 0.0;
    for (const Fact& fact : facts) row(title, ++line, fact.name, "value", "", fact.value);
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

Table page_csv(const ReserveRuns& runs) {
  Table table{{{"reserve"}, {"part"}, {"table"}, {"line", Figure::whole}, {"row"}, {"column"}, {"unit"}, {"value"}},
              {}};
  const ReservePage page = reserve_page(runs);
  for (const Part& part : page.parts) FiguresOf(page, part, table).all();
  return table;
}

}  // namespace tierce
