// A scenario or a rule file written for one test, and what the program says of it.
#pragma once

#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>

namespace tierce::test {

/// A file in the folder for temporary files, gone with the object.
class File {
 public:
  explicit File(const std::string& text, const std::string& name = "reserve.yaml");
  ~File();
  File(const File&) = delete;
  File& operator=(const File&) = delete;
  std::string path() const { return path_; }

 private:
  std::filesystem::path path_;
};

nlohmann::json json_of(const std::string& command, const File& file);
/// A page as one line, so that a sentence is found wherever it breaks.
std::string flowing(const std::string& page);

}  // namespace tierce::test
