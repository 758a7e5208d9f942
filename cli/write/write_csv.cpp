// Tables as CSV (RFC 4180): figures unrounded, and no text that a spreadsheet would run.
#include <algorithm>

#include "cli/write/write.h"

namespace tierce {
namespace {

/// "-0.35", "+1,234", "12 %": what a spreadsheet may well take for a number, for it is one.
bool is_figure(const std::string& text) {
  const std::size_t first = text.starts_with('-') || text.starts_with('+') ? 1 : 0;
  const std::size_t end = text.find_first_not_of("0123456789,.", first);
  return first < text.size() && text[first] >= '0' && text[first] <= '9' &&
         (end == std::string::npos || text.compare(end, text.size() - end, "%") == 0 ||
          text.compare(end, text.size() - end, " %") == 0);
}

/// A spreadsheet runs a cell that begins so as a formula, whoever wrote the name in it; behind a ' it is text.
std::string harmless(const std::string& text) {
  const bool runs = !text.empty() && std::string("=+-@\t\r").find(text[0]) != std::string::npos;
  return runs && !is_figure(text) ? '\'' + text : text;
}

std::string quoted(const std::string& text) {
  if (text.find_first_of(",\"\n\r") == std::string::npos) return text;
  std::string result = "\"";
  for (const char c : text) result += c == '"' ? std::string("\"\"") : std::string(1, c);
  return result + '"';
}

/// The key of a field, its unit changed where the figures are shown in another: volume_gal, drawn_gal_y.
std::string key_in_units(const Column& column, Units units) {
  std::string key = column.key;
  if (unit_text(column.figure, Units::metric) == unit_text(column.figure, units)) return key;
  const std::string litres = "litres";
  if (key.ends_with(litres)) return key.substr(0, key.size() - litres.size()) + "gallons";
  const std::size_t at = key.rfind("_L");  // at the end, or before another unit: drawn_L_y
  if (at == std::string::npos || (at + 2 < key.size() && key[at + 2] != '_')) return key + "_gal";
  return key.replace(at + 1, 1, "gal");
}

std::string csv_heading(const Column& column, Units units) {
  if (!column.key.empty()) return key_in_units(column, units) + (column.currency.empty() ? "" : "_" + column.currency);
  std::string unit = column.currency + unit_text(column.figure, units);
  for (char& letter : unit)
    if (letter == '/') letter = '_';
  if (unit == "%") unit = "pct";
  if (unit == "%vol") unit = "pct_vol";
  if (unit == "proof gal") unit = "proof_gal";
  return harmless(column.name + (unit.empty() ? "" : "_" + unit));
}

std::string csv_line(const std::vector<std::string>& cells) {
  std::string line;
  for (std::size_t c = 0; c < cells.size(); ++c) line += (c > 0 ? "," : "") + quoted(cells[c]);
  return line + "\r\n";  // RFC 4180
}

/// A share under the key of JSON is a part of one, as there.
bool is_share(const Column& column) {
  return !column.key.empty() && (column.figure == Figure::share || column.figure == Figure::percent);
}

/// The cells of a row, one for each column.
std::vector<std::string> csv_cells(const Table& table, const std::vector<Cell>& row, Units units) {
  std::vector<std::string> cells(table.columns.size());
  for (std::size_t c = 0; c < std::min(cells.size(), row.size()); ++c) {
    const Column& column = table.columns[c];
    const auto* share = is_share(column) ? std::get_if<double>(&row[c]) : nullptr;
    cells[c] =
        share != nullptr ? csv_cell(*share, Figure::exact_number, units) : csv_cell(row[c], column.figure, units);
    if (std::holds_alternative<std::string>(row[c])) cells[c] = harmless(cells[c]);
  }
  return cells;
}

/// The first column of that heading which the table does not fill yet; a new one where there is none.
std::size_t place_of(const std::string& heading, const std::vector<std::size_t>& taken,
                     std::vector<std::string>& headings) {
  for (std::size_t i = 0; i < headings.size(); ++i)
    if (headings[i] == heading && std::find(taken.begin(), taken.end(), i) == taken.end()) return i;
  headings.push_back(heading);
  return headings.size() - 1;
}

}  // namespace

std::string csv_of(const Table& table, Units units) {
  std::vector<std::string> cells;
  for (const Column& column : table.columns) cells.push_back(csv_heading(column, units));
  std::string out = csv_line(cells);
  for (const auto& row : table.rows) out += csv_line(csv_cells(table, row, units));
  return out;
}

std::string csv_of_files(const std::vector<NamedTable>& tables, std::size_t files, Units units) {
  if (files == 1 && tables.size() == 1) return csv_of(tables.front().table, units);
  const std::string reserve = "reserve";
  std::vector<std::string> headings = {reserve};
  std::vector<std::vector<std::size_t>> places;  // for each table the column of the whole that each of its own is
  for (const NamedTable& one : tables) {
    places.emplace_back();
    for (const Column& column : one.table.columns)
      places.back().push_back(place_of(csv_heading(column, units), places.back(), headings));
  }
  std::string out = csv_line(headings);
  for (std::size_t t = 0; t < tables.size(); ++t)
    for (const auto& row : tables[t].table.rows) {
      std::vector<std::string> line(headings.size());
      line[0] = harmless(tables[t].reserve);
      const auto cells = csv_cells(tables[t].table, row, units);
      for (std::size_t c = 0; c < cells.size(); ++c) line[places[t][c]] = cells[c];
      out += csv_line(line);
    }
  return tables.empty() ? "" : out;
}

}  // namespace tierce
