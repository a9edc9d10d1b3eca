// Schedule generation on one side of a plain project: serial (Kolisch 1996), parallel with packing, and serial with one
// stretch packed.
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
  // The same, but places [first, last) of the list are packed: at each moment where one of them fits, the set of
  // greatest value starts, valued as below with the place in the list for a key.
  int part_packed(int side, const std::vector<int>& weight, double urgency, int first, int last,
                  std::vector<int>& start);
  // Parallel generation (Kolisch 1996), but what starts at a moment is the set of greatest value that fits. An activity
  // is worth its `weight`, up to 1 + urgency times as much the smaller its key among those that could start.
  int packed(int side, const std::vector<int>& key, const std::vector<int>& weight, double urgency,
             std::vector<int>& start);

 private:
  void rank(int side, const std::vector<int>& key);
  // For one and for two words an activity. The first two go along places [first, last) of the list and return their
  // latest end.
  template <int words>
  int serial_of(const PlainSide& s, int first, int last, std::vector<int>& start);
  template <int words>
  int pack_of(const PlainSide& s, const std::vector<int>& weight, double urgency, int first, int last,
              std::vector<int>& start);
  template <int words>
  int part_packed_of(int side, const std::vector<int>& weight, double urgency, int first, int last,
                     std::vector<int>& start);
  template <int words>
  int packed_of(int side, const std::vector<int>& key, const std::vector<int>& weight, double urgency,
                std::vector<int>& start);
  template <int words>
  void set_up(int until);
  template <int words>
  bool fits(int cell, int activity) const;
  template <int words>
  int fit_from(int moment, int activity);
  template <int words>
  void take(int activity, int from);
  void choose(int moment, const std::vector<int>& key, const std::vector<int>& weight, double urgency);
  void choose_from(std::size_t k, std::uint64_t free0, std::uint64_t free1, double value);

  const Plain& p_;
  std::vector<std::uint64_t> free_;
  int clean_ = 0;  // cells below have been set up
  std::vector<int> list_, sorted_, rank_, stack_, bucket_, earliest_, waits_;
  std::vector<char> done_;
  std::vector<std::uint64_t> ready_;  // bits by rank: all predecessors placed
  std::vector<int> open_, place_;     // of a stretch: not yet placed; places in the list
  std::vector<int> candidates_, chosen_, best_set_;
  std::vector<double> value_, rest_;  // of each candidate; of it and those after it
  double best_value_ = 0;
  int looks_ = 0;
};

}  // namespace tackcloth::calendar
