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
  return {pick.heading != nullptr ? pick.heading : info.heading, pick.figure.value_or(info.figure), {}, {}, info.key};
}

/// The field of a path, seen from a shape; nothing where it has none.
std::optional<PickedField> find(const ShapeInfo& shape, const std::string& path, const Pick& pick) {
  const auto infos = shape.infos(shape);
  const auto cut = path.find('/');
  const std::string first = path.substr(0, cut);
  for (std::size_t i = 0; i < infos.size(); ++i) {
    const FieldInfo& info = infos[i];
    if (is_taken_in(info)) {
      if (auto inner = find(*info.of, path, pick)) {
        std::vector<const char*> inside = {info.of->infos(*info.of)[inner->field].key};
        if (*inside.front() == '\0') inside.clear();
        inside.insert(inside.end(), inner->inside.begin(), inner->inside.end());
        return PickedField{i, inside, inner->column};
      }
    } else if (first == info.key && cut == std::string::npos) return PickedField{i, {}, column_of(info, pick)};
    else if (first == info.key && is_nested(info.figure)) {
      auto inner = find(*info.of, path.substr(cut + 1), pick);
      if (!inner) return inner;
      std::vector<const char*> inside = {info.of->infos(*info.of)[inner->field].key};
      if (*inside.front() == '\0') inside.clear();
      inside.insert(inside.end(), inner->inside.begin(), inner->inside.end());
      return PickedField{i, inside, inner->column};
    }
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
      for (PickedField inner : picked_all(*infos[i].of)) {
        const char* key = infos[i].of->infos(*infos[i].of)[inner.field].key;
        if (*key != '\0') inner.inside.insert(inner.inside.begin(), key);
        fields.push_back({i, inner.inside, inner.column});
      }
    else if (fits_a_table(infos[i].figure)) fields.push_back({i, {}, column_of(infos[i], infos[i].key)});
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
