// Short ways to describe a field whose value lies deeper than in the row itself, or that has fields of its own.
#pragma once

#include <functional>
#include <optional>

#include "cli/write/field.h"

namespace tierce {

template <auto First, auto... Rest, class Row>
decltype(auto) follow(const Row& row) {
  if constexpr (sizeof...(Rest) == 0) return std::invoke(First, row);
  else return follow<Rest...>(std::invoke(First, row));
}

/// The value of a member of a member: at<&Draw::wine, &Wine::volume_l>.
template <auto... Path, class Row>
Value at(const Row& row) {
  return Value(follow<Path...>(row));
}

template <class Row>
Value object_if_any(const std::optional<Row>& row, const Shape<Row>& shape) {
  return row ? object_of(*row, shape) : Value(Value::Absent{});
}
template <class Row>
Value object_if_any(const Row& row, const Shape<Row>& shape) {
  return object_of(row, shape);
}

/// What lies there, or the row itself, as an object.
template <const auto& kOf, auto... Path, class Row>
Value part(const Row& row) {
  if constexpr (sizeof...(Path) == 0) return object_of(row, kOf);
  else return object_if_any(follow<Path...>(row), kOf);
}

template <class Row>
constexpr Field<Row> object(const char* key, const char* meaning, const ShapeInfo& of, Value (*value)(const Row&),
                            Presence presence = Presence::usual) {
  return {key, "", Figure::object, meaning, value, presence, nullptr, &of};
}
template <class Row>
constexpr Field<Row> list(const char* key, const char* meaning, const ShapeInfo& of, Value (*value)(const Row&)) {
  return {key, "", Figure::list, meaning, value, Presence::usual, nullptr, &of};
}
/// All fields of another shape, as if they were written out.
template <class Row>
constexpr Field<Row> all_of(const ShapeInfo& of, Value (*value)(const Row&)) {
  return object("", "", of, value);
}

}  // namespace tierce
