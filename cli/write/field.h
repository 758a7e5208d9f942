// One description of each row of a report: from it come the table of the text and of the page, the CSV, the JSON, its
// schema and its chapter in the manual.
//
//   constexpr Field<VesselDay> kVesselDayFields[] = {
//       // key        heading     figure          meaning              value
//       {"name", "vessel", Figure::text, "its mark", [](auto& v) -> Value { return v.name; }},
//       {"volume_L", "then\nholds", Figure::litres, "after the work", [](auto& v) -> Value { return v.after_l; }},
//   };
//   constexpr Shape<VesselDay> kVesselDay{"vessel_day", "A vessel on the day of the refresh.", kVesselDayFields};
//
//   document.add(table_of(days, kVesselDay, {"name", "volume_L"}));   text and page: the columns a reader needs
//   document.csv = table_of(days, kVesselDay);                        every figure that fits into a table
//   Value vessels = list_of(days, kVesselDay);                        JSON
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "cli/write/table.h"
#include "cli/write/value.h"

namespace tierce {

/// Whether a field's value may be missing. Figures may be unknown, and are null then, unless they are `always` there.
/// `only_in_tables`: what a table shows in its own way, and JSON in others.
enum class Presence { usual, always, or_null, or_absent, or_null_or_absent, only_in_tables };
constexpr Presence kAlways = Presence::always;
constexpr Presence kOrNull = Presence::or_null;
constexpr Presence kOrAbsent = Presence::or_absent;
constexpr Presence kOnlyInTables = Presence::only_in_tables;

struct ShapeInfo;

/// What is known of a field without its row: for schema and manual.
struct FieldInfo {
  /// In JSON and CSV, its unit at the end. Empty: all fields of `of` stand here as if they were written out.
  const char* key;
  const char* heading;  // of its column; "\n" breaks it
  Figure figure;
  const char* meaning;
  Presence presence = Presence::usual;
  const char* words = nullptr;    // of Figure::word: all there are, with | between them
  const ShapeInfo* of = nullptr;  // of Figure::object and list, and of fields without a key
};

struct ShapeInfo {
  const char* name;   // its chapter in the manual, its definition in the schema
  const char* about;  // what one is
  std::vector<FieldInfo> (*infos)(const ShapeInfo&);
};

template <class Row>
struct Field {
  const char* key;
  const char* heading;
  Figure figure;
  const char* meaning;
  Value (*value)(const Row&);
  Presence presence = Presence::usual;
  const char* words = nullptr;
  const ShapeInfo* of = nullptr;
};

template <class Row>
struct Shape : ShapeInfo {
  template <std::size_t N>
  constexpr Shape(const char* its_name, const char* what, const Field<Row> (&its_fields)[N])
      : ShapeInfo{its_name, what, &infos_of}, fields(its_fields) {}

  std::span<const Field<Row>> fields;

 private:
  static std::vector<FieldInfo> infos_of(const ShapeInfo& info) {
    std::vector<FieldInfo> infos;
    for (const Field<Row>& field : static_cast<const Shape&>(info).fields)
      infos.push_back({field.key, field.heading, field.figure, field.meaning, field.presence, field.words, field.of});
    return infos;
  }
};

/// The value of a field that is a member of the row, or what a member function gives: of<&YearLoss::year>.
template <auto Member, class Row>
Value of(const Row& row) {
  return Value(std::invoke(Member, row));
}

/// Adds the parts of a row to an object.
void put_into(Value::Object& object, const char* key, Value value);

template <class Row>
Value object_of(const Row& row, const Shape<Row>& shape) {
  Value::Object object;
  object.reserve(shape.fields.size());
  for (const Field<Row>& field : shape.fields) {
    if (field.presence != kOnlyInTables) put_into(object, field.key, field.value(row));
    else object.push_back({field.key, Value::Later([row, &field] { return field.value(row); }), true});
  }
  return object;
}

template <class Rows, class Row>
Value list_of(const Rows& rows, const Shape<Row>& shape) {
  Value::List list;
  list.reserve(rows.size());
  for (const Row& row : rows) list.push_back(object_of(row, shape));
  return list;
}

/// The same, each worked out when it is written: for many large ones. What the rows refer to outlives that.
template <class Rows, class Row>
Value list_of_later(const Rows& rows, const Shape<Row>& shape) {
  Value::List list;
  list.reserve(rows.size());
  for (const Row& row : rows) list.emplace_back(Value::Later([row, &shape] { return object_of(row, shape); }));
  return list;
}

/// A column of a table: the field of this key, under its own heading and figure unless others are given. "age/mean_y"
/// is the field mean_y of what stands at age; a field of what is taken in whole is named as if it were the row's own.
struct Pick {
  Pick(const char* of_key) : key(of_key) {}  // NOLINT(google-explicit-constructor)
  Pick(const char* of_key, const char* its_heading) : key(of_key), heading(its_heading) {}
  Pick(const char* of_key, const char* its_heading, Figure its_figure)
      : key(of_key), heading(its_heading), figure(its_figure) {}

  const char* key;
  const char* heading = nullptr;
  std::optional<Figure> figure{};
};

/// Where the value of a column is found.
struct PickedField {
  std::size_t field = 0;            // of the shape
  std::vector<const char*> inside;  // the names that lead on from there
  Column column;
};
/// Throws std::logic_error where a shape has no such field: a fault of the program.
std::vector<PickedField> picked(const ShapeInfo& shape, const std::vector<Pick>& picks);
/// Every field of the JSON that a table can hold, of the row itself and of what it takes in whole.
std::vector<PickedField> picked_all(const ShapeInfo& shape);
/// A value as a table has it: what is not known is a number that is shown as such.
Cell cell_of(const Value& value, const PickedField& of);

template <class Rows, class Row>
Table table_of(const Rows& rows, const Shape<Row>& shape, const std::vector<PickedField>& picks) {
  Table table;
  for (const PickedField& pick : picks) table.columns.push_back(pick.column);
  std::vector<std::optional<Value>> values(shape.fields.size());  // each is asked for once
  for (const Row& row : rows) {
    table.rows.emplace_back();
    values.assign(values.size(), std::nullopt);
    for (const PickedField& pick : picks) {
      auto& value = values[pick.field];
      if (!value) value = shape.fields[pick.field].value(row);
      table.rows.back().push_back(cell_of(*value, pick));
    }
  }
  return table;
}

/// The columns that a reader needs.
template <class Rows, class Row>
Table table_of(const Rows& rows, const Shape<Row>& shape, const std::vector<Pick>& picks) {
  return table_of(rows, shape, picked(shape, picks));
}

/// Every figure of the JSON that fits into a table.
template <class Rows, class Row>
Table table_of(const Rows& rows, const Shape<Row>& shape) {
  return table_of(rows, shape, picked_all(shape));
}

/// Names the currency of every column of money.
Table in_currency(Table table, const std::string& currency);

}  // namespace tierce
