// Free capacity of one resource over time as steps: work grows with the number of bookings, not with the horizon.
#pragma once

#include <vector>

#include "calendar/model.h"

namespace tackcloth::calendar {

class Profile {
 public:
  explicit Profile(const Resource& resource);

  // The first t >= from with at least `amount` free on all of [t, t + length); kForever when there is none.
  Tick earliest(Tick from, Tick length, int amount) const;
  // The end of the last step in [from, to) with less than `amount` free; -1 when there is enough throughout.
  Tick blocked_until(Tick from, Tick to, int amount) const;
  // From `from` on at least `amount` is free until then.
  Tick free_until(Tick from, int amount) const;
  // Books `amount` (negative: gives back) on [from, to).
  void take(Tick from, Tick to, int amount);
  int free_at(Tick when) const { return free_[index(when)]; }
  std::size_t steps() const { return at_.size(); }

 private:
  std::size_t index(Tick when) const;
  Tick step_end(std::size_t k) const { return k + 1 < at_.size() ? at_[k + 1] : kForever; }
  std::size_t split(Tick when);
  std::vector<Tick> at_;  // ascending, the first reaches back to the beginning of time
  std::vector<int> free_;
};

}  // namespace tackcloth::calendar
