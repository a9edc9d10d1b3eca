// Working hours as windows of ticks (minutes after the start of the plan).
#pragma once

#include <vector>

#include "calendar/model.h"
#include "job/job.h"

namespace tackcloth::plan {

// The person's windows in the `days` from the day of `start`, cut at `start`; touching windows are joined.
std::vector<calendar::Window> working_windows(const job::Person& person, Instant start, int days);

// The longest stretch, in minutes, during which one and the same set of `people` persons is there all the time; 0 when
// there is never such a set.
calendar::Tick longest_stretch(const std::vector<std::vector<calendar::Window>>& persons, int people);

// All times at which anybody works.
std::vector<calendar::Window> anybody(const std::vector<std::vector<calendar::Window>>& persons);

}  // namespace tackcloth::plan
