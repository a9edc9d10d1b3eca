#include "calendar/plain.h"

#include <algorithm>
#include <numeric>

#include "calendar/ticks.h"

namespace tackcloth::calendar {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

constexpr std::uint64_t kSpare = 0x8000'8000'8000'8000ULL;
constexpr Tick kLongestHorizon = 1 << 16;

bool only_plain(const Problem& p) {
  const Model& m = *p.model;
  if (p.time_dependent || !m.promises.empty() || !m.previous_start.empty() || p.size == 0) return false;
  for (const Activity& a : m.activities) {
    if (!a.pool_demands.empty() || highest(a.tail) != 0 || !a.tail_demands.empty() || a.release > 0 || a.fixed_start ||
        a.visit_group >= 0) {
      return false;
    }
  }
  for (std::size_t k = 0; k < m.precedences.size(); ++k) {
    const Precedence& q = m.precedences[k];
    if (q.max_lag || !p.ordered[k] || q.from == q.to) return false;
  }
  for (int i = 0; i < p.size; ++i) {
    for (const Demand& d : p.hands_on[at(i)]) {
      const Resource& r = m.resources[at(d.resource)];
      if (!r.windows.empty() || r.capacity > 0x7fff) return false;
    }
  }
  return true;
}

void link(Plain& out, const std::vector<std::vector<PlainLink>>& links, const std::vector<int>& order, int side) {
  PlainSide& s = out.side[side];
  s.order = order;
  s.first.assign(1, 0);
  for (const auto& list : links) {
    s.links.insert(s.links.end(), list.begin(), list.end());
    s.first.push_back(static_cast<int>(s.links.size()));
  }
}

}  // namespace

std::optional<Plain> plain_of(const Problem& p) {
  if (!only_plain(p)) return std::nullopt;
  const Model& m = *p.model;
  Tick unit = 0, horizon = 0;
  for (const Activity& a : m.activities) unit = std::gcd(unit, a.duration);
  for (const Precedence& q : m.precedences) unit = std::gcd(unit, q.min_lag.value[0]);
  unit = std::max<Tick>(unit, 1);
  for (const Activity& a : m.activities) horizon = plus(horizon, a.duration / unit);
  for (const Precedence& q : m.precedences) horizon = plus(horizon, std::max<Tick>(0, q.min_lag.value[0] / unit));
  if (horizon > kLongestHorizon) return std::nullopt;

  Plain out;
  out.size = p.size;
  out.unit = unit;
  out.horizon = static_cast<int>(horizon);
  std::vector<int> lane(m.resources.size(), -1);
  for (int i = 0; i < p.size; ++i) {
    for (const Demand& d : p.hands_on[at(i)]) {
      if (lane[at(d.resource)] < 0) {
        lane[at(d.resource)] = out.resources++;
        out.supply.push_back(m.resources[at(d.resource)].capacity);
      }
    }
  }
  if (out.resources > 8) return std::nullopt;
  out.words = out.resources > 4 ? 2 : 1;
  out.capacity.assign(at(out.words), 0);
  out.demand.assign(at(out.words * out.size), 0);
  out.need.assign(at(out.resources * out.size), 0);
  for (int r = 0; r < out.resources; ++r) {
    out.capacity[at(r / 4)] |= static_cast<std::uint64_t>(out.supply[at(r)]) << (16 * (r % 4));
  }
  for (int i = 0; i < p.size; ++i) {
    out.duration.push_back(static_cast<int>(m.activities[at(i)].duration / unit));
    for (const Demand& d : p.hands_on[at(i)]) {
      const int r = lane[at(d.resource)];
      out.need[at(i * out.resources + r)] = d.amount;
      out.demand[at(i * out.words + r / 4)] |= static_cast<std::uint64_t>(d.amount) << (16 * (r % 4));
    }
  }
  std::vector<std::vector<PlainLink>> forward(at(p.size)), mirrored(at(p.size));
  for (const Precedence& q : m.precedences) {
    const int weight = out.duration[at(q.from)] + static_cast<int>(q.min_lag.value[0] / unit);
    forward[at(q.to)].push_back({q.from, weight});
    mirrored[at(q.from)].push_back({q.to, weight + out.duration[at(q.to)] - out.duration[at(q.from)]});
  }
  std::vector<int> reversed(p.order.rbegin(), p.order.rend());
  link(out, forward, p.order, 0);
  link(out, mirrored, reversed, 1);
  return out;
}

