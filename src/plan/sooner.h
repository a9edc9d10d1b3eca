// What would bring a date forward: the job planned again with one thing changed, each change by itself, the best first.
#pragma once

#include <functional>

#include "plan/plan.h"

namespace tackcloth::plan {

// One change and what it does. Hours: positive is better.
struct Help {
  std::string kind;                  // "resting_place", "hours", "helper", "warmth", "moving_air", "product", "order"
  std::string what;                  // in words
  std::string heed;                  // what to mind when doing it; may be empty
  double late_hours_less = 0;        // over all promises, by their weight
  double finish_hours_less = 0;      // of the last piece
  double piece_hours_less = 0;       // sum over pieces
  std::vector<PromiseMoved> pieces;  // those that move
};

struct Helps {
  std::vector<PromiseMoved> hurried;  // every piece: as planned, and with nothing changed but all pieces hurried alike
  std::vector<Help> best_first;       // against the hurried plan; only what gains an hour and hurts no promise
  int tried = 0;
};

// A plan does not hurry a piece that keeps its date. So that a change shows what it does and not what the solver left
// alone, all plans compared here hurry: the weighted sum of all finishes is what they make small.
// Changes tried: one more resting place a room; two more hours for each person on each day of the week; a helper on
// Saturday and on the busiest weekday; each room 3 °C warmer (unheated: kept at 20 °C); air past the work at 0.4 m/s;
// each product asked for by name left to the search; the fastest instead of the cheapest order. A change that brings a
// new must-not is left out. `between` is told (done, of) before each and may return false to stop early.
// `base` is the plan of the same job, world and options.
Results<Helps> what_would_help(const job::Job& job, const World& world, const Options& options, const Plan& base,
                               const std::function<bool(int, int)>& between = {});

}  // namespace tackcloth::plan
