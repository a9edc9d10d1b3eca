// Small random models that use the whole contract: windows, pools, resting places, lags of both kinds, promises.
#pragma once

#include <cstdint>

#include "calendar/model.h"

namespace tackcloth::calendar::brute {

class Dice {
 public:
  explicit Dice(std::uint64_t seed) : state_(seed * 2654435761u + 12345) {}
  int roll(int low, int high) {  // both included
    state_ ^= state_ << 13;
    state_ ^= state_ >> 7;
    state_ ^= state_ << 17;
    return low + static_cast<int>(state_ % static_cast<std::uint64_t>(high - low + 1));
  }
  bool one_in(int n) { return roll(1, n) == 1; }

 private:
  std::uint64_t state_;
};

inline TimeFunction random_function(Dice& dice, int low, int high) {
  TimeFunction f;
  f.value = {dice.roll(low, high)};
  if (dice.one_in(3)) {
    f.at = {0, dice.roll(2, 6)};
    f.value.push_back(dice.roll(low, high));
  }
  return f;
}

// `activities` of 1-3 ticks within about `horizon` ticks.
inline Model random_model(std::uint64_t seed, int activities, int horizon) {
  Dice dice(seed);
  Model m;
  const auto windows = [&] {
    std::vector<Window> w;
    if (dice.one_in(2)) return w;
    for (Tick t = dice.roll(0, 2); t < horizon;) {
      const Tick length = dice.roll(2, 5);
      w.push_back({t, t + length});
      t += length + dice.roll(1, 3);
    }
    return w;
  };
  m.resources = {{"owner", 1, windows()}, {"helper", 1, windows()}, {"places", dice.roll(1, 2), {}}, {"booth", 1, {}}};
  m.resources[3].windows = windows();
  m.pools = {{"anyone", {0, 1}}, {"skilled", {0}}};
  for (int i = 0; i < activities; ++i) {
    Activity a;
    a.duration = dice.roll(1, 3);
    if (dice.one_in(2)) a.pool_demands.push_back({dice.roll(0, 1), 1});
    if (dice.one_in(6)) a.pool_demands = {{0, 2}};
    if (dice.one_in(4)) a.demands.push_back({3, 1});
    if (dice.one_in(3)) {
      a.tail = random_function(dice, 0, 4);
      if (dice.one_in(2)) a.tail_demands = {{2, 1}};
    }
    if (dice.one_in(5)) a.release = dice.roll(1, 4);
    if (dice.one_in(3)) a.visit_group = dice.roll(0, 1);
    m.activities.push_back(a);
  }
  for (int i = 0; i + 1 < activities; ++i) {
    for (int j = i + 1; j < activities; ++j) {
      if (!dice.one_in(3)) continue;
      Precedence p;
      p.from = i;
      p.to = j;
      p.min_lag = random_function(dice, 0, 3);
      if (dice.one_in(3)) {
        p.max_lag = random_function(dice, 3, 6);
        if (dice.one_in(2)) p.late_extra = dice.roll(0, 2);
      }
      m.precedences.push_back(p);
    }
  }
  for (int i = 0; i < activities; ++i) {
    if (dice.one_in(3)) m.promises.push_back({i, dice.roll(2, 8), dice.roll(1, 3)});
  }
  if (dice.one_in(4)) {
    for (int i = 0; i < activities; ++i) m.previous_start.push_back(dice.roll(-1, 6));
  }
  return m;
}

}  // namespace tackcloth::calendar::brute
