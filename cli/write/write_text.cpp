// A document becomes text for a screen.
#include <algorithm>
#include <sstream>

#include "cli/io/display_width.h"
#include "cli/read/quantity_text.h"
#include "cli/write/document.h"

namespace tierce {
namespace {

void cut_spaces_at_end(std::string& line) {
  while (!line.empty() && line.back() == ' ') line.pop_back();
}

/// Words broken at the page's width. What stands first is kept as it is, and the lines after it begin with so many
/// spaces.
void write_words(const std::string& first, const std::string& text, std::size_t indent, std::string& out,
                 std::size_t width = kPageWidth) {
  std::istringstream words(text);
  std::string line = first;
  bool fresh = true;
  for (std::string word; words >> word;) {
    if (!fresh && display_width(line) + 1 + display_width(word) > width) {
      out += with_plain_spaces(line) + '\n';
      line = std::string(indent, ' ');
      fresh = true;
    }
    line += (fresh ? "" : " ") + word;
    fresh = false;
  }
  cut_spaces_at_end(line);
  out += with_plain_spaces(line) + '\n';
}

/// Text of a document, block after block: an empty line around headings, tables and charts, and where one is asked for.
class Lines {
 public:
  Lines(Units units, const Shown& shown) : units_(units), shown_(shown) {}

  void title(const std::string& text) {
    if (text.empty()) return;
    write_words("", text, 0, out_, shown_.width);
    part();
  }
  void add(const Block& block) {
    std::visit([&](const auto& one) { write(one); }, block);
  }
  /// What follows stands below an empty line.
  void part() { part_ = !out_.empty(); }
  std::string take() { return std::move(out_); }

 private:
  void begin() {
    if (part_) out_ += '\n';
    part_ = false;
  }
  void write(const Gap&) { part(); }
  void write(const Sentence& sentence) {
    if (sentence.belongs_to == Sentence::BelongsTo::last) part_ = false;
    begin();
    write_words("", sentence.text, 0, out_, shown_.width);
    leads_ = sentence.belongs_to == Sentence::BelongsTo::next;
  }
  void write(const Listing& listing) {
    begin();
    for (const std::string& item : listing.items) write_words("- ", item, 2, out_, shown_.width);
  }
  void write(const Terms& terms) {
    begin();
    for (const auto& [term, text] : terms.terms) {
      const std::size_t bytes = term.size();
      const std::size_t spaces = bytes < terms.width ? terms.width - bytes : term.ends_with(' ') ? 0 : 1;
      write_words(term + std::string(spaces, ' '), text, std::max(terms.width, bytes + spaces), out_, shown_.width);
    }
  }
  void write(const Facts& facts) {
    begin();
    for (const Fact& fact : facts.facts)
      write_words("", fact.name + ": " + fact.value + ' ' + fact.remark, 0, out_, shown_.width);
  }
  void write(const Heading& heading) {
    part();
    begin();
    write_words("", heading.text, 0, out_, shown_.width);
    part();
  }
  void write(const Printed& printed) {
    begin();
    out_ += with_plain_spaces(printed.lines);
  }
  void write(const Table& table) {
    if (!leads_) part();
    leads_ = false;
    begin();
    write_table(table, units_, shown_.all, out_);
    part();
  }
  void write(const Chart& chart) { write(chart.behind); }
  void write(const Choice& choice) { write(choice.behind); }

  Units units_;
  Shown shown_;
  bool part_ = false;   // an empty line is due before anything else
  bool leads_ = false;  // the last sentence belongs to what comes next
  std::string out_;
};

}  // namespace

std::string text_of(const Document& document, Units units, const Shown& shown) {
  Lines lines(units, shown);
  lines.title(document.title);
  for (const Block& block : document.blocks) lines.add(block);
  lines.part();
  if (shown.all)
    for (const Block& block : document.more) lines.add(block);
  lines.part();
  for (const Block& block : document.foot) lines.add(block);
  if (shown.notes && !document.notes.empty()) {
    lines.part();
    lines.add(Listing{document.notes});
  }
  return lines.take();
}

}  // namespace tierce
