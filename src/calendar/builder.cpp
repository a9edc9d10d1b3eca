#include "calendar/builder.h"

#include <algorithm>

#include "calendar/at.h"
#include "calendar/cost.h"
#include "calendar/ticks.h"

namespace tackcloth::calendar {
Builder::Builder(const Problem& problem) : p_(problem), profile_(problem.empty) {
  const std::size_t n = at(p_.size);
  start_.assign(n, 0);
  duration_.assign(n, 0);
  held_.assign(n, 0);
  placed_.assign(n, 0);
  fixed_.assign(n, 0);
  members_.resize(n);
  available_.assign(p_.model->resources.size(), 0);
  taken_by_.assign(p_.model->resources.size(), -1);
  put_fixed();
  with_fixed_ = profile_;
  fixed_members_ = members_;
}

// Fixed activities are facts: they are booked wherever they stand, with members who are free then if there are any.
void Builder::put_fixed() {
  for (std::size_t i = 0; i < fixed_.size(); ++i) {
    const Activity& a = p_.model->activities[i];
    if (!a.fixed_start) continue;
    if (p_.cancelled()) return;  // no build() succeeds then
    fixed_[i] = placed_[i] = 1;
    start_[i] = *a.fixed_start;
    duration_[i] = a.duration;
    const int index = static_cast<int>(i);
    if (fit(index, start_[i], a.duration) != start_[i]) {
      chosen_.clear();
      for (const PoolDemand& d : a.pool_demands) {
        std::vector<int> ranked = p_.ranked[at(d.pool)];
        std::stable_partition(ranked.begin(), ranked.end(), [&](int m) {
          return profile_[at(m)].blocked_until(start_[i], start_[i] + a.duration, 1) < 0;
        });
        int left = d.members;
        for (const int m : ranked) {
          if (left == 0) break;
          if (std::find(chosen_.begin(), chosen_.end(), m) != chosen_.end()) continue;
          chosen_.push_back(m);
          --left;
        }
      }
    }
    members_[i] = chosen_;
    book(index, start_[i], a.duration, 1);
  }
}

void Builder::book(int i, Tick begin, Tick duration, int sign) {
  const Activity& a = p_.model->activities[at(i)];
  const Tick end = begin + duration;
  for (const Demand& d : p_.booked[at(i)]) profile_[at(d.resource)].take(begin, end, sign * d.amount);
  if (!p_.resting[at(i)].empty()) {
    const Tick clear = plus(end, a.tail(end));
    for (const Demand& d : p_.resting[at(i)]) profile_[at(d.resource)].take(begin, clear, sign * d.amount);
  }
  for (const int m : members_[at(i)]) profile_[at(m)].take(begin, end, sign);
}

// One more seat through an augmenting path (Kuhn's method for bipartite matching).
bool Builder::seat(int i, std::size_t seat_index, std::vector<char>& seen) {
  for (const int m : p_.ranked[at(seat_pool_[seat_index])]) {
    if (!available_[at(m)] || seen[at(m)]) continue;
    seen[at(m)] = 1;
    if (taken_by_[at(m)] < 0 || seat(i, at(taken_by_[at(m)]), seen)) {
      taken_by_[at(m)] = static_cast<int>(seat_index);
      return true;
    }
  }
  return false;
}

// Whole members for the whole duration. When there are too few, `next` is the first moment one more is free.
bool Builder::pool_fit(int i, Tick begin, Tick duration, Tick& next) {
  const Activity& a = p_.model->activities[at(i)];
  chosen_.clear();
  if (a.pool_demands.empty()) return true;
  next = kForever;
  const auto own = [&](int m) {
    for (const Demand& d : p_.hands_on[at(i)]) {
      if (d.resource == m) return d.amount;
    }
    return 0;
  };
  if (a.pool_demands.size() == 1 && a.pool_demands[0].members == 1) {  // the usual case, without matching
    for (const int m : p_.ranked[at(a.pool_demands[0].pool)]) {
      const Tick t = profile_[at(m)].earliest(begin, duration, 1 + own(m));
      if (t == begin) {
        chosen_.push_back(m);
        return true;
      }
      next = std::min(next, t);
    }
    return false;
  }
  seat_pool_.clear();
  for (const PoolDemand& d : a.pool_demands) {
    for (int k = 0; k < d.members; ++k) seat_pool_.push_back(d.pool);
    for (const int m : p_.ranked[at(d.pool)]) {
      const Tick t = profile_[at(m)].earliest(begin, duration, 1 + own(m));
      available_[at(m)] = t == begin;
      taken_by_[at(m)] = -1;
      if (t != begin) next = std::min(next, t);
    }
  }
  for (std::size_t s = 0; s < seat_pool_.size(); ++s) {
    std::vector<char> seen(available_.size(), 0);
    if (!seat(i, s, seen)) return false;
  }
  chosen_.assign(seat_pool_.size(), -1);
  for (const PoolDemand& d : a.pool_demands) {
    for (const int m : p_.ranked[at(d.pool)]) {
      if (available_[at(m)] && taken_by_[at(m)] >= 0) chosen_[at(taken_by_[at(m)])] = m;
    }
  }
  return true;
}

Tick Builder::fit(int i, Tick from, Tick duration) {
  const Activity& a = p_.model->activities[at(i)];
  Tick t = from;
  while (t < kForever) {
    const Tick before = t;
    for (const Demand& d : p_.hands_on[at(i)]) t = profile_[at(d.resource)].earliest(t, duration, d.amount);
    if (t != before) continue;
    for (const Demand& d : p_.resting[at(i)]) {
      const Tick end = t + duration;
      const Tick until = profile_[at(d.resource)].blocked_until(t, plus(end, a.tail(end)), d.amount);
      if (until < 0) continue;
      // A later end may have a shorter tail that clears the place in time: stop at each change of the tail.
      const Tick change = next_change(a.tail, end);
      t = change >= kForever ? until : std::min(until, change - duration);
      break;
    }
    if (t != before) continue;
    Tick next = kForever;
    if (pool_fit(i, t, duration, next)) return t;
    t = next;
  }
  return kForever;
}

Tick Builder::lower(int i, Tick duration) const {
  const Model& m = *p_.model;
  Tick t = std::max(p_.earliest[at(i)], held_[at(i)]);
  for (const int k : p_.in[at(i)]) {
    const Precedence& q = m.precedences[at(k)];
    if (!placed_[at(q.from)]) continue;
    const Tick end = start_[at(q.from)] + duration_[at(q.from)];
    t = std::max(t, plus(end, q.min_lag(end)));
  }
  for (const int k : p_.out[at(i)]) {
    const Precedence& q = m.precedences[at(k)];
    if (!placed_[at(q.to)] || !p_.hard[at(k)]) continue;
    t = std::max(t, start_[at(q.to)] - highest(*q.max_lag) - duration);
  }
  return t;
}

Builder::Limit Builder::upper(int i, Tick duration) const {
  const Model& m = *p_.model;
  Limit limit;
  for (const int k : p_.in[at(i)]) {
    const Precedence& q = m.precedences[at(k)];
    if (!placed_[at(q.from)] || !p_.hard[at(k)]) continue;
    const Tick end = start_[at(q.from)] + duration_[at(q.from)];
    const Tick latest = plus(end, (*q.max_lag)(end));
    if (latest < limit.latest) limit = {latest, q.from};
  }
  for (const int k : p_.out[at(i)]) {
    const Precedence& q = m.precedences[at(k)];
    if (!placed_[at(q.to)]) continue;
    const Tick latest = start_[at(q.to)] - p_.least_lag[at(k)] - duration;
    if (latest < limit.latest) limit = {latest, q.to};
  }
  return limit;
}

Tick Builder::extra(int i, Tick begin) const {
  Tick sum = 0;
  for (const int k : p_.in[at(i)]) {
    const Precedence& q = p_.model->precedences[at(k)];
    if (!q.max_lag || q.late_extra < 0) continue;
    const Tick end = start_[at(q.from)] + duration_[at(q.from)];
    if (begin > plus(end, (*q.max_lag)(end))) sum += q.late_extra;
  }
  return sum;
}

// False: `culprit` has to start `push` ticks later for i to keep its maximum lag (culprit -1: hopeless).
bool Builder::place(int i, int& culprit, Tick& push) {
  const Activity& a = p_.model->activities[at(i)];
  Tick duration = a.duration;
  Tick t = fit(i, lower(i, duration), duration);
  // A closed recoat window lengthens the work, the longer work may start later and close another window: this only
  // ever grows, so it ends.
  for (Tick longer = a.duration + extra(i, t); t < kForever && longer != duration; longer = a.duration + extra(i, t)) {
    duration = longer;
    t = fit(i, std::max(t, lower(i, duration)), duration);
  }
  culprit = -1;
  if (t >= kForever) return false;
  const Limit limit = upper(i, duration);
  if (t > limit.latest) {
    culprit = limit.culprit;
    push = t - limit.latest;
    return false;
  }
  for (const int k : p_.out[at(i)]) {  // true functions of this end, towards activities that already stand
    const Precedence& q = p_.model->precedences[at(k)];
    if (!placed_[at(q.to)]) continue;
    const Tick end = t + duration;
    if (plus(end, q.min_lag(end)) > start_[at(q.to)]) return false;
    if (p_.hard[at(k)] && plus(end, (*q.max_lag)(end)) < start_[at(q.to)]) return false;
  }
  start_[at(i)] = t;
  duration_[at(i)] = duration;
  placed_[at(i)] = 1;
  members_[at(i)] = chosen_;
  book(i, t, duration, 1);
  return true;
}

// Takes i and every placed activity after it off the calendar.
void Builder::lift(int i) {
  stack_.assign(1, i);
  while (!stack_.empty()) {
    const int k = stack_.back();
    stack_.pop_back();
    if (!placed_[at(k)] || fixed_[at(k)]) continue;
    placed_[at(k)] = 0;
    book(k, start_[at(k)], duration_[at(k)], -1);
    for (const int s : p_.next[at(k)]) stack_.push_back(s);
  }
}

void Builder::restart() {
  profile_ = with_fixed_;
  placed_ = fixed_;
  failed_ = -1;
  for (std::size_t i = 0; i < fixed_.size(); ++i) {
    held_[i] = 0;
    if (!fixed_[i]) continue;
    start_[i] = *p_.model->activities[i].fixed_start;
    duration_[i] = p_.model->activities[i].duration;
    members_[i] = fixed_members_[i];
  }
}

Tick Builder::soonest(int i) {
  if (placed_[at(i)]) return start_[at(i)];
  const Tick duration = p_.model->activities[at(i)].duration;
  return fit(i, lower(i, duration), duration);
}

Tick Builder::room(int i) {
  const Tick from = soonest(i);
  Tick until = kForever;
  for (const Demand& d : p_.booked[at(i)]) until = std::min(until, profile_[at(d.resource)].free_until(from, d.amount));
  for (const int m : chosen_) until = std::min(until, profile_[at(m)].free_until(from, 1));
  return until >= kForever ? kForever : until - from;
}

bool Builder::put(int i) {
  int culprit = -1;
  Tick push = 0;
  return placed_[at(i)] || place(i, culprit, push);
}

bool Builder::build(const std::vector<int>& list, const std::vector<Tick>& not_before,
                    const std::atomic<bool>* cancel) {
  restart();
  if (!not_before.empty()) held_ = not_before;
  int repairs_left = 50 + 4 * p_.size;
  for (std::size_t pos = 0; pos < list.size();) {
    const int i = list[pos];
    if (placed_[at(i)]) {
      ++pos;
      continue;
    }
    if (cancel && cancel->load(std::memory_order_relaxed)) return false;
    int culprit = -1;
    Tick push = 0;
    if (place(i, culprit, push)) {
      ++pos;
      continue;
    }
    failed_ = i;
    if (culprit < 0 || fixed_[at(culprit)] || --repairs_left < 0) return false;
    held_[at(culprit)] = start_[at(culprit)] + push;
    lift(culprit);
    pos = 0;
  }
  return true;
}

Solution Builder::solution() const {
  Solution s;
  s.start = start_;
  s.duration = duration_;
  s.members.resize(start_.size());
  for (std::size_t i = 0; i < start_.size(); ++i) s.members[i] = members_[i];
  s.cost = cost_of(*p_.model, start_, duration_);
  return s;
}

}  // namespace tackcloth::calendar
