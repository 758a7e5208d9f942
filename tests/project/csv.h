// Reads the small reference tables in tests/data: comma separated, one header line, double quotes around cells
// that hold a comma, lines that start with '#' name the source and are skipped.
#pragma once

#include <fstream>
#include <map>
#include <stdexcept>
#include <string>
#include <vector>

#include "tests/project/deviation.h"

namespace tierce::test {

using CsvRow = std::map<std::string, std::string>;

inline std::vector<std::string> split_csv_line(const std::string& line) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"') quoted = !quoted;
    else if (c == ',' && !quoted) cells.emplace_back();
    else if (c != '\r') cells.back().push_back(c);
  }
  return cells;
}

/// Rows of tests/data/`name`, each a map from column heading to cell. Throws if the file is missing or empty.
inline std::vector<CsvRow> read_csv(const std::string& name) {
  std::ifstream in(std::string(TIERCE_TEST_DATA) + "/" + name);
  if (!in) throw std::runtime_error("missing test data: " + name);
  std::vector<std::string> headings;
  std::vector<CsvRow> rows;
  for (std::string line; std::getline(in, line);) {
    if (line.empty() || line[0] == '#') continue;
    const auto cells = split_csv_line(line);
    if (headings.empty()) {
      headings = cells;
      continue;
    }
    CsvRow row;
    for (std::size_t i = 0; i < headings.size() && i < cells.size(); ++i) row[headings[i]] = cells[i];
    rows.push_back(row);
  }
  if (rows.empty()) throw std::runtime_error("no rows in test data: " + name);
  Deviations::all().begin(name, rows.size());
  return rows;
}

inline double number(const CsvRow& row, const std::string& heading) { return std::stod(row.at(heading)); }

}  // namespace tierce::test
