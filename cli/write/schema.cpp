#include "cli/write/schema.h"

#include <algorithm>
#include <stdexcept>

#include "cli/write/json.h"

namespace tierce {
namespace {

bool may_be_null(const FieldInfo& field) {
  return field.presence == Presence::or_null || field.presence == Presence::or_null_or_absent;
}
bool may_be_absent(const FieldInfo& field) {
  return field.presence == Presence::or_absent || field.presence == Presence::or_null_or_absent;
}

std::vector<std::string> words_of(const FieldInfo& field) {
  std::vector<std::string> words;
  const std::string all = field.words == nullptr ? "" : field.words;
  for (std::size_t from = 0; from <= all.size();) {
    const std::size_t to = std::min(all.find('|', from), all.size());
    words.push_back(all.substr(from, to - from));
    from = to + 1;
  }
  return words;
}

/// A shape once, however often it is named, in the order in which it is first met.
class Shapes {
 public:
  explicit Shapes(const OutputShapes& outputs) : outputs_(outputs) {
    for (const OutputShape& one : outputs.commands) meet_inside(*one.shape);
    for (const ShapeInfo* shape : outputs.beside) meet(*shape);
  }

  const std::vector<const ShapeInfo*>& parts() const { return parts_; }
  /// The command that prints just this; null if it is a part.
  const char* command_of(const ShapeInfo& shape) const {
    for (const OutputShape& one : outputs_.commands)
      if (one.shape == &shape) return one.command;
    return nullptr;
  }

 private:
  void meet(const ShapeInfo& shape) {
    if (command_of(shape) != nullptr) return;
    if (*shape.name == '\0') throw std::logic_error("a shape without a name is part of an output");
    for (const ShapeInfo* known : parts_) {
      if (known == &shape) return;
      if (std::string(known->name) == shape.name)
        throw std::logic_error(std::string("two shapes are named ") + shape.name);
    }
    parts_.push_back(&shape);
    meet_inside(shape);
  }
  void meet_inside(const ShapeInfo& shape) {
    for (const FieldInfo& field : shape.infos(shape))
      if (field.of != nullptr) meet(*field.of);
  }

  const OutputShapes& outputs_;
  std::vector<const ShapeInfo*> parts_;
};

Value reference_to(const ShapeInfo& shape, const Shapes& shapes) {
  const char* command = shapes.command_of(shape);
  return Value::Object{{"$ref", command != nullptr ? std::string(command) + ".schema.json"
                                                   : std::string("parts.schema.json#/$defs/") + shape.name}};
}

Value type_of(const char* type, bool null) {
  if (null) return Value::Object{{"type", Value::List{type, "null"}}};
  return Value::Object{{"type", type}};
}

Value list_of_items(Value items) { return Value::Object{{"type", "array"}, {"items", std::move(items)}}; }

Value schema_of_word(const FieldInfo& field) {
  Value::List words;
  for (const std::string& word : words_of(field)) words.emplace_back(word);
  if (may_be_null(field)) words.emplace_back();
  return Value::Object{{"enum", words}};
}

Value schema_of(const FieldInfo& field, const Shapes& shapes) {
  const bool null = may_be_null(field);
  switch (field.figure) {
    case Figure::text: return type_of("string", null);
    case Figure::date: {
      Value schema = type_of("string", null);
      schema["format"] = "date";
      return schema;
    }
    case Figure::flag: return type_of("boolean", null);
    case Figure::word: return schema_of_word(field);
    case Figure::texts: return list_of_items(type_of("string", false));
    case Figure::numbers: return list_of_items(type_of("number", true));
    case Figure::list: return list_of_items(reference_to(*field.of, shapes));
    case Figure::object:
      if (!null) return reference_to(*field.of, shapes);
      return Value::Object{{"anyOf", Value::List{reference_to(*field.of, shapes), type_of("null", false)}}};
    case Figure::whole:
    case Figure::year: return type_of("integer", null);
    default: return type_of("number", field.presence != Presence::always);
  }
}

Value schema_of(const ShapeInfo& shape, const Shapes& shapes) {
  Value::Object schema, properties;
  Value::List required, taken_in;
  for (const FieldInfo& field : shape.infos(shape)) {
    if (field.presence == kOnlyInTables) continue;
    if (*field.key == '\0') {
      taken_in.push_back(reference_to(*field.of, shapes));
      continue;
    }
    Value one = schema_of(field, shapes);
    one["description"] = field.meaning;
    properties.push_back({field.key, std::move(one)});
    if (!may_be_absent(field)) required.emplace_back(field.key);
  }
  if (!taken_in.empty()) schema.push_back({"allOf", taken_in});
  schema.push_back({"type", "object"});
  schema.push_back({"description", shape.about});
  schema.push_back({"properties", properties});
  schema.push_back({"required", required});
  return schema;
}

}  // namespace

std::vector<std::pair<std::string, std::string>> schemas_of(const OutputShapes& outputs) {
  const Shapes shapes(outputs);
  const char* const kDialect = "https://json-schema.org/draft/2020-12/schema";
  std::vector<std::pair<std::string, std::string>> files;
  for (const OutputShape& one : outputs.commands) {
    Value schema = schema_of(*one.shape, shapes);
    schema["$schema"] = kDialect;
    schema["title"] = std::string("tierce ") + one.command + " --json";
    files.emplace_back(std::string(one.command) + ".schema.json", json_text(schema));
  }
  Value::Object parts;
  for (const ShapeInfo* shape : shapes.parts()) parts.push_back({shape->name, schema_of(*shape, shapes)});
  files.emplace_back(
      "parts.schema.json",
      json_text(Value::Object{
          {"$schema", kDialect}, {"title", "Parts that the JSON of several commands shares"}, {"$defs", parts}}));
  return files;
}

}  // namespace tierce