PlainBuilder::PlainBuilder(const Plain& plain) : p_(plain) {
  free_.resize(at((plain.horizon + 2) * plain.words));
  done_.resize(at(plain.size));
  list_.reserve(at(plain.size));
  sorted_.resize(at(plain.size));
}

// Ascending key (counting sort, stable in topological order), then predecessors first.
void PlainBuilder::sort(int side, const std::vector<int>& key) {
  const PlainSide& s = p_.side[side];
  const auto [low, high] = std::minmax_element(key.begin(), key.end());
  const int base = *low;
  bucket_.assign(at(*high - base + 2), 0);
  for (const int k : key) ++bucket_[at(k - base + 1)];
  std::partial_sum(bucket_.begin(), bucket_.end(), bucket_.begin());
  for (const int i : s.order) sorted_[at(bucket_[at(key[at(i)] - base)]++)] = i;
  std::fill(done_.begin(), done_.end(), 0);
  list_.clear();
  for (const int root : sorted_) {
    if (done_[at(root)]) continue;
    stack_.assign(1, root);
    while (!stack_.empty()) {
      const int i = stack_.back();
      if (done_[at(i)]) {
        stack_.pop_back();
        continue;
      }
      const std::size_t before = stack_.size();
      for (int k = s.first[at(i)]; k < s.first[at(i) + 1]; ++k) {
        if (!done_[at(s.links[at(k)].other)]) stack_.push_back(s.links[at(k)].other);
      }
      if (stack_.size() == before) {
        done_[at(i)] = 1;
        list_.push_back(i);
        stack_.pop_back();
      }
    }
  }
}

int PlainBuilder::build(int side, const std::vector<int>& key, std::vector<int>& start) {
  sort(side, key);
  const PlainSide& s = p_.side[side];
  start.resize(at(p_.size));
  int makespan = 0, clean = 0;  // cells below `clean` have been set up
  const int words = p_.words;
  const std::uint64_t cap0 = p_.capacity[0] | kSpare, cap1 = words == 2 ? p_.capacity[1] | kSpare : 0;
  std::uint64_t* const cell = free_.data();
  const auto set_up = [&](int until) {
    for (; clean < until; ++clean) {
      cell[clean * words] = cap0;
      if (words == 2) cell[clean * words + 1] = cap1;
    }
  };
  for (const int i : list_) {
    int t = 0;
    for (int k = s.first[at(i)]; k < s.first[at(i) + 1]; ++k) {
      t = std::max(t, start[at(s.links[at(k)].other)] + s.links[at(k)].weight);
    }
    const int d = p_.duration[at(i)];
    if (d > 0) {
      set_up(t + d);
      const std::uint64_t need0 = p_.demand[at(i * words)], need1 = words == 2 ? p_.demand[at(i * 2 + 1)] : 0;
      // From the back of the slot: a cell too full moves the whole slot past it. Cells [t, checked) are known to fit.
      for (int checked = t, q = t + d - 1; q >= checked;) {
        bool fits = ((cell[q * words] - need0) & kSpare) == kSpare;
        if (words == 2) fits = fits && ((cell[q * 2 + 1] - need1) & kSpare) == kSpare;
        if (fits) {
          --q;
          continue;
        }
        checked = t + d;
        t = q + 1;
        q = t + d - 1;
        set_up(t + d);
      }
      for (int q = t; q < t + d; ++q) {
        cell[q * words] -= need0;
        if (words == 2) cell[q * 2 + 1] -= need1;
      }
    }
    start[at(i)] = t;
    makespan = std::max(makespan, t + d);
  }
  set_up(makespan);
  return makespan;
}

void PlainBuilder::use(int makespan, std::vector<int>& per_step) const {
  per_step.assign(at(makespan), 0);
  for (int r = 0; r < p_.resources; ++r) {
    const int shift = 16 * (r % 4), word = r / 4, cap = p_.supply[at(r)];
    if (cap == 0) continue;
    const int scale = 1000 * 64 / cap;  // 64,000ths of the capacity
    for (int t = 0; t < makespan; ++t) {
      const int left = static_cast<int>((free_[at(t * p_.words + word)] >> shift) & 0x7fff);
      per_step[at(t)] += (cap - left) * scale;
    }
  }
}

}  // namespace tackcloth::calendar
