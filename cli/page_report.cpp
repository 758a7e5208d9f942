#include "cli/page_report.h"

#include <algorithm>

#include "cli/quantity_text.h"

namespace tierce {
namespace {

constexpr std::size_t kClosing = 3;  // parts that close_report adds
constexpr std::size_t kLongestHeading = 100;

class Blocks {
 public:
  explicit Blocks(const Report& report) : report_(report) {}

  std::vector<Block> all() {
    for (std::size_t i = 1; i + kClosing < report_.parts.size(); ++i) {
      if (const auto* table = std::get_if<Table>(&report_.parts[i])) blocks_.push_back(PageTable{"", *table});
      else take(std::get<Paragraph>(report_.parts[i]), i);
    }
    return std::move(blocks_);
  }

 private:
  bool is_empty(std::size_t i) const {
    const auto* text = i < report_.parts.size() ? std::get_if<Paragraph>(&report_.parts[i]) : nullptr;
    return text != nullptr && text->text.empty();
  }

  /// On the screen of a terminal a heading is a line with an empty one above and below.
  bool is_heading(const Paragraph& paragraph, std::size_t i) const {
    return paragraph.indent == 0 && !paragraph.text.ends_with('.') && paragraph.text.size() <= kLongestHeading &&
           is_empty(i - 1) && is_empty(i + 1);
  }

  /// The block before this one, if it is of the kind wanted; else a new one.
  template <class Kind>
  Kind& last_or_new() {
    if (blocks_.empty() || !std::holds_alternative<Kind>(blocks_.back())) blocks_.push_back(Kind{});
    return std::get<Kind>(blocks_.back());
  }

  void take(const Paragraph& paragraph, std::size_t i) {
    const std::string& text = paragraph.text;
    if (text.empty()) return;
    if (text.starts_with("- ")) last_or_new<Listing>().items.push_back(text.substr(2));
    else if (paragraph.indent >= text.size()) last_or_new<Printed>().lines += text + '\n';
    else if (paragraph.indent > 0)
      last_or_new<Terms>().terms.push_back(
          {trimmed(text.substr(0, paragraph.indent)), trimmed(text.substr(paragraph.indent))});
    else if (is_heading(paragraph, i)) blocks_.push_back(Heading{text});
    else blocks_.push_back(Sentence{text, text.starts_with("THE FORECAST STOPS")});
  }

  const Report& report_;
  std::vector<Block> blocks_;
};

}  // namespace

std::vector<Block> blocks_of(const Report& report) { return Blocks(report).all(); }

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
