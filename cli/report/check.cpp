#include "cli/report/check.h"

#include "cli/report/page/sheet_page.h"
#include "cli/report/remarks.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

constexpr std::size_t kRemarkHangs = 2;  // characters by which its further lines are set in

constexpr Field<Problem> kFaultFields[] = {
    {"line", "", Figure::whole, "line in the file, from 1; 0: the file as a whole",
     [](auto& of) -> Value { return of.at.line; }, kAlways},
    {"column", "", Figure::whole, "character in the line, from 1", [](auto& of) -> Value { return of.at.column; },
     kAlways},
    {"what", "", Figure::text, "what is wrong", of<&Problem::what>},
    {"allowed", "", Figure::text, "what is allowed there; may be empty", of<&Problem::allowed>},
    {"hint", "", Figure::text, "what was probably meant; may be empty", of<&Problem::hint>},
};
constexpr Shape<Problem> kFault{"fault", "A fault in the file.", kFaultFields};

constexpr Field<Remark> kRemarkFields[] = {
    {"line", "", Figure::whole, "line of the file; 0 where it is the run that shows it",
     [](auto& of) -> Value { return of.at.line; }, kAlways},
    {"column", "", Figure::whole, "column", [](auto& of) -> Value { return of.at.column; }, kAlways},
    {"what", "", Figure::text, "what is probably a slip, or lies beyond what the model was made for",
     of<&Remark::what>},
};
constexpr Shape<Remark> kRemark{"remark", "What is remarked on in a sound file.", kRemarkFields};

template <class Make>
Value if_sound(const CheckView& of, const Make& make) {
  return of.outlook == nullptr ? Value(Value::Absent{}) : Value(make(*of.outlook));
}

Value reserve_of(const CheckView& of) {
  return if_sound(of, [](const Outlook& outlook) { return outlook.scenario.reserve; });
}

Value remarks_of(const CheckView& of) {
  return if_sound(of, [](const Outlook& outlook) { return list_of(remarks_on(outlook), kRemark); });
}

constexpr Field<CheckView> kCheckFields[] = {
    {"file", "", Figure::text, "the file, as given", of<&CheckView::file>},
    {"reserve", "", Figure::text, "name of the reserve, if the file is sound", reserve_of, kOrAbsent},
    {"sound", "", Figure::flag, "no fault was found", [](auto& of) -> Value { return of.outlook != nullptr; }},
    {"problems", "", Figure::list, "every fault, in the order of the file",
     [](auto& of) { return list_of(of.problems, kFault); }, kAlways, nullptr, &kFault},
    {"remarks", "", Figure::list, "what is remarked on in a sound file; the status stays 0", remarks_of, kOrAbsent,
     nullptr, &kRemark},
};

std::string counted(std::size_t count, const std::string& one, const std::string& many) {
  return std::to_string(count) + ' ' + (count == 1 ? one : many);
}

}  // namespace

const Shape<CheckView> kCheckOutput{"check", "Whether a file is sound.", kCheckFields};

Document check_report(const CheckView& of) {
  const Scenario& scenario = of.outlook->scenario;
  Document document;
  document.say(of.file + ": sound. " + scenario.reserve + " has " + counted(scenario.tiers.size(), "tier", "tiers") +
               ", " + counted(scenario.lots.size(), "lot", "lots") + " and " +
               counted(scenario.log.size(), "log entry", "log entries") +
               (scenario.corrections.empty()
                    ? ""
                    : ", with " + counted(scenario.corrections.size(), "correction", "corrections")) +
               ".");
  if (const auto& stop = of.outlook->run.stopped)
    document.say("The habit cannot be kept to the end: " + stop->problem.what + ".");
  for (const Remark& remark : remarks_on(*of.outlook))
    for (const std::string& line : wrapped(as_sentence(remark), kPageWidth, kRemarkHangs)) document.print(line);
  return document;
}

}  // namespace tierce
