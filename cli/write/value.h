// What a report says of one thing, as a tree: figures, words, lists and named parts. JSON is written from it.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "engine/book/calendar.h"

namespace tierce {

struct NamedValue;

class Value {
 public:
  using List = std::vector<Value>;
  using Object = std::vector<NamedValue>;  // in any order; the writer sorts it by name
  struct Absent {};                        // no such part: in an object its name is left out
  using Later = std::function<Value()>;    // worked out when it is written, so that not all of many stand in memory

  Value() = default;  // not known, or nothing to tell
  // NOLINTBEGIN(google-explicit-constructor): a value is made of whatever a field finds
  Value(Absent absent) : is(absent) {}
  Value(bool flag) : is(flag) {}
  Value(int whole) : is(static_cast<long long>(whole)) {}
  Value(std::size_t whole) : is(static_cast<long long>(whole)) {}
  Value(double number) : is(number) {}  // unknown, or no number: null
  Value(std::string text) : is(std::move(text)) {}
  Value(const char* text) : is(std::string(text)) {}
  Value(const Date& date) : is(iso_text(date)) {}
  Value(List list) : is(std::move(list)) {}
  Value(Object object);
  Value(Later later) : is(std::move(later)) {}
  template <class T>
  Value(const std::optional<T>& perhaps) : Value(perhaps ? Value(*perhaps) : Value()) {}
  template <class T>
  Value(const std::vector<T>& many) : is(List(many.begin(), many.end())) {}
  // NOLINTEND(google-explicit-constructor)
  Value(const void*) = delete;  // a pointer is no flag

  bool is_absent() const { return std::holds_alternative<Absent>(is); }
  /// The part of that name of an object; a new one if there is none. What is null becomes an object.
  Value& operator[](const std::string& name);
  /// Adds to a list. What is null becomes a list.
  void push_back(Value value);
  /// True of null, and of a list or an object without anything in it.
  bool empty() const;

  std::variant<std::monostate, Absent, bool, long long, double, std::string, List, Object, Later> is;
};

struct NamedValue {
  std::string name;
  Value value;
};

inline Value::Value(Object object) : is(std::move(object)) {}

/// What may be missing in a list or an object: itself where it is there, else nothing at all.
template <class T>
Value if_any(const std::optional<T>& perhaps) {
  return perhaps ? Value(*perhaps) : Value(Value::Absent{});
}

}  // namespace tierce
