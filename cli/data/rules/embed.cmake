# Writes the rule files into one source file, so that the program needs no files beside it.
# cmake -DRULES=folder -DOUTPUT=file -P embed.cmake
file(GLOB files "${RULES}/*.yaml")
list(SORT files)
set(rows "")
foreach(file IN LISTS files)
  file(READ "${file}" text)
  get_filename_component(name "${file}" NAME)
  string(APPEND rows "      {\"${name}\", R\"rules(${text})rules\"},\n")
endforeach()
file(WRITE "${OUTPUT}" "// Made from cli/data/rules/*.yaml when the program was built.
#include \"cli/read/rule_book.h\"

namespace tierce {

const std::vector<BuiltInRules>& built_in_rule_files() {
  static const std::vector<BuiltInRules> kFiles = {
${rows}  };
  return kFiles;
}

}  // namespace tierce
")
