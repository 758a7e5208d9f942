// A page becomes HTML: the templates of cli/page/, filled in. Every text is escaped by the template library, and the
// figures for the charts are JSON without any character that HTML could read as markup.
#include <kainjow/mustache.hpp>

#include "cli/read/quantity_text.h"
#include "cli/write/json.h"
#include "cli/write/page.h"
#include "cli/write/page_assets.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

using kainjow::mustache::data;
using kainjow::mustache::list;
using kainjow::mustache::mustache;
using kainjow::mustache::partial;
data text_data(const std::string& name, const std::string& text) {
  data result;
  result.set(name, text);
  return result;
}

/// A remark between rows is drawn with dashes on the screen of a terminal; here it has a style.
std::string without_dashes(const std::string& remark) {
  const auto first = remark.find_first_not_of("- "), last = remark.find_last_not_of("- ");
  return first == std::string::npos ? "" : remark.substr(first, last - first + 1);
}

data table_data(const Table& table, Units units, const std::string& caption) {
  const ShownTable text = shown(table, units);
  list heads, rows;
  for (const auto& heading : text.headings) {
    data head;
    head.set("name", heading.name);
    head.set("unit", heading.unit);
    head.set("named", data(!heading.name.empty() || !heading.unit.empty()));
    head.set("has_unit", data(!heading.unit.empty()));
    head.set("number", data(heading.number));
    heads.push_back(head);
  }
  for (const auto& cells : text.rows) {
    data row;
    row.set("remark", data(cells.size() == 1));
    row.set("remark_text", cells.empty() ? "" : without_dashes(cells.front()));
    list list_of_cells;
    for (std::size_t c = 0; c < cells.size(); ++c) {
      data cell;
      cell.set("text", cells[c]);
      cell.set("first", data(c == 0 && !cells[c].empty()));  // the name of the row
      cell.set("number", data(text.headings[c].number));
      list_of_cells.push_back(cell);
    }
    row.set("cells", data(list_of_cells));
    rows.push_back(row);
  }
  data result;
  result.set("caption", caption);
  result.set("width", std::to_string(text.headings.size()));
  result.set("heads", data(heads));
  result.set("rows", data(rows));
  return result;
}

data facts_data(const std::vector<Fact>& facts) {
  list items;
  for (const Fact& fact : facts) {
    data item;
    item.set("fact", fact.name);
    item.set("value", fact.value);
    item.set("remark", fact.remark);
    items.push_back(item);
  }
  return data(items);
}

/// Fills one block after another and collects the figures of their charts.
class Blocks {
 public:
  Blocks(std::string id, Units units, std::string part, Value& figures)
      : id_(std::move(id)), units_(units), part_(std::move(part)), figures_(figures) {}

  data all(const std::vector<Block>& blocks) {
    list result;
    for (const Block& block : blocks) {
      if (std::holds_alternative<Gap>(block)) continue;
      ++number_;
      data filled;
      for (const char* kind :
           {"sentence", "facts", "listing", "terms", "heading", "printed", "table", "chart", "choice"})
        filled.set(kind, data(false));
      std::visit([&](const auto& one) { fill(one, filled); }, block);
      result.push_back(filled);
    }
    return data(result);
  }

 private:
  void fill(const Sentence& sentence, data& filled) const {
    data inner = text_data("text", sentence.text);
    inner.set("warning", data(sentence.warning));
    filled.set("sentence", inner);
  }

  void fill(const Facts& facts, data& filled) const {
    data inner;
    inner.set("items", facts_data(facts.facts));
    filled.set("facts", inner);
  }

  void fill(const Listing& listing, data& filled) const {
    list items;
    for (const std::string& item : listing.items) items.push_back(text_data("item", item));
    data inner;
    inner.set("items", data(items));
    filled.set("listing", inner);
  }

  void fill(const Terms& terms, data& filled) const {
    list items;
    for (const auto& [term, text] : terms.terms) {
      data item = text_data("term", trimmed(term));
      item.set("text", text);
      items.push_back(item);
    }
    data inner;
    inner.set("items", data(items));
    filled.set("terms", inner);
  }

  static void fill(const Heading& heading, data& filled) { filled.set("heading", text_data("text", heading.text)); }

  void fill(const Printed& printed, data& filled) const {
    data inner = text_data("lines", printed.lines);
    inner.set("sheet", data(printed.sheet));
    inner.set("caption", part_ + ", lines " + std::to_string(number_));
    filled.set("printed", inner);
  }

  static void fill(const Gap&, data&) {}

  void fill(const Table& table, data& filled) const {
    const std::string caption = table.title.empty() ? part_ + ", table " + std::to_string(number_) : table.title;
    filled.set("table", table_data(table, units_, caption));
  }

  void fill(const Chart& chart, data& filled) const {
    data inner = figure(chart.title, chart.says, chart.behind);
    figures_["charts"][id()] = chart.drawing;
    filled.set("chart", inner);
  }

