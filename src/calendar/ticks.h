// Small sums on ticks that never overflow, and what a time function can do at best from a moment on.
#pragma once

#include <algorithm>

#include "calendar/model.h"

namespace tackcloth::calendar {

// Sum held inside [-kForever, kForever]; "never" stays "never".
inline Tick plus(Tick a, Tick b) { return std::clamp(a + b, -kForever, kForever); }

inline bool constant(const TimeFunction& f) { return f.at.empty() || f.value.size() == 1; }
inline Tick lowest(const TimeFunction& f) { return *std::min_element(f.value.begin(), f.value.end()); }
inline Tick highest(const TimeFunction& f) { return *std::max_element(f.value.begin(), f.value.end()); }

// The least e + f(e) over all e >= from: ending later may be ready sooner when the night slows drying.
inline Tick earliest_through(const TimeFunction& f, Tick from) {
  Tick best = plus(from, f(from));
  if (constant(f)) return best;
  for (auto b = std::upper_bound(f.at.begin(), f.at.end(), from); b != f.at.end() && *b < best; ++b) {
    best = std::min(best, plus(*b, f(*b)));
  }
  return best;
}

// The first place after `when` where f may change; kForever when there is none.
inline Tick next_change(const TimeFunction& f, Tick when) {
  if (constant(f)) return kForever;
  const auto b = std::upper_bound(f.at.begin(), f.at.end(), when);
  return b == f.at.end() ? kForever : *b;
}

}  // namespace tackcloth::calendar
