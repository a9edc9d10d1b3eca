// Search over activity lists for models with calendars, pools and time-dependent lags.
#pragma once

#include "calendar/problem.h"
#include "calendar/solve.h"

namespace tackcloth::calendar {

// Starts from priority rules, then keeps a small elite and changes it in rounds of a fixed number of candidates, each
// with its own random numbers, so that the result does not depend on the number of threads.
Outcome search(const Problem& problem, const Cost& bound, const Options& options);

// Fills gap_percent and the bounds of `outcome`.
void settle(Outcome& outcome, const Cost& bound);

}  // namespace tackcloth::calendar
