// Lower bounds that hold for every schedule.
#pragma once

#include <cstdint>

#include "calendar/problem.h"
#include "calendar/solve.h"

namespace tackcloth::calendar {

// Component by component: no schedule has less lateness; none finishes earlier; none has fewer visits. Critical path
// through lags and calendars, and for every resource and pool the work that must lie between a head and a tail
// (Carlier & Latapie 1991 and Baptiste, Le Pape & Nuijten 1999 give the head-work-tail bound; with calendars the work
// is poured into the windows).
Cost lower_bound(const Problem& problem);

// The finish part by critical path through lags and calendars alone.
Tick critical_path(const Problem& problem);

}  // namespace tackcloth::calendar
