// A report before it is written: what stands in it, not how it looks. Text puts the empty lines and the width, a page
// the elements. Figures in tables and charts are unrounded.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "cli/write/table.h"
#include "cli/write/value.h"
#include "cli/write/write.h"

namespace tierce {

/// One of several sentences that run on line by line. A warning stands out. One that belongs to the table under it or
/// over it has no empty line between.
struct Sentence {
  enum class BelongsTo { nothing, next, last };
  std::string text;
  bool warning = false;
  BelongsTo belongs_to = BelongsTo::nothing;
};

/// A name, a figure and what is to be said of it: on a page they stand as tiles, in text one a line.
struct Fact {
  std::string name;
  std::string value;
  std::string remark;
};
struct Facts {
  std::vector<Fact> facts;
};

struct Listing {
  std::vector<std::string> items;
};

/// Words or a name, and what is to be said of each. In text the words take `width` characters and the rest hangs beside
/// them.
struct Term {
  std::string term;
  std::string text;
};
struct Terms {
  std::vector<Term> terms;
  std::size_t width = 0;
};

struct Heading {
  std::string text;
};

/// Lines as they stand, all characters of one width. A sheet is to be printed by itself.
struct Printed {
  std::string lines;
  bool sheet = false;
};

/// An empty line between sentences; a page knows nothing of it.
struct Gap {};

/// What is drawn, what it says in words, and the table behind it. `drawing` is what cli/data/page/charts.js reads.
struct Chart {
  std::string title;
  std::string says;
  Value drawing;
  Table behind;
};

/// One chart for each of several choices, with facts that go with it.
struct Choice {
  enum class By { list, slider };
  struct Option {
    std::string label;
    std::vector<Fact> facts;
    std::string says;
    Value drawing;
    Table behind;  // by list: of this option; by slider: empty, the chart's own table holds all options
  };
  By by = By::list;
  std::string label;  // of the control
  std::string title;  // of the chart
  std::size_t chosen = 0;
  std::vector<Option> options{};
  Value shared{};  // what all drawings have in common
  Table behind{};  // by slider
};

using Block = std::variant<Sentence, Facts, Listing, Terms, Heading, Printed, Gap, Table, Chart, Choice>;

struct Document {
  std::string title;                 // the first line of the text: the answer
  std::vector<Block> blocks;         // what the report is about
  std::vector<Block> more{};         // what a first look does not need: with --all, and on a page
  std::vector<Block> foot{};         // what closes every report: on a page it has a part of its own
  std::vector<std::string> notes{};  // what the figures rest on: with --notes
  Table csv{};                       // the one table that --csv prints

  bool empty() const { return title.empty() && blocks.empty(); }

  void add(Block block) { blocks.push_back(std::move(block)); }
  /// A table without rows is left out.
  void add(Table table) {
    if (!table.rows.empty()) blocks.emplace_back(std::move(table));
  }
  /// An empty text says nothing.
  void say(std::string text) {
    if (!text.empty()) blocks.emplace_back(Sentence{std::move(text)});
  }
  /// What leads to the table that comes next, and what is to be said of the last one.
  void lead(std::string text) { blocks.emplace_back(Sentence{std::move(text), false, Sentence::BelongsTo::next}); }
  void note(std::string text) {
    if (!text.empty()) blocks.emplace_back(Sentence{std::move(text), false, Sentence::BelongsTo::last});
  }
  void warn(std::string text) { blocks.emplace_back(Sentence{std::move(text), true}); }
  void head(std::string text) { blocks.emplace_back(Heading{std::move(text)}); }
  void gap() { blocks.emplace_back(Gap{}); }
  /// These two go on with the block before them where it is of their kind (and width).
  void item(std::string text);
  void term(std::string term, std::string text, std::size_t width);
  void print(const std::string& line);
};

/// How much of a document is wanted as text.
struct Shown {
  bool all = false;    // every row and table
  bool notes = false;  // what the figures rest on
  std::size_t width = kPageWidth;
};
std::string text_of(const Document& document, Units units, const Shown& shown = {});

}  // namespace tierce
