// Solver: anytime, deterministic by seed whatever the thread count, with a lower bound.
#pragma once

#include <atomic>
#include <functional>
#include <string>
#include <vector>

#include "calendar/model.h"

namespace tackcloth::calendar {

// Compared in this order: weighted lateness, finish, visits, moved.
struct Cost {
  std::int64_t lateness = 0;
  Tick finish = 0;
  std::int64_t visits = 0;
  std::int64_t moved = 0;
  friend auto operator<=>(const Cost&, const Cost&) = default;
};

struct Solution {
  std::vector<Tick> start;
  std::vector<Tick> duration;             // with late_extra added where it was taken
  std::vector<std::vector<int>> members;  // resource indices taken from each pool demand, in order
  Cost cost;
};

enum class Status { optimal, feasible, infeasible, unknown };

struct Outcome {
  Status status = Status::unknown;
  Solution best;  // valid when optimal or feasible
  Tick finish_lower_bound = 0;
  std::int64_t lateness_lower_bound = 0;
  // Of finish against its bound. The bound is one for all schedules, late ones included: where promises outrank the
  // finish, the earliest finish that keeps them may lie well above it, and the gap is then no measure of what was
  // missed. The first part of the cost that is not proven is the lateness when it stands above its bound, else the
  // finish.
  double gap_percent = 0;
  std::int64_t schedules = 0;  // generated
  std::string explanation;     // infeasible: the cycle, the task longer than any window, ...
};

struct Options {
  std::uint64_t seed = 1;
  int threads = 1;
  std::int64_t max_schedules = 2000;    // stop after this many
  double max_seconds = 0;               // 0: no limit by time (deterministic); needs `now_seconds`
  std::function<double()> now_seconds;  // a clock, passed in
  const std::atomic<bool>* cancel = nullptr;
  std::function<void(const Outcome&)> on_better;
  // Dead ends the exact search may meet after `max_schedules` (repeatable). With max_seconds it runs in any case:
  // beside the other search when threads >= 2, after it otherwise.
  std::int64_t proof_conflicts = 0;
  bool edge_finding = false;  // in the exact search; docs/calendar.md has the measure
};

// A fixed_start is a fact: its activity is booked where it stands, inside windows or not, lasts its `duration` as given
// (no late_extra), and lags between two facts are not asked. Infeasible comes with an explanation; unknown means that
// no schedule was found within the budget. `now_seconds` may be called from several threads.
Outcome solve(const Model& model, const Options& options);

// Independent of the solver's code: every constraint of `model`, one line a violation; empty when the solution holds.
std::vector<std::string> violations(const Model& model, const Solution& solution);

// Why does activity `index` not start one tick earlier? A chain of reasons back to the origin.
std::vector<std::string> why(const Model& model, const Solution& solution, int index);

// The same chain as values, for callers that speak of dates instead of ticks.
enum class Because {
  origin,    // time begins here
  pinned,    // fixed_start
  release,   // not before its release
  lag,       // waits for `other`'s end and the minimum lag (`ticks`) after it
  reach,     // `other` must follow within a maximum lag and cannot come earlier
  window,    // `resource` has no long enough window before
  busy,      // `resource` is held by `other`
  crew,      // too few members of `pool` are free; `other` (or -1: off hours) keeps one of them (`resource`)
  kept_back  // nothing holds it: it is later to serve the objective
};
struct Reason {
  Because because = Because::origin;
  int activity = -1, other = -1, resource = -1, pool = -1;
  Tick ticks = 0;
};
std::vector<Reason> reasons(const Model& model, const Solution& solution, int index);

}  // namespace tackcloth::calendar
