// What is said of each dose, vessel, limit and moment: one description for text, CSV and JSON.
#pragma once

#include "cli/write/field.h"
#include "engine/plan/dose_schedule.h"

namespace tierce {

struct ScheduleView {
  const Outlook& outlook;
  const DoseSchedule& schedule;
  const SulfurLongRun& long_run() const { return schedule.long_run; }
};
struct DoseView {
  const Outlook& outlook;
  const DoseSchedule& schedule;
  const PlannedDose& dose;
};
struct VesselView {
  double yield;  // of metabisulfite
  VesselDose vessel;
};
struct VerdictView {
  const Outlook& outlook;
  const DoseSchedule& schedule;
  SulfurVerdict verdict;
  const Rule& rule() const { return *verdict.limit.rule; }
};

// As rows of tables: what JSON says of each, and how a reader sees it.
extern const Shape<DoseView> kDoseLine;
extern const Shape<VesselView> kVesselLine;
extern const Shape<VerdictView> kLimitLine;

extern const Shape<DoseView> kPlannedDose;  // of dose_rows.cpp, in the output
extern const Shape<ScheduleView> kDoseOutput;

}  // namespace tierce
