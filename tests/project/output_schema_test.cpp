// docs/schema says of the outputs what their rows say: the same fields, kinds and meanings. Minimums stand in the files
// alone. `./tests/run.sh --update` writes what differs.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "cli/report/outputs.h"
#include "cli/write/schema.h"
#include "tests/cli/command/program.h"

namespace tierce {
namespace {

using json = nlohmann::ordered_json;

const std::string kParts = "parts.schema.json";

/// With the names in the order of the file, and the bounds that only the file states.
json as_in_the_file(const json& made, const json& file) {
  if (!made.is_object() || !file.is_object()) return made;
  json ordered = json::object();
  for (const auto& [name, part] : file.items())
    if (made.contains(name)) ordered[name] = as_in_the_file(made[name], part);
    else if (name == "minimum" || name == "maximum" || name == "exclusiveMinimum") ordered[name] = part;
  for (const auto& [name, part] : made.items())
    if (!ordered.contains(name)) ordered[name] = part;
  return ordered;
}

/// A schema as the file should have it.
json wanted(const std::string& name, json made, json file) {
  if (name != kParts) {
    made["title"] = file.value("title", "");
    return as_in_the_file(made, file);
  }
  for (const auto& [part, schema] : made["$defs"].items())
    file["$defs"][part] = as_in_the_file(schema, file["$defs"].value(part, json::object()));
  return file;
}

TEST(OutputSchema, SaysWhatTheRowsSay) {
  for (const auto& [name, text] : schemas_of(outputs())) {
    const std::string path = "docs/schema/" + name;
    const json file = json::parse(test::read_file(std::string(TIERCE_SOURCE_DIR) + "/" + path));
    const json should_be = wanted(name, json::parse(text), file);
    if (test::updating()) test::rewrite(path, should_be.dump(2) + '\n');
    // Compared without the order of names.
    EXPECT_TRUE(nlohmann::json::parse(file.dump()) == nlohmann::json::parse(should_be.dump()))
        << path << " is stale: ./tests/run.sh --update writes it";
  }
}

}  // namespace
}  // namespace tierce
