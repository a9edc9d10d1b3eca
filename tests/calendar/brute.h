// Exhaustive enumeration for tiny models: every start up to a horizon, every choice of members. Shares no code with
// the library; judges with its own arithmetic.
#pragma once

#include <algorithm>
#include <optional>
#include <tuple>
#include <vector>

#include "calendar/model.h"

namespace tackcloth::calendar::brute {

using Key = std::tuple<long long, long long, long long, long long>;  // lateness, finish, visits, moved

class Enumeration {
 public:
  Enumeration(const Model& m, Tick horizon) : m_(m), horizon_(horizon), used_(m.resources.size()) {
    for (auto& row : used_) row.assign(static_cast<std::size_t>(horizon * 4), 0);
    start_.assign(m.activities.size(), 0);
    duration_.assign(m.activities.size(), 0);
  }
  // Activities must be numbered so that a precedence with a late_extra goes from a lower to a higher index.
  std::optional<Key> best() {
    go(0, 0, 0);
    return best_;
  }

 private:
  static Tick value(const TimeFunction& f, Tick t) {
    Tick v = f.value[0];
    for (std::size_t k = 0; k < f.at.size(); ++k) {
      if (f.at[k] <= t) v = f.value[k];
    }
    return v;
  }
  bool open(std::size_t r, Tick t) const {
    if (m_.resources[r].windows.empty()) return true;
    return std::any_of(m_.resources[r].windows.begin(), m_.resources[r].windows.end(),
                       [&](const Window& w) { return w.from <= t && t < w.to; });
  }
  bool take(std::size_t r, Tick from, Tick to, int amount, std::vector<std::tuple<std::size_t, Tick, int>>& undo) {
    for (Tick t = from; t < to; ++t) {
      if (!open(r, t)) return false;
      used_[r][static_cast<std::size_t>(t)] += amount;
      undo.emplace_back(r, t, amount);
      if (used_[r][static_cast<std::size_t>(t)] > m_.resources[r].capacity) return false;
    }
    return true;
  }
  void back(const std::vector<std::tuple<std::size_t, Tick, int>>& undo) {
    for (const auto& [r, t, amount] : undo) used_[r][static_cast<std::size_t>(t)] -= amount;
  }
  bool lags_hold(std::size_t i) const {
    for (const Precedence& p : m_.precedences) {
      const auto f = static_cast<std::size_t>(p.from), t = static_cast<std::size_t>(p.to);
      if (std::max(f, t) != i) continue;
      const Tick end = start_[f] + duration_[f];
      if (start_[t] < end + value(p.min_lag, end)) return false;
      if (p.max_lag && p.late_extra < 0 && start_[t] > end + value(*p.max_lag, end)) return false;
    }
    return true;
  }
  // `lateness` and `finish` of the activities before i: what can only grow may be cut off.
  void go(std::size_t i, long long lateness, long long finish) {
    if (i == m_.activities.size()) return judge();
    const Activity& a = m_.activities[i];
    for (Tick s = std::max<Tick>(0, a.release); s <= horizon_; ++s) {
      start_[i] = s;
      duration_[i] = a.duration;
      for (const Precedence& p : m_.precedences) {
        if (p.to != static_cast<int>(i) || !p.max_lag || p.late_extra < 0) continue;
        const auto f = static_cast<std::size_t>(p.from);
        const Tick end = start_[f] + duration_[f];
        if (s > end + value(*p.max_lag, end)) duration_[i] += p.late_extra;
      }
      if (!lags_hold(i)) continue;
      const Tick end = s + duration_[i];
      const Tick ready = end + value(a.tail, end);
      long long late = lateness;
      for (const Promise& p : m_.promises) {
        if (p.activity == static_cast<int>(i)) late += p.weight * std::max<Tick>(0, ready - p.due);
      }
      const long long last = std::max<long long>(finish, ready);
      if (best_ && std::pair{late, last} > std::pair{std::get<0>(*best_), std::get<1>(*best_)}) continue;
      std::vector<std::tuple<std::size_t, Tick, int>> undo;
      bool fits = true;
      for (const Demand& d : a.demands)
        fits = fits && take(static_cast<std::size_t>(d.resource), s, end, d.amount, undo);
      for (const Demand& d : a.tail_demands) {
        fits = fits && take(static_cast<std::size_t>(d.resource), s, end + value(a.tail, end), d.amount, undo);
      }
      if (fits) seats(i, 0, 0, late, last);
      back(undo);
    }
  }
  void seats(std::size_t i, std::size_t demand, int taken, long long lateness, long long finish) {
    const Activity& a = m_.activities[i];
    if (demand == a.pool_demands.size()) return go(i + 1, lateness, finish);
    if (taken == a.pool_demands[demand].members) return seats(i, demand + 1, 0, lateness, finish);
    for (const int r : m_.pools[static_cast<std::size_t>(a.pool_demands[demand].pool)].members) {
      std::vector<std::tuple<std::size_t, Tick, int>> undo;
      if (take(static_cast<std::size_t>(r), start_[i], start_[i] + duration_[i], 1, undo))
        seats(i, demand, taken + 1, lateness, finish);
      back(undo);
    }
  }
  void judge() {
    long long lateness = 0, finish = 0, visits = 0, moved = 0;
    std::vector<Tick> ready;
    for (std::size_t i = 0; i < start_.size(); ++i) {
      const Tick end = start_[i] + duration_[i];
      ready.push_back(end + value(m_.activities[i].tail, end));
      finish = std::max<long long>(finish, ready.back());
      if (!m_.previous_start.empty() && m_.previous_start[i] >= 0 && m_.previous_start[i] != start_[i]) ++moved;
      if (m_.activities[i].visit_group < 0) continue;
      bool joined = false;
      for (std::size_t j = 0; j < start_.size(); ++j) {
        if (j == i || m_.activities[j].visit_group != m_.activities[i].visit_group) continue;
        if (start_[j] + duration_[j] >= start_[i] && (start_[j] < start_[i] || (start_[j] == start_[i] && j < i))) {
          joined = true;
        }
      }
      visits += !joined;
    }
    for (const Promise& p : m_.promises) {
      lateness += p.weight * std::max<Tick>(0, ready[static_cast<std::size_t>(p.activity)] - p.due);
    }
    const Key key{lateness, finish, visits, moved};
    if (!best_ || key < *best_) best_ = key;
  }

  const Model& m_;
  Tick horizon_;
  std::vector<std::vector<int>> used_;
  std::vector<Tick> start_, duration_;
  std::optional<Key> best_;
};

}  // namespace tackcloth::calendar::brute
