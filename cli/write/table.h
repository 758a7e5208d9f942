// A report before it is written: sentences and tables of numbers, unrounded. How it looks is decided in write.cpp.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "engine/book/scenario.h"

namespace tierce {

/// What a column holds; write.cpp knows its unit, its decimals and how it is rounded.
enum class Figure {
  text,
  whole,
  litres,
  small_litres,
  alcohol_pct,
  alcohol_change,
  grams_per_litre,
  fine_grams_per_litre,
  milligrams_per_litre,
  fine_milligrams_per_litre,
  ph,
  age,
  share,
  percent,
  pure_alcohol,
  proof_gallons,
  money,            // its currency stands in the column, or behind the figure
  money_by_volume,  // the cost of a litre
  exact_age,        // for whoever recalculates
  exact_number,
  tenths,  // one decimal and no unit
  count,   // of things that come whole, though a reckoned number need not be: bottles
  // What is no figure; the kind of value, for schemas. In a table it is text.
  date,
  year,     // a whole number that is no amount
  flag,     // true or false
  word,     // one of a few
  texts,    // a list of text
  numbers,  // a list of numbers
  object,
  list  // of objects
};

struct Column {
  enum class When { always, at_first, with_all };  // at a first look, or where all of a report is asked for
  std::string name;
  Figure figure = Figure::text;
  std::string currency{};  // of money
  std::string key{};       // of its field: the heading in CSV, its unit at the end
  When when = When::always;
};

using Cell = std::variant<std::monostate, std::string, double>;  // monostate: nothing; an unknown number shows as "-"

struct Table {
  std::vector<Column> columns;
  std::vector<std::vector<Cell>> rows;
  std::string title{};  // on a page
  bool folds = false;   // rows that print as the one before share a line: "2036 to 2045 as 2035"
};

}  // namespace tierce
