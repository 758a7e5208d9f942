// A page before it is written: parts made of sentences, facts, tables and charts. Numbers are unrounded in tables and
// charts; how it looks is decided in cli/data/page and page_write.cpp.
#pragma once

#include <string>
#include <vector>

#include "cli/write/document.h"

namespace tierce {

struct Part {
  std::string title;
  std::vector<Block> blocks;
};

struct ReservePage {
  std::string name;
  std::string lead;  // what the page covers, in a sentence
  Units units = Units::metric;
  std::vector<Part> parts;
};

struct Page {
  std::string title;
  std::vector<Block> overview;  // of several reserves
  std::vector<ReservePage> reserves;
};

/// One file that needs nothing else: no network, no other file. Escaped throughout.
std::string html_of(const Page& page);

}  // namespace tierce
