#include "cli/report/page/report.h"

#include <algorithm>
#include <iterator>

#include "cli/write/write.h"

namespace tierce {
namespace {

constexpr std::size_t kLongestSentence = 2000;  // bytes
constexpr std::size_t kMostBlocks = 300;        // of one part

std::string left_out(std::size_t count, const std::string& things) {
  return "---- " + number_text(static_cast<double>(count), Figure::whole, Units::metric) + " " + things +
         " are left out on this page; the commands, and their CSV, have them all ----";
}

/// The first and the last rows, and between them how many are left out.
void shorten(Table& table, std::size_t most) {
  if (table.rows.size() <= most) return;
  const auto half = static_cast<std::ptrdiff_t>(most / 2);
  const std::string remark = left_out(table.rows.size() - 2 * static_cast<std::size_t>(half), "rows");
  table.rows.erase(table.rows.begin() + half, table.rows.end() - half);
  table.rows.insert(table.rows.begin() + half, {remark});
}

void shorten(std::string& lines, std::size_t most) {
  std::size_t end = 0, count = 0;
  for (std::size_t at = lines.find('\n'); at != std::string::npos; at = lines.find('\n', at + 1))
    if (++count == most) end = at + 1;
  if (count <= most) return;
  lines = lines.substr(0, end) + left_out(count - most, "lines") + '\n';
}

void shorten_sentence(std::string& text) {
  if (text.size() <= kLongestSentence) return;
  text = text.substr(0, text.rfind(' ', kLongestSentence)) + " ... (the rest is left out on this page)";
}

}  // namespace

void shorten(Part& part, const PageRoom& room) {
  if (part.blocks.size() > kMostBlocks) {
    const std::size_t rest = part.blocks.size() - kMostBlocks;
    part.blocks.resize(kMostBlocks, Sentence{});
    part.blocks.push_back(Sentence{left_out(rest, "tables and sentences")});
  }
  for (Block& block : part.blocks) {
    if (auto* table = std::get_if<Table>(&block)) shorten(*table, room.rows);
    else if (auto* chart = std::get_if<Chart>(&block)) shorten(chart->behind, room.rows);
    else if (auto* printed = std::get_if<Printed>(&block)) shorten(printed->lines, 2 * room.rows);
    else if (auto* sentence = std::get_if<Sentence>(&block)) shorten_sentence(sentence->text);
    else if (auto* terms = std::get_if<Terms>(&block)) {
      for (Term& term : terms->terms) shorten_sentence(term.text);
      if (terms->terms.size() > room.rows) terms->terms.resize(room.rows);
    } else if (auto* listing = std::get_if<Listing>(&block)) {
      if (listing->items.size() > room.rows) {
        const std::size_t rest = listing->items.size() - room.rows;
        listing->items.resize(room.rows);
        listing->items.push_back(left_out(rest, "lines"));
      }
      for (std::string& item : listing->items) shorten_sentence(item);
    }
  }
}

std::vector<Block> blocks_of(const Document& document) {
  std::vector<Block> blocks;
  const auto says_nothing = [](const Block& block) {
    const auto* sentence = std::get_if<Sentence>(&block);
    return std::holds_alternative<Gap>(block) || (sentence != nullptr && sentence->text.empty());
  };
  for (const auto& part : {document.blocks, document.more})
    std::remove_copy_if(part.begin(), part.end(), std::back_inserter(blocks), says_nothing);
  return blocks;
}

std::vector<Block> blocks_of_sheets(const std::string& sheets) {
  std::vector<Block> blocks;
  for (std::size_t from = 0; from < sheets.size();) {
    const std::size_t to = std::min(sheets.find('\f', from), sheets.size());
    blocks.push_back(Printed{sheets.substr(from, to - from), true});
    from = to + 1;
  }
  return blocks;
}

}  // namespace tierce
