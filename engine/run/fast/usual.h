// What every year brings to a small reserve: time, a draw of a part of one tier, a refill down all of them, the close
// of the year. The same as ageing.h, bottling.h and cellar_work.h do, in one piece where nothing else has to be looked
// for: a search runs the same years many thousands of times.
#pragma once

#include "engine/run/run.h"

namespace tierce {

/// Whether what comes next can be usual: a few tiers and no tank, all vessels of a tier alike, nothing kept but the
/// flows, and time changes nothing but the volumes and strengths.
bool may_be_usual(const Run& run);

/// Does an event of a run that may be usual, if the event is so too: part of what is held is drawn of a tier as a
/// whole; or each tier gives some of its wine and keeps some, the new wine is of a lot of which no account is kept, and
/// no vessel gets too full. False of all others, which are then still to be done, though time may have passed: a fault
/// is for them to find.
bool done_as_usual(Run& run, const Event& event);

}  // namespace tierce
