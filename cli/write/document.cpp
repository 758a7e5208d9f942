#include "cli/write/document.h"

namespace tierce {
namespace {

/// The block before the next, if it is of this kind and `fits`; else a new one.
template <class Kind, class Fits>
Kind& last_or_new(std::vector<Block>& blocks, Kind made, const Fits& fits) {
  if (blocks.empty() || !std::holds_alternative<Kind>(blocks.back()) || !fits(std::get<Kind>(blocks.back())))
    blocks.emplace_back(std::move(made));
  return std::get<Kind>(blocks.back());
}

}  // namespace

void Document::item(std::string text) {
  last_or_new(blocks, Listing{}, [](const Listing&) { return true; }).items.push_back(std::move(text));
}

void Document::term(std::string term, std::string text, std::size_t width) {
  last_or_new(blocks, Terms{{}, width}, [&](const Terms& terms) {
    return terms.width == width;
  }).terms.push_back({std::move(term), std::move(text)});
}

void Document::print(const std::string& line) {
  last_or_new(blocks, Printed{}, [](const Printed& printed) { return !printed.sheet; }).lines += line + '\n';
}

}  // namespace tierce
