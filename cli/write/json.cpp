#include "cli/write/json.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

namespace tierce {
namespace {

/// How deep a tree is written: items one a line, or all on one.
struct Layout {
  bool lines = true;
  std::size_t indent = 0;

  Layout inner() const { return {lines, indent + 1}; }
  void new_line(std::string& out) const {
    if (!lines) return;
    out += '\n';
    out.append(indent, ' ');
  }
};

void write(const Value& value, const Layout& layout, std::string& out);

// How a number and a text look in JSON is the library's business.
void write(std::monostate, const Layout&, std::string& out) { out += "null"; }
void write(Value::Absent, const Layout&, std::string& out) { out += "null"; }
void write(bool flag, const Layout&, std::string& out) { out += flag ? "true" : "false"; }
void write(long long whole, const Layout&, std::string& out) { out += std::to_string(whole); }
void write(double number, const Layout&, std::string& out) {
  out += std::isfinite(number) ? nlohmann::json(number).dump() : "null";
}
void write(const std::string& text, const Layout&, std::string& out) {
  out += nlohmann::json(text).dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);  // U+FFFD for no UTF-8
}

void write(const Value::List& list, const Layout& layout, std::string& out) {
  out += '[';
  for (std::size_t i = 0; i < list.size(); ++i) {
    if (i > 0) out += ',';
    layout.inner().new_line(out);
    write(list[i], layout.inner(), out);
  }
  if (!list.empty()) layout.new_line(out);
  out += ']';
}

void write(const Value::Object& object, const Layout& layout, std::string& out) {
  std::vector<const NamedValue*> sorted;
  for (const NamedValue& part : object)
    if (!part.value.is_absent() && !part.only_in_tables) sorted.push_back(&part);
  std::sort(sorted.begin(), sorted.end(), [](const NamedValue* a, const NamedValue* b) { return a->name < b->name; });
  out += '{';
  for (const NamedValue* part : sorted) {
    if (part != sorted.front()) out += ',';
    layout.inner().new_line(out);
    write(part->name, layout, out);
    out += layout.lines ? ": " : ":";
    write(part->value, layout.inner(), out);
  }
  if (!sorted.empty()) layout.new_line(out);
  out += '}';
}

void write(const Value::Later& later, const Layout& layout, std::string& out) { write(later(), layout, out); }

void write(const Value& value, const Layout& layout, std::string& out) {
  std::visit([&](const auto& is) { write(is, layout, out); }, value.is);
}

}  // namespace

std::string json_text(const Value& value) {
  std::string out;
  write(value, {}, out);
  out += '\n';
  return out;
}

std::string json_inside_html(const Value& value) {
  std::string plain, text;
  write(value, {.lines = false}, plain);
  for (const char c : plain) {
    if (c == '<') text += "\\u003c";
    else if (c == '>') text += "\\u003e";
    else if (c == '&') text += "\\u0026";
    else text += c;
  }
  return text;
}

}  // namespace tierce
