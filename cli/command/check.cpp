#include "cli/command/asked.h"
#include "cli/command/commands.h"
#include "cli/report/remarks.h"

namespace tierce {

Answer check_command(const Asked& asked) {
  const Scenario& scenario = asked.scenario();
  const Outlook outlook = run_scenario(scenario, {});
  Answer answer{status_of(outlook), "", {}};
  nlohmann::json json = {{"file", asked.path()},
                         {"reserve", scenario.reserve},
                         {"sound", true},
                         {"problems", nlohmann::json::array()},
                         {"remarks", nlohmann::json::array()}};
  if (asked.options.format == Format::csv) return refuse("check prints no table, so it has no CSV");
  const auto count = [](std::size_t n, const std::string& one, const std::string& many) {
    return std::to_string(n) + ' ' + (n == 1 ? one : many);
  };
  Report report;
  report.parts.push_back(Paragraph{
      asked.path() + ": sound. " + scenario.reserve + " has " + count(scenario.tiers.size(), "tier", "tiers") + ", " +
      count(scenario.lots.size(), "lot", "lots") + " and " + count(scenario.log.size(), "log entry", "log entries") +
      (scenario.corrections.empty() ? ""
                                    : ", with " + count(scenario.corrections.size(), "correction", "corrections")) +
      "."});
  if (outlook.run.stopped)
    report.parts.push_back(
        Paragraph{"The habit cannot be kept to the end: " + outlook.run.stopped->problem.what + "."});
  for (const Remark& remark : remarks_on(outlook)) {
    report.parts.push_back(Paragraph{as_sentence(remark), 2});
    json["remarks"].push_back({{"line", remark.at.line}, {"column", remark.at.column}, {"what", remark.what}});
  }
  answer.text = text_of(report, Units::metric);
  answer.json = json_text(json);
  return answer;
}

}  // namespace tierce
