// The exact search: proves a plan best, improves it, or proves that there is none. Propagation with learned clauses
// (Schutt, Feydy, Stuckey & Wallace 2011, 2013). Everything it cannot state exactly it declines.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>

#include "calendar/problem.h"
#include "calendar/solve.h"

namespace tackcloth::calendar {

struct ProofLimits {
  std::int64_t conflicts = 1'000'000;   // dead ends to learn from; repeatable
  std::function<double()> now_seconds;  // with `until`: stops when the clock passes it
  double until = 0;
  const std::atomic<bool>* cancel = nullptr;
  std::function<bool()> stopped;  // another reason to end, asked now and then
  std::uint64_t seed = 1;
  Tick horizon = 0;  // above 0: only schedules that end by then; nothing is proven
  int parts = 4;     // of the cost: 1 lateness, 2 and finish, 3 and visits, 4 and moved; fewer than 4 prove nothing
  bool edge_finding = false;                       // proofs as true, often no sooner: docs/calendar.md has the measure
  std::function<void(const Solution&)> on_better;  // a better plan was found
  std::function<bool(const Cost& than, Solution&)> newer;  // a better plan from elsewhere, if there is one
};

enum class Proof {
  declined,    // outside its scope: nothing is said
  optimal,     // `best` is optimal in every part of the cost
  infeasible,  // there is no schedule
  gave_up      // limits reached; `bound` may have risen and `best` improved
};

struct ProofOutcome {
  Proof proof = Proof::declined;
  bool found = false;  // `best` is a schedule
  Solution best;       // the incumbent or better
  Cost bound;          // no schedule is below, part by part
  std::int64_t conflicts = 0;
};

// `incumbent` may be null. `bound` is lower_bound(problem).
ProofOutcome prove(const Problem& problem, const Cost& bound, const Solution* incumbent, const ProofLimits& limits);

// Takes the plan apart piece by piece: frees a stretch of time or a few chains of work, holds all else and searches
// that part exactly. Improves `plan` until the limits are reached; true when it did. Repeatable without a clock.
bool improve_windows(const Problem& problem, Solution& plan, const ProofLimits& limits);

}  // namespace tackcloth::calendar
