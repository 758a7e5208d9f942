// A page before it is written: parts made of sentences, facts, tables and charts. Numbers are unrounded in tables and
// charts; how it looks is decided in cli/page/ and page_write.cpp.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "cli/write/table.h"

namespace tierce {

struct OldFact {
  std::string name;
  std::string value;
  std::string remark;
};
struct OldFacts {
  std::vector<OldFact> facts;
};

struct OldListing {
  std::vector<std::string> items;
};

struct PageTable {
  std::string title;
  Table table;
};

/// What is drawn, what it says in words, and the table behind it. `drawing` is what cli/data/page/charts.js reads.
struct OldChart {
  std::string title;
  std::string says;
  nlohmann::json drawing;
  Table behind;
};

/// One chart for each of several choices, with facts that go with it.
struct OldChoice {
  enum class By { list, slider };
  struct Option {
    std::string label;
    std::vector<OldFact> facts;
    std::string says;
    nlohmann::json drawing;
    Table behind;  // by list: of this option; by slider: empty, the chart's own table holds all options
  };
  By by = By::list;
  std::string label;  // of the control
  std::string title;  // of the chart
  std::size_t chosen = 0;
  std::vector<Option> options{};
  nlohmann::json shared{};  // what all drawings have in common
  Table behind{};           // by slider
};

/// A sentence; a warning stands out.
struct OldSentence {
  std::string text;
  bool warning = false;
};

/// Words or a name, and what is to be said of each.
struct OldTerms {
  std::vector<std::pair<std::string, std::string>> terms;
};

struct OldHeading {
  std::string text;
};

/// Lines as they stand, all characters of one width. A sheet is to be printed by itself.
struct OldPrinted {
  std::string lines;
  bool sheet = false;
};

using OldBlock =
    std::variant<OldSentence, OldFacts, OldListing, OldTerms, OldHeading, OldPrinted, PageTable, OldChart, OldChoice>;

struct Part {
  std::string title;
  std::vector<OldBlock> blocks;
};

struct ReservePage {
  std::string name;
  std::string lead;  // what the page covers, in a sentence
  Units units = Units::metric;
  std::vector<Part> parts;
};

struct Page {
  std::string title;
  std::vector<OldBlock> overview;  // of several reserves
  std::vector<ReservePage> reserves;
};

/// One file that needs nothing else: no network, no other file. Escaped throughout.
std::string html_of(const Page& page);

}  // namespace tierce
