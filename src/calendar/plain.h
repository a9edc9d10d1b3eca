// The textbook case, packed for speed: renewable resources without windows, constant non-negative lags, finish as the
// only objective (resource-constrained project scheduling; Kolisch & Hartmann 2006 survey it).
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "calendar/plain_tuning.h"
#include "calendar/problem.h"
#include "calendar/solve.h"

namespace tackcloth::calendar {

// Start of `other` to start of the activity: at least `weight` apart.
struct PlainLink {
  int other;
  int weight;
};

// One direction of time; the mirrored side runs from the end of the project to its beginning.
struct PlainSide {
  std::vector<int> first;  // size + 1 offsets into links: predecessors of each activity
  std::vector<PlainLink> links;
  std::vector<int> after_first;  // size + 1 offsets into after: successors of each activity
  std::vector<PlainLink> after;
  std::vector<int> order;  // a topological order
  std::vector<int> tail;   // longest path from the start of each activity to the end of the project
  std::vector<int> work;  // resource-based tail: work of the activity and all that must follow it, in steps of the full
                          // capacity of the resource that takes longest
};

// Up to four resources share a word: four lanes of 16 bits, the highest bit of each lane spare, so that one subtraction
// compares all of them.
struct Plain {
  int size = 0;
  int words = 1;    // words an activity: 1 or 2
  int horizon = 0;  // every semi-active schedule ends by then
  Tick unit = 1;    // ticks a time step
  std::vector<int> duration;
  std::vector<std::uint64_t> demand;    // size x words
  std::vector<std::uint64_t> capacity;  // words
  std::vector<int> need, supply;        // the same unpacked: size x resources, resources
  int resources = 0;
  PlainSide side[2];
};

// Nothing when the model is more than plain, or its horizon too long to keep a cell a step.
std::optional<Plain> plain_of(const Problem& problem);

// Genetic search; every forward or backward generation counts as one schedule.
Outcome search_plain(const Problem& problem, const Plain& plain, const Cost& bound, const Options& options);
Outcome search_plain(const Problem& problem, const Plain& plain, const Cost& bound, const Options& options,
                     const PlainTuning& tuning);

}  // namespace tackcloth::calendar
