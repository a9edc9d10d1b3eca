// How a plan fares when unattended times turn out shorter or longer than it reckoned with.
#pragma once

#include <memory>
#include <vector>

#include "calendar/solve.h"

namespace tackcloth::calendar {

// Factors on what runs unattended: one a precedence (its minimum lag), one an activity (its tail). 1: as planned.
struct Turnout {
  std::vector<double> lag, tail;
};

// Works a plan off as one does at the bench: activities are taken up in the order in which they were planned, each at
// the first moment at which what it waits for is over and everybody and everything it needs is free; sooner than
// planned when things dry sooner. A closing window that is missed costs what the model says. `model` must outlive it.
class WorkingOff {
 public:
  WorkingOff(const Model& model, const Solution& planned);
  ~WorkingOff();
  // Empty starts when no way was found to finish.
  Solution run(const Turnout& turnout);

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace tackcloth::calendar
