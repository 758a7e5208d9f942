// What a report says of one thing, as a tree: figures, words, lists and named parts. JSON is written from it.
#pragma once

#include <functional>
#include <initializer_list>
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
  Value(Absent absent);
  Value(bool flag);
  Value(int whole);
  Value(std::size_t whole);
  Value(double number);  // unknown, or no number: null
  Value(std::string text);
  Value(const char* text);
  Value(const Date& date);
  Value(List list);
  Value(Object object);
  Value(std::initializer_list<NamedValue> parts);  // {{"name", value}, ...}: an object
  Value(Later later);
  template <class T>
  Value(const std::optional<T>& perhaps);
  template <class T>
  Value(const std::vector<T>& many);
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
  bool only_in_tables = false;  // JSON leaves it out
};

// Here, where the parts of an object are known.
inline Value::Value(Absent absent) : is(absent) {}
inline Value::Value(bool flag) : is(flag) {}
inline Value::Value(int whole) : is(static_cast<long long>(whole)) {}
inline Value::Value(std::size_t whole) : is(static_cast<long long>(whole)) {}
inline Value::Value(double number) : is(number) {}
inline Value::Value(std::string text) : is(std::move(text)) {}
inline Value::Value(const char* text) : is(std::string(text)) {}
inline Value::Value(const Date& date) : is(iso_text(date)) {}
inline Value::Value(List list) : is(std::move(list)) {}
inline Value::Value(Object object) : is(std::move(object)) {}
inline Value::Value(std::initializer_list<NamedValue> parts) : is(Object(parts)) {}
inline Value::Value(Later later) : is(std::move(later)) {}
template <class T>
Value::Value(const std::optional<T>& perhaps) : Value(perhaps ? Value(*perhaps) : Value()) {}
template <class T>
Value::Value(const std::vector<T>& many) : is(List(many.begin(), many.end())) {}

}  // namespace tierce
