#include "calendar/proof_model.h"

#include <algorithm>

#include "calendar/proof_cumulative.h"
#include "calendar/ticks.h"

namespace tackcloth::calendar::proof {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

// Beyond this many activities the closure and the pairs cost more than they give.
constexpr int kMostForPairs = 150;
constexpr int kNoPath = -(1 << 30);

bool in_scope(const Problem& p) {
  const Model& m = *p.model;
  if (!m.pools.empty() || !m.promises.empty() || !m.previous_start.empty() || p.time_dependent) return false;
  for (const Resource& r : m.resources) {
    if (!r.windows.empty()) return false;
  }
  for (const Activity& a : m.activities) {
    if (a.fixed_start || a.visit_group >= 0 || !a.tail_demands.empty()) return false;
  }
  for (const Precedence& q : m.precedences) {
    if (q.max_lag && q.late_extra >= 0) return false;
  }
  return true;
}

class Encoder {
 public:
  Encoder(const Problem& p, const Cost& bound, Tick most_finish)
      : p_(p), m_(*p.model), bound_(bound), most_(static_cast<int>(most_finish)) {
    e_.engine = std::make_unique<Engine>();
  }

  Encoding run() {
    for (int i = 0; i < p_.size; ++i) {
      e_.start.push_back(e_.engine->add_variable(static_cast<int>(p_.earliest[at(i)]),
                                                 std::max(most_, static_cast<int>(p_.earliest[at(i)]))));
    }
    e_.finish = e_.engine->add_variable(static_cast<int>(bound_.finish), most_);
    lags();
    if (p_.size <= kMostForPairs) pairs();
    resources();
    return std::move(e_);
  }

 private:
  int length(int i) const { return static_cast<int>(m_.activities[at(i)].duration); }

  void lags() {
    for (int i = 0; i < p_.size; ++i) {
      e_.engine->add_arc(e_.start[at(i)], e_.finish, length(i) + static_cast<int>(lowest(m_.activities[at(i)].tail)));
    }
    if (p_.size <= kMostForPairs) path_.assign(at(p_.size * p_.size), kNoPath);
    for (std::size_t k = 0; k < m_.precedences.size(); ++k) {
      const Precedence& q = m_.precedences[k];
      if (q.from == q.to) continue;
      arc(q.from, q.to, length(q.from) + static_cast<int>(lowest(q.min_lag)));
      if (p_.hard[k] && highest(*q.max_lag) < kFar) {
        arc(q.to, q.from, -(length(q.from) + static_cast<int>(highest(*q.max_lag))));
      }
    }
  }

  void arc(int i, int j, int weight) {
    e_.engine->add_arc(e_.start[at(i)], e_.start[at(j)], weight);
    if (!path_.empty()) path(i, j) = std::max(path(i, j), weight);
  }
  int& path(int i, int j) { return path_[at(i * p_.size + j)]; }

  void close() {
    const int n = p_.size;
    for (int k = 0; k < n; ++k) {
      for (int i = 0; i < n; ++i) {
        const int ik = path(i, k);
        if (ik == kNoPath) continue;
        for (int j = 0; j < n; ++j) {
          if (path(k, j) != kNoPath) path(i, j) = std::max(path(i, j), ik + path(k, j));
        }
      }
    }
  }

  bool exclude(int i, int j) const {  // they cannot run at the same time
    for (const Demand& a : p_.hands_on[at(i)]) {
      for (const Demand& b : p_.hands_on[at(j)]) {
        if (a.resource == b.resource && a.amount + b.amount > m_.resources[at(a.resource)].capacity) return true;
      }
    }
    return false;
  }

  // Work that cannot overlap is in one order or the other: a Boolean each pair (Schutt et al. 2011, 2013).
  void pairs() {
    const int n = p_.size;
    close();
    for (bool found = true; found;) {
      found = false;
      for (int i = 0; i < n; ++i) {
        for (int j = 0; j < n; ++j) {
          if (i == j || length(i) == 0 || length(j) == 0 || !exclude(i, j)) continue;
          // j before i is impossible
          if (path(i, j) != kNoPath && path(i, j) + length(j) > 0 && path(i, j) < length(i)) {
            arc(i, j, length(i));
            found = true;
          }
        }
      }
      if (found) close();
    }
    for (int i = 0; i < n; ++i) {
      if (path(i, i) > 0) {
        e_.engine->add_clause({});
        return;
      }
    }
    for (int i = 0; i < n; ++i) {
      for (int j = i + 1; j < n; ++j) {
        if (length(i) == 0 || length(j) == 0 || !exclude(i, j)) continue;
        if (path(i, j) >= length(i) || path(j, i) >= length(j)) continue;
        const int order = e_.engine->add_variable(0, 1);
        e_.engine->add_arc(e_.start[at(i)], e_.start[at(j)], length(i), at_least(order, 1));
        e_.engine->add_arc(e_.start[at(j)], e_.start[at(i)], length(j), at_most(order, 0));
      }
    }
  }

  void resources() {
    for (int r = 0; r < static_cast<int>(m_.resources.size()); ++r) {
      std::vector<Task> tasks;
      for (int i = 0; i < p_.size; ++i) {
        for (const Demand& d : p_.booked[at(i)]) {
          if (d.resource == r) tasks.push_back({e_.start[at(i)], -1, length(i), d.amount, kAlways});
        }
      }
      Cumulative::add(*e_.engine, std::move(tasks), m_.resources[at(r)].capacity);
    }
  }

  const Problem& p_;
  const Model& m_;
  const Cost& bound_;
  int most_;
  Encoding e_;
  std::vector<int> path_;  // longest paths, start to start
};

}  // namespace

std::optional<Tick> horizon_of(const Problem& p) {
  const Model& m = *p.model;
  Tick horizon = 0;
  for (const Activity& a : m.activities) horizon = std::max(horizon, a.release);
  for (int i = 0; i < p.size; ++i) {
    const Activity& a = m.activities[at(i)];
    Tick busy = a.duration + highest(a.tail);
    for (const int k : p.out[at(i)]) busy = std::max(busy, a.duration + highest(m.precedences[at(k)].min_lag));
    horizon = plus(horizon, std::max<Tick>(0, busy));
  }
  if (horizon >= kFar / 2) return std::nullopt;
  return horizon;
}

std::optional<Encoding> encode(const Problem& p, const Cost& bound, Tick most_finish) {
  if (!in_scope(p) || most_finish >= kFar / 2) return std::nullopt;
  return Encoder(p, bound, most_finish).run();
}

}  // namespace tackcloth::calendar::proof
