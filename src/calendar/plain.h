// The textbook case, packed for speed: renewable resources without windows, constant non-negative lags, finish as the
// only objective (resource-constrained project scheduling; Kolisch & Hartmann 2006 survey it).
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "calendar/problem.h"
#include "calendar/solve.h"

namespace tackcloth::calendar {

// Start of `other` (before) to start of the activity: at least `weight` later.
struct PlainLink {
  int other;
  int weight;
};

// One direction of time; the mirrored side runs from the end of the project to its beginning.
struct PlainSide {
  std::vector<int> first;  // n + 1 offsets into links: predecessors of each activity
  std::vector<PlainLink> links;
  std::vector<int> order;  // a topological order
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

// Serial schedule generation on one side. A list is any order: predecessors are drawn in front as needed.
class PlainBuilder {
 public:
  explicit PlainBuilder(const Plain& plain);
  // Start of each activity in the coordinates of `side` by ascending `key`; returns the makespan.
  int build(int side, const std::vector<int>& key, std::vector<int>& start);
  // After build: resource use at each step up to the makespan, summed over resources, 64,000 for a full one.
  void use(int makespan, std::vector<int>& per_step) const;

 private:
  void sort(int side, const std::vector<int>& key);
  const Plain& p_;
  std::vector<std::uint64_t> free_;
  std::vector<int> list_, sorted_, stack_, bucket_;
  std::vector<char> done_;
  std::vector<std::uint64_t> packed_;
};

Outcome search_plain(const Problem& problem, const Plain& plain, const Cost& bound, const Options& options);

}  // namespace tackcloth::calendar
