// The scheduling problem, free of any trade: activities on resources under lags. Time is whole ticks from 0.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <vector>

namespace tackcloth::calendar {

using Tick = std::int64_t;
inline constexpr Tick kForever = std::numeric_limits<Tick>::max() / 4;

struct Window {
  Tick from = 0, to = 0;  // [from, to)
};

// Capacity at every tick, less outside the windows: inside a window `capacity`, else 0. No windows: always `capacity`.
struct Resource {
  std::string name;
  int capacity = 1;
  std::vector<Window> windows;  // sorted, disjoint
};

// Interchangeable members, each with its own windows; an activity takes whole members for its whole duration.
struct Pool {
  std::string name;
  std::vector<int> members;  // resource indices, each of capacity 1
};

struct Demand {
  int resource = -1;
  int amount = 1;
};
struct PoolDemand {
  int pool = -1;
  int members = 1;
};

// A duration that depends on when it starts: piecewise constant on [at[i], at[i+1]), the first and last value hold
// beyond. Empty `at`: constant `value[0]`.
struct TimeFunction {
  std::vector<Tick> at;
  std::vector<Tick> value{0};
  Tick operator()(Tick when) const;
};

struct Activity {
  std::string name;
  Tick duration = 0;                     // hands-on, not interrupted
  std::vector<Demand> demands;           // during the duration
  std::vector<PoolDemand> pool_demands;  // during the duration, inside the members' windows
  TimeFunction tail;                     // unattended time after the end, a function of the end; runs through nights
  std::vector<Demand> tail_demands;      // held from start to end + tail (a resting place)
  Tick release = 0;
  std::optional<Tick> fixed_start;  // frozen past or pinned
  int visit_group = -1;             // activities of one group back to back count as one visit
};

// Start of `to` no earlier than end of `from` + min_lag(end of from); no later than end of `from` + max_lag(...).
struct Precedence {
  int from = -1, to = -1;
  TimeFunction min_lag;
  std::optional<TimeFunction> max_lag;
  Tick late_extra = -1;  // >= 0: being later than max_lag is allowed and lengthens `to` by this much
};

// Lateness is counted for the end (with tail) of `activity` against `due`.
struct Promise {
  int activity = -1;
  Tick due = 0;
  std::int64_t weight = 1;
};

struct Model {
  std::vector<Resource> resources;
  std::vector<Pool> pools;
  std::vector<Activity> activities;
  std::vector<Precedence> precedences;
  std::vector<Promise> promises;
  std::vector<Tick> previous_start;  // for replanning: empty, or one an activity (-1: was not planned)
};

}  // namespace tackcloth::calendar
