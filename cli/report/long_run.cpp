#include "cli/report/long_run.h"

namespace tierce {
namespace {

constexpr Field<LongRun> kLongRunFields[] = {
    {"mean_y", "", Figure::age, "mean age at which the draws settle", of<&LongRun::mean_y>},
    {"half_life_y", "", Figure::age, "time in which the share of today's wine halves, once settled",
     of<&LongRun::half_life_y>},
    {"mean_by_alcohol_y", "", Figure::age, "weighted by pure alcohol; null as well where strengths do not settle",
     of<&LongRun::mean_by_alcohol_y>},
    {"mean_by_solids_y", "", Figure::age, "weighted by litres as entered: what does not evaporate",
     of<&LongRun::mean_by_solids_y>},
    {"youngest_y", "", Figure::age, "youngest part of any draw of a period", of<&LongRun::youngest_y>},
    {"largest_eigenvalue", "", Figure::exact_number, "part of what lies there longest that is left a period later",
     of<&LongRun::largest_eigenvalue>},
    {"period_y", "", Figure::age, "years after which the habit repeats", of<&LongRun::period_y>},
    {"why_not", "", Figure::text, "why a figure is null; else empty",
     [](auto& of) -> Value { return why_text(of.why_not); }},
};

}  // namespace

const Shape<LongRun> kLongRun{
    "long_run", "Where the habit leads, its exceptions left out: ages at which its draws settle.", kLongRunFields};

std::string why_text(const NoLongRun& why) {
  using Because = NoLongRun::Because;
  switch (why.because) {
    case Because::nothing: break;
    case Because::no_habit: return "the file states no habit";
    case Because::no_start: return "the habit has no day to start from";
    case Because::never_repeats:
      return "its routines meet again only after more than " + std::to_string(kLongestPeriodYears) + " years";
    case Because::too_many_tiers: return "there are more than " + std::to_string(kMostTiersForLongRun) + " tiers";
    case Because::too_many_days: return "the habit has too many days";
    case Because::no_new_wine: return "the habit brings no new wine, so that the reserve dries out";
    case Because::stops: return "the habit cannot be kept up: " + why.fault;
    case Because::no_settling: return "the volumes do not settle under this habit";
    case Because::runs_dry: return "a tier runs dry under this habit";
    case Because::nothing_leaves: return "nothing ever leaves under this habit, so the wine ages without end";
    case Because::draws_nothing: return "the habit draws nothing";
    case Because::same_lot: return "every refill brings the same lot, so the wine ages without end";
  }
  return "";
}

}  // namespace tierce
