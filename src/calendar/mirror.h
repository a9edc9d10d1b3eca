// The model seen from the end: the same work and windows with time reversed, lags held at one value, promises as
// releases, maximum lags and resting places left out. A schedule built on it pushes everything as late as it goes; only
// its order is used.
#pragma once

#include <memory>

#include "calendar/builder.h"
#include "calendar/problem.h"

namespace tackcloth::calendar {

struct Mirror {
  Model model;
  std::unique_ptr<Problem> problem;
  Tick horizon = 0;
};

// Nothing when the reversed model has no schedule of its own.
std::unique_ptr<Mirror> mirror_of(const Problem& problem, Tick finish_bound);

}  // namespace tackcloth::calendar
