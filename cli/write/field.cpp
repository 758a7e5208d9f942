#include "cli/write/field.h"

#include <algorithm>
#include <limits>
#include <stdexcept>

namespace tierce {
namespace {

bool is_nested(Figure figure) { return figure == Figure::object || figure == Figure::list; }
bool fits_a_table(Figure figure) { return figure < Figure::texts; }
bool is_taken_in(const FieldInfo& info) { return *info.key == '\0'; }

Column column_of(const FieldInfo& info, const Pick& pick) {
  return {pick.heading != nullptr ? pick.heading : info.heading, pick.figure.value_or(info.figure), {}, info.key};
}

/// A field of a shape, seen from a row that holds the shape at `field`.
PickedField seen_from(std::size_t field, const ShapeInfo& shape, const PickedField& inner) {
  PickedField seen{field, {}, inner.column};
  const char* key = shape.infos(shape)[inner.field].key;
  if (*key != '\0') seen.inside.push_back(key);
  seen.inside.insert(seen.inside.end(), inner.inside.begin(), inner.inside.end());
  return seen;
}

/// The field of a path, seen from a shape; nothing where it has none.
std::optional<PickedField> find(const ShapeInfo& shape, const std::string& path, const Pick& pick) {
  const auto infos = shape.infos(shape);
  const auto cut = path.find('/');
  for (std::size_t i = 0; i < infos.size(); ++i) {
    const FieldInfo& info = infos[i];
    const bool named = path.substr(0, cut) == info.key;
    if (named && cut == std::string::npos) return PickedField{i, {}, column_of(info, pick)};
    if (!is_taken_in(info) && !(named && is_nested(info.figure))) continue;
    if (const auto inner = find(*info.of, is_taken_in(info) ? path : path.substr(cut + 1), pick))
      return seen_from(i, *info.of, *inner);
  }
  return std::nullopt;
}

const Value* part_of(const Value& value, const char* name) {
  const auto* object = std::get_if<Value::Object>(&value.is);
  if (object == nullptr) return nullptr;
  const auto found =
      std::find_if(object->begin(), object->end(), [&](const NamedValue& part) { return part.name == name; });
  return found == object->end() ? nullptr : &found->value;
}

}  // namespace

void put_into(Value::Object& object, const char* key, Value value) {
  if (value.is_absent()) return;
  if (*key != '\0') {
    object.push_back({key, std::move(value)});
    return;
  }
  for (NamedValue& part : std::get<Value::Object>(value.is)) object.push_back(std::move(part));
}

std::vector<PickedField> picked(const ShapeInfo& shape, const std::vector<Pick>& picks) {
  std::vector<PickedField> fields;
  for (const Pick& pick : picks) {
    auto found = find(shape, pick.key, pick);
    if (!found) throw std::logic_error(std::string(shape.name) + " has no field " + pick.key);
    fields.push_back(std::move(*found));
  }
  return fields;
}

std::vector<PickedField> picked_all(const ShapeInfo& shape) {
  std::vector<PickedField> fields;
  const auto infos = shape.infos(shape);
  for (std::size_t i = 0; i < infos.size(); ++i) {
    if (is_taken_in(infos[i]))
      for (const PickedField& inner : picked_all(*infos[i].of)) fields.push_back(seen_from(i, *infos[i].of, inner));
    else if (fits_a_table(infos[i].figure) && infos[i].presence != kOnlyInTables)
      fields.push_back({i, {}, column_of(infos[i], infos[i].key)});
  }
  return fields;
}

Cell cell_of(const Value& value, const PickedField& of) {
  const Value* found = &value;
  for (const char* name : of.inside) {
    found = part_of(*found, name);
    if (found == nullptr) return {};
  }
  if (const auto* later = std::get_if<Value::Later>(&found->is)) return cell_of((*later)(), {0, {}, of.column});
  const auto& is = found->is;
  const bool number = of.column.figure != Figure::text && of.column.figure < Figure::date;
  if (const auto* text = std::get_if<std::string>(&is)) return *text;
  if (const auto* figure = std::get_if<double>(&is)) return *figure;
  if (const auto* whole = std::get_if<long long>(&is)) {
    if (number) return static_cast<double>(*whole);
    return std::to_string(*whole);
  }
  if (const auto* flag = std::get_if<bool>(&is)) return std::string(*flag ? "true" : "false");
  if (number && std::holds_alternative<std::monostate>(is)) return std::numeric_limits<double>::quiet_NaN();
  return std::string();
}

Table in_currency(Table table, const std::string& currency) {
  for (Column& column : table.columns)
    if (column.figure == Figure::money || column.figure == Figure::money_by_volume) column.currency = currency;
  return table;
}

}  // namespace tierce
