// What a field's description says beside its value: JSON Schema (draft 2020-12). The tables of docs/json.md are made
// from it.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "cli/write/field.h"

namespace tierce {

/// What --json prints of a command.
struct OutputShape {
  const char* command;
  const ShapeInfo* shape;
};

/// All that JSON may hold: commands in the order of the manual, and objects that stand beside them.
struct OutputShapes {
  std::vector<OutputShape> commands;
  std::vector<const ShapeInfo*> beside;
};

/// Files of docs/schema by name, with what they should hold: one for each command, and the parts that they share.
std::vector<std::pair<std::string, std::string>> schemas_of(const OutputShapes& outputs);

}  // namespace tierce
