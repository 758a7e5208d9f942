#include "tests/engine/rules/label_wine.h"

#include <sstream>
#include <stdexcept>

#include "cli/read/claim_check.h"
#include "cli/read/load.h"
#include "cli/read/quantity_text.h"
#include "cli/read/read_claims.h"
#include "cli/read/rule_book.h"

namespace tierce::test {
namespace {

std::vector<std::string> parts_of(const std::string& text, const std::string& between) {
  std::vector<std::string> parts;
  std::size_t from = 0;
  for (auto at = text.find(between); at != std::string::npos; at = text.find(between, from)) {
    parts.push_back(trimmed(text.substr(from, at - from)));
    from = at + between.size();
  }
  parts.push_back(trimmed(text.substr(from)));
  return parts;
}

}  // namespace

std::string scenario_of(const LabelWine& wine) {
  std::string lots, log;
  int number = 0;
  for (const std::string& lot : parts_of(wine.lots, " + ")) {
    const auto litres_end = lot.find(" L");
    const std::string name = "L" + std::to_string(++number);
    std::string keys = "name: " + name;
    for (std::string part : parts_of(lot.substr(litres_end + 2), ";")) {
      if (part.empty()) continue;
      if (part.starts_with("spirit ")) {
        const auto into = part.find(" into ");
        part = "spirit: {volume: " + part.substr(7, into - 7) +
               " L, strength: 96 %vol, into: " + part.substr(into + 6) + " L}";
      }
      keys += ", " + part;
    }
    if (keys.find("alcohol:") == std::string::npos) keys += ", alcohol: 18 %vol";
    if (keys.find("vintage:") == std::string::npos && keys.find("harvested:") == std::string::npos)
      keys += ", vintage: 2020";
    lots += "  - {" + keys + "}\n";
    log +=
        "  - {date: 2021-01-01, do: add, lot: " + name + ", to: floor, volume: " + lot.substr(0, litres_end) + " L}\n";
  }
  const bool litres = wine.draw.ends_with("L");
  log += "  - {date: 2021-01-01, do: draw, from: floor, " + std::string(litres ? "volume: " : "share: ") + wine.draw +
         ", for: Bottling}\n";
  return "reserve: Trial\n"
         "tiers: [{name: floor, vessels: [{name: F, capacity: 100000 L}], evaporation: 0 %/yr}]\n"
         "lots:\n" +
         lots + "log:\n" + log + (wine.label.empty() ? "" : "label: {" + wine.label + "}\n");
}

LabelTrial tried(const LabelWine& wine, const std::string& set, const std::string& claim) {
  std::vector<Problem> problems;
  const std::string text = scenario_of(wine);
  Source source = source_from("trial.yaml", text, problems);
  const LoadedScenario loaded = check_source(std::move(source));
  if (!loaded.problems.empty()) throw std::runtime_error(loaded.problems.front().what + "\n" + text);
  LabelQuestion question{.book = built_in_rules(), .sets = {set}, .claims = {}};
  if (!claim.empty()) {
    Source said;
    auto read = claim_from_option(claim, said, problems);
    if (read) problems = claim_problems(*read, question.book);
    if (!problems.empty()) throw std::runtime_error(problems.front().what + ": " + claim);
    question.claims.push_back(*read);
  }
  LabelTrial trial{std::make_unique<Outlook>(run_scenario(loaded.scenario, {})), {}};
  trial.view = label_view(*trial.outlook, std::move(question));
  return trial;
}

}  // namespace tierce::test
