// The scheduling problem as variables and constraints of the exact search.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "calendar/problem.h"
#include "calendar/proof_engine.h"
#include "calendar/solve.h"

namespace tackcloth::calendar::proof {

// A variable plus a constant.
struct Moment {
  int variable = -1;
  int plus = 0;
};

struct Encoding {
  struct Seat {
    int activity, demand, member, taken;  // `taken`: a 0/1 variable, -1: always
  };
  std::unique_ptr<Engine> engine;
  std::vector<int> start;          // variable of each activity
  std::vector<Moment> end, clear;  // hands-on end; end with tail
  std::vector<Seat> seats;
  std::vector<char> uniform;                   // pools whose members are given out after the starts stand
  std::vector<std::vector<int>> fact_members;  // of fixed activities
  int objective[4] = {-1, -1, -1, -1};         // lateness, finish, visits, moved; -1: not in this encoding
  // False when the encoding leaves out schedules (facts whose people it chose): it improves, but proves nothing.
  bool exact = true;
};

// A moment by which some best schedule ends, if there is any schedule: after everything that changes with the hour, no
// moment needs to pass without work, drying or waiting, for all that follows could come earlier (for RCPSP/max:
// Neumann, Schwindt & Zimmermann, "Project scheduling with time windows", 2003). Nothing when it is too far.
std::optional<Tick> horizon_of(const Problem& problem);

// Schedules that end by `horizon` with no part of the cost above `ceiling`; parts up to `stage` (0 lateness, 1 finish,
// 2 visits, 3 moved) are stated. Nothing when the problem is outside the scope of the exact search. `edge_finding` adds
// what says nothing new but may say it earlier.
std::optional<Encoding> encode(const Problem& problem, const Cost& bound, const Cost& ceiling, int stage, Tick horizon,
                               bool edge_finding);

// The plan that the fixed variables say, with people given out; cost is left empty.
Solution plan_of(const Problem& problem, const Encoding& encoding);

}  // namespace tackcloth::calendar::proof
