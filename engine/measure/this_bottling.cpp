#include "engine/measure/this_bottling.h"

namespace tierce {

const DrawRecord* this_bottling(const Trajectory& run) {
  const DrawRecord *bottled = nullptr, *drawn = nullptr;
  for (const DrawRecord& draw : run.draws) {
    if (!draw.past) continue;
    drawn = &draw;
    if (draw.use == Use::bottling && draw.to < 0) bottled = &draw;
  }
  for (const BottlingRecord& bottling : run.bottlings)
    if (bottling.wine.past && (bottled == nullptr || bottling.wine.day >= bottled->day)) bottled = &bottling.wine;
  if (bottled != nullptr) return bottled;
  if (drawn != nullptr) return drawn;
  return run.draws.empty() ? nullptr : &run.draws.front();
}

const BottlingRecord* bottling_with(const Trajectory& run, const DrawRecord& wine) {
  for (const BottlingRecord& bottling : run.bottlings)
    if (&bottling.wine == &wine) return &bottling;
  return nullptr;
}

}  // namespace tierce