  void fill(const Choice& choice, data& filled) const {
    const bool by_list = choice.by == Choice::By::list;
    const Choice::Option& chosen = choice.options.at(choice.chosen);
    data inner = figure(choice.title, chosen.says, by_list ? chosen.behind : choice.behind);
    inner.set("label", choice.label);
    inner.set("by_list", data(by_list));
    inner.set("by_slider", data(!by_list));
    inner.set("last", std::to_string(choice.options.size() - 1));
    inner.set("chosen_index", std::to_string(choice.chosen));
    inner.set("chosen_label", chosen.label);
    inner.set("items", facts_data(chosen.facts));
    list options;
    Value figures = Value::List{};
    for (std::size_t i = 0; i < choice.options.size(); ++i) {
      data option = text_data("option", choice.options[i].label);
      option.set("index", std::to_string(i));
      option.set("chosen", data(i == choice.chosen));
      options.push_back(option);
      figures.push_back(option_json(choice, choice.options[i]));
    }
    inner.set("options", data(options));
    figures_["choices"][id()] = Value::Object{{"shared", choice.shared}, {"options", figures}};
    filled.set("choice", inner);
  }

  Value option_json(const Choice& choice, const Choice::Option& option) const {
    Value facts = Value::List{};
    for (const Fact& fact : option.facts) facts.push_back(Value::List{fact.value, fact.remark});
    Value result =
        Value::Object{{"label", option.label}, {"facts", facts}, {"says", option.says}, {"drawing", option.drawing}};
    if (choice.by == Choice::By::list) {
      Value rows = Value::List{};
      for (const auto& row : shown(option.behind, units_).rows) rows.push_back(row);
      result["rows"] = rows;
    }
    return result;
  }

  data figure(const std::string& title, const std::string& says, const Table& behind) const {
    data inner;
    inner.set("id", id());
    inner.set("heading", title);
    inner.set("says", says);
    inner.set("behind", table_data(behind, units_, part_ + ": the figures behind " + title));
    return inner;
  }

  std::string id() const { return id_ + "-" + std::to_string(number_); }

  std::string id_;
  Units units_;
  std::string part_;
  Value& figures_;
  std::size_t number_ = 0;
};

data reserve_data(const ReservePage& reserve, std::size_t index, bool alone, Value& figures) {
  const std::string id = "reserve-" + std::to_string(index + 1);
  data result;
  result.set("id", id);
  result.set("name", reserve.name);
  result.set("lead", reserve.lead);
  result.set("alone", data(alone));
  list parts;
  for (std::size_t i = 0; i < reserve.parts.size(); ++i) {
    const Part& part = reserve.parts[i];
    const std::string part_id = id + "-part-" + std::to_string(i + 1);
    data one;
    one.set("part_id", part_id);
    one.set("part_title", part.title);
    one.set("blocks", Blocks(part_id, reserve.units, reserve.name + ": " + part.title, figures).all(part.blocks));
    parts.push_back(one);
  }
  result.set("parts", data(parts));
  return result;
}

/// The sum of a style or script as a policy names it: base64 of the bytes that `hexadecimal` spells.
std::string base64_of_hex(std::string_view hexadecimal) {
  const char* const kLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string bits;
  for (const char c : hexadecimal) {
    const int value = c <= '9' ? c - '0' : c - 'a' + 10;
    for (int bit = 3; bit >= 0; --bit) bits += (value >> bit & 1) != 0 ? '1' : '0';
  }
  std::string text;
  for (std::size_t i = 0; i < bits.size(); i += 6) {
    std::string six = bits.substr(i, 6);
    six.resize(6, '0');
    text += kLetters[std::stoi(six, nullptr, 2)];
  }
  while (text.size() % 4 != 0) text += '=';
  return text;
}

std::string policy() {
  return "default-src 'none'; script-src 'sha256-" + base64_of_hex(page_assets::kScriptSha256) +
         "'; style-src 'sha256-" + base64_of_hex(page_assets::kStyleSha256) + "'; base-uri 'none'; form-action 'none'";
}

}  // namespace

std::string html_of(const Page& page) {
  Value figures = Value::Object{{"charts", Value::Object{}}, {"choices", Value::Object{}}};
  data root;
  root.set("title", page.title);
  root.set("policy", policy());
  root.set("style", std::string(page_assets::kStyle));
  root.set("script", std::string(page_assets::kScript));
  root.set("block", data(partial([] { return std::string(page_assets::kBlock); })));
  root.set("grid", data(partial([] { return std::string(page_assets::kTable); })));
  root.set("has_overview", data(!page.overview.empty()));
  const Units units = page.reserves.empty() ? Units::metric : page.reserves.front().units;
  root.set("overview", Blocks("overview", units, "All reserves", figures).all(page.overview));
  list reserves;
  for (std::size_t i = 0; i < page.reserves.size(); ++i)
    reserves.push_back(reserve_data(page.reserves[i], i, page.reserves.size() == 1, figures));
  root.set("reserves", data(reserves));
  root.set("figures", json_inside_html(figures));
  mustache whole{std::string(page_assets::kPage)};
  return whole.render(root);
}

}  // namespace tierce
