// Reports become text, CSV or JSON here. The only place that rounds.
#pragma once

#include <string>
#include <vector>

#include "cli/io/number_text.h"
#include "cli/write/table.h"

namespace tierce {

constexpr std::size_t kPageWidth = 100;  // characters

/// Every cell rounded, the columns aligned. Without `all` the rows that print alike are folded.
void write_table(const Table& table, Units units, bool all, std::string& out);
std::string csv_of(const Table& table, Units units);
/// What one of several files came to.
struct NamedTable {
  std::string reserve;
  Table table;
};
/// What stands for the reserve in a row that is of all of them.
constexpr const char* kAllReserves = "all";
/// Of one file its table; of several one table, with the columns of all behind one that names the reserve.
std::string csv_of_files(const std::vector<NamedTable>& tables, std::size_t files, Units units);
/// A cell as CSV has it, before any quotes: numbers unrounded, nothing for what is not known.
std::string csv_cell(const Cell& cell, Figure figure, Units units);

/// A table as somebody sees it: headings, and every cell rounded to text. A row of one cell is a remark between rows.
struct ShownTable {
  struct Heading {
    std::string name;  // at most two lines
    std::string unit;
    bool number = false;
  };
  std::vector<Heading> headings;
  std::vector<std::vector<std::string>> rows;
};
ShownTable shown(const Table& table, Units units);
/// Without the columns that stand only at a first look, or only where all is asked for.
Table seen(const Table& table, bool all);
/// What a figure is in the unit it is shown in, unrounded, and that unit: for the axes of charts.
double in_shown_unit(double value, Figure figure, Units units);
std::string unit_text(Figure figure, Units units);

// Figures inside a sentence, rounded as the tables round them and with their unit.
std::string figure_text(double value, Figure figure, Units units);
/// As figure_text, without the unit.
std::string number_text(double value, Figure figure, Units units);
// The same rounded up: what is said to be "up to" or "at most" so much.
std::string upper_figure_text(double value, Figure figure, Units units);
std::string upper_number_text(double value, Figure figure, Units units);
std::string day_text(const Date& date);  // 6 Nov 2026

}  // namespace tierce
