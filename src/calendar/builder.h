// Serial schedule generation: one activity after the other at the first moment where everything it asks for is free.
#pragma once

#include <atomic>
#include <vector>

#include "calendar/problem.h"
#include "calendar/solve.h"

namespace tackcloth::calendar {

class Builder {
 public:
  explicit Builder(const Problem& problem);

  // Places all activities in the order of `list` (which respects `ordered` precedences). `not_before` (may be empty)
  // holds single activities back. False when a hard maximum lag could not be repaired within a bounded number of
  // unschedulings, when no window is left, or when `cancel` was raised.
  bool build(const std::vector<int>& list, const std::vector<Tick>& not_before, const std::atomic<bool>* cancel);

  // One by one instead: start over; the first start activity i can have after what stands; put it there (false: a
  // maximum lag ahead or behind forbids it).
  void restart();
  Tick soonest(int i);
  bool put(int i);
  // How long what activity i works with stays free from its soonest start on.
  Tick room(int i);

  // The first start >= from at which activity i fits into the profiles as they are; fills chosen().
  Tick fit(int i, Tick from, Tick duration);
  const std::vector<int>& chosen() const { return chosen_; }

  const std::vector<Tick>& start() const { return start_; }
  const std::vector<Tick>& duration() const { return duration_; }
  Solution solution() const;  // after a successful build
  // Who is booked for fixed activities.
  const std::vector<std::vector<int>>& fixed_members() const { return fixed_members_; }
  int last_failed() const { return failed_; }

 private:
  struct Limit {
    Tick latest = kForever;
    int culprit = -1;
  };
  bool pool_fit(int i, Tick at, Tick duration, Tick& next);
  bool seat(int i, std::size_t seat_index, std::vector<char>& seen);
  Tick lower(int i, Tick duration) const;
  Limit upper(int i, Tick duration) const;
  Tick extra(int i, Tick at) const;
  bool place(int i, int& culprit, Tick& push);
  void book(int i, Tick at, Tick duration, int sign);
  void put_fixed();
  void lift(int i);

  const Problem& p_;
  std::vector<Profile> profile_;
  std::vector<Profile> with_fixed_;
  std::vector<Tick> start_, duration_, held_;
  std::vector<char> placed_, fixed_;
  std::vector<std::vector<int>> members_;  // seats of each activity in order of its pool demands
  std::vector<std::vector<int>> fixed_members_;
  std::vector<int> chosen_;
  std::vector<char> available_;  // scratch: a resource, is it free for the activity in hand
  std::vector<int> seat_pool_, taken_by_;
  std::vector<int> stack_;
  int failed_ = -1;
};

}  // namespace tackcloth::calendar
