// The model made ready for the solver: checked, indexed, with earliest starts that respect lags and calendars.
#pragma once

#include <atomic>
#include <string>
#include <vector>

#include "calendar/model.h"
#include "calendar/profile.h"

namespace tackcloth::calendar {

struct Problem {
  explicit Problem(const Model& source) : model(&source) {}

  const Model* model;
  int size = 0;
  std::vector<std::vector<int>> in, out;      // precedence indices by `to` and by `from`
  std::vector<char> ordered;                  // a precedence: `from` is placed before `to`
  std::vector<char> hard;                     // a precedence: its max_lag must be kept
  std::vector<std::vector<int>> next;         // successors through ordered precedences
  std::vector<int> order;                     // a topological order of `next`
  std::vector<std::vector<Demand>> hands_on;  // demands merged by resource, tail demands included
  std::vector<std::vector<Demand>> booked;    // demands merged by resource, without tail demands
  std::vector<std::vector<Demand>> resting;   // tail demands merged by resource
  std::vector<std::vector<int>> ranked;       // a pool: members, the least wanted elsewhere first
  std::vector<Tick> earliest;                 // lower bound of each start
  std::vector<Tick> tail;                     // lower bound of project end (with tails) minus start
  std::vector<Profile> empty;                 // profiles before anything is placed
  std::vector<Tick> least_lag;                // a precedence: lowest min_lag (looked for once: calendars are long)
  std::vector<Tick> least_tail;               // an activity: lowest tail
  const std::atomic<bool>* cancel =
      nullptr;  // raised: prepare() says "cancelled", bounds stop early with what holds so far
  bool cancelled() const { return cancel && cancel->load(std::memory_order_relaxed); }
  bool time_dependent = false;  // any lag or tail that is a true function of time
};

// Fills `problem`; otherwise returns why no schedule exists (never empty then).
std::string prepare(Problem& problem);

// Mistakes in the numbers themselves (indices, sizes, signs); empty when sound. Raising `cancel` ends it with what it
// found so far.
std::string malformed(const Model& model, const std::atomic<bool>* cancel = nullptr);

// "'sand the top'" or "activity 7" when it has no name.
std::string label(const Model& model, int activity);

}  // namespace tackcloth::calendar
