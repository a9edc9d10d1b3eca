// A plan made as time goes by: at each moment the most pressing of what can start then.
#pragma once

#include <vector>

#include "calendar/builder.h"
#include "calendar/moves.h"
#include "calendar/problem.h"

namespace tackcloth::calendar {

// What presses. Work that needs two or more of a pool at once goes first whenever so many are there, since that time is
// lost to it otherwise. Then what is short of time: latest starts, with `behind` ticks of the calendar a tick of work
// on the way to a wanted end, less than `calm` ahead. Then, while less than `stock` ticks of work for two wait ready,
// what leads up to such work soonest. Then by latest start.
struct Policy {
  double behind = 5, calm = 0, stock = 0;
  bool fill = false;  // what presses less may go first when it leaves less of the time there is unused
  double noise = 0;   // added to latest starts, up to so many ticks by chance
  std::uint64_t seed = 0;
};

// `latest`: starts past which a wanted end is missed through lags and windows alone.
// The order in which work was started; empty when a hard maximum lag could not be kept, or cancelled.
std::vector<int> dispatch(Builder& builder, const Problem& problem, const std::vector<Wanted>& wanted,
                          const std::vector<Tick>& latest, const Policy& policy, const std::atomic<bool>* cancel);

}  // namespace tackcloth::calendar
