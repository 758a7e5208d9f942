#include "cli/write/value.h"

#include <algorithm>

namespace tierce {

Value& Value::operator[](const std::string& name) {
  if (std::holds_alternative<std::monostate>(is)) is = Object{};
  auto& object = std::get<Object>(is);
  const auto found =
      std::find_if(object.begin(), object.end(), [&](const NamedValue& one) { return one.name == name; });
  if (found != object.end()) return found->value;
  object.push_back({name, {}});
  return object.back().value;
}

void Value::push_back(Value value) {
  if (std::holds_alternative<std::monostate>(is)) is = List{};
  std::get<List>(is).push_back(std::move(value));
}

bool Value::empty() const {
  if (const auto* list = std::get_if<List>(&is)) return list->empty();
  if (const auto* object = std::get_if<Object>(&is)) return object->empty();
  return std::holds_alternative<std::monostate>(is);
}

}  // namespace tierce
