// The objective of a complete set of starts.
#pragma once

#include <vector>

#include "calendar/solve.h"

namespace tackcloth::calendar {

// Lateness: sum over promises of weight x max(0, end + tail - due). Finish: latest end + tail. Visits: a visit_group's
// activities in order of start; each one that does not begin where the group's work so far ended opens a visit
// (ungrouped activities count none). Moved: activities whose start differs from previous_start (>= 0).
Cost cost_of(const Model& model, const std::vector<Tick>& start, const std::vector<Tick>& duration);

}  // namespace tackcloth::calendar
