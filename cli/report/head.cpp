#include "cli/report/head.h"

#include "cli/report/assumptions.h"

namespace tierce {
namespace {

const char* clock_name(Clock clock) {
  return clock == Clock::entry ? "entry" : clock == Clock::wood ? "wood" : "harvest";
}

std::optional<Date> known_on(const Outlook& outlook) {
  const auto& known = outlook.scenario.as_known;
  return known ? std::optional<Date>(known->on) : std::nullopt;
}

constexpr Field<Outlook> kHeadFields[] = {
    {"reserve", "", Figure::text, "name of the reserve", [](auto& of) -> Value { return of.scenario.reserve; }},
    {"clock", "", Figure::word, "where ages begin", [](auto& of) -> Value { return clock_name(of.scenario.clock); },
     kAlways, "harvest|entry|wood"},
    {"basis", "", Figure::word, "what ages are weighted by where nothing else is said",
     [](auto&) -> Value { return "volume"; }, kAlways, "volume"},
    {"assumptions", "", Figure::texts, "conventions and defaults that were used, one sentence each",
     [](auto& of) -> Value { return assumptions(of); }},
    {"as_known_on", "", Figure::date, "the day whose knowledge of the book is shown; null: all of it",
     [](auto& of) -> Value { return known_on(of); }, kOrNull},
};

}  // namespace

const Shape<Outlook> kHead{"head", "What every report on a reserve begins with.", kHeadFields};

}  // namespace tierce
