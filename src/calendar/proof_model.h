// The scheduling problem as variables and constraints of the exact search.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "calendar/problem.h"
#include "calendar/proof_engine.h"
#include "calendar/solve.h"

namespace tackcloth::calendar::proof {

struct Encoding {
  std::unique_ptr<Engine> engine;
  std::vector<int> start;  // variable of each activity
  int finish = -1;         // variable; at least every end with its tail
};

// A moment by which some best schedule ends, if there is any schedule: after everything that changes with the hour, no
// moment needs to pass without work or waiting (Neumann & Schwindt; for RCPSP/max sum of max(duration, lags)).
// Nothing when it is too far for the exact search.
std::optional<Tick> horizon_of(const Problem& problem);

// Schedules with finish <= `most_finish`. Nothing when the problem is outside the scope of the exact search.
std::optional<Encoding> encode(const Problem& problem, const Cost& bound, Tick most_finish);

}  // namespace tackcloth::calendar::proof
