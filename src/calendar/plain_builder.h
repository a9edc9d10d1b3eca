// Schedule generation on one side of a plain project, serial and parallel (Kolisch 1996).
#pragma once

#include <cstdint>
#include <vector>

#include "calendar/plain.h"

namespace tackcloth::calendar {

class PlainBuilder {
 public:
  explicit PlainBuilder(const Plain& plain);

  // The list by ascending `key` (ties in topological order), predecessors drawn in front as needed.
  const std::vector<int>& order(int side, const std::vector<int>& key);
  // Serial generation along the last list: starts in the coordinates of `side`; returns the makespan.
  int serial(int side, std::vector<int>& start);
  // Parallel generation: at each moment, all that can start in order of `key`.
  int parallel(int side, const std::vector<int>& key, std::vector<int>& start);

 private:
  void rank(int side, const std::vector<int>& key);
  void set_up(int until);
  bool fits(int cell, int activity) const;
  void take(int activity, int from);

  const Plain& p_;
  std::vector<std::uint64_t> free_;
  int clean_ = 0;  // cells below have been set up
  std::vector<int> list_, sorted_, rank_, stack_, bucket_, earliest_, waits_;
  std::vector<char> done_;
  std::vector<std::uint64_t> ready_;  // bits by rank: all predecessors placed
};

}  // namespace tackcloth::calendar
