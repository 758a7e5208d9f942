#include "cli/report/json_refusal.h"

#include "cli/read/quantity_text.h"

namespace tierce {

nlohmann::json impossible_json(const std::string& file, const std::vector<Problem>& why) {
  using nlohmann::json;
  const auto text_or_null = [](const std::string& text) {
    return text.empty() ? json(nullptr) : json(with_plain_spaces(text));
  };
  json list = json::array();
  for (const Problem& problem : why)
    list.push_back({{"line", problem.at.line > 0 ? json(problem.at.line) : json(nullptr)},
                    {"what", with_plain_spaces(problem.what)},
                    {"possible", text_or_null(problem.allowed)},
                    {"hint", text_or_null(problem.hint)}});
  return {{"file", text_or_null(file)}, {"impossible", list}};
}

}  // namespace tierce
