#include "calendar/plain.h"

#include <algorithm>
#include <numeric>

#include "calendar/at.h"
#include "calendar/ticks.h"

namespace tackcloth::calendar {
namespace {

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

using Links = std::vector<std::vector<PlainLink>>;

void pack(const Links& links, std::vector<int>& first, std::vector<PlainLink>& packed) {
  first.assign(1, 0);
  for (const auto& list : links) {
    packed.insert(packed.end(), list.begin(), list.end());
    first.push_back(static_cast<int>(packed.size()));
  }
}

// Longest paths and the work that must follow.
void look_ahead(const Plain& p, PlainSide& s) {
  s.tail = p.duration;
  for (auto i = s.order.rbegin(); i != s.order.rend(); ++i) {
    for (int k = s.after_first[at(*i)]; k < s.after_first[at(*i) + 1]; ++k) {
      s.tail[at(*i)] = std::max(s.tail[at(*i)], s.after[at(k)].weight + s.tail[at(s.after[at(k)].other)]);
    }
  }
  s.work.assign(at(p.size), 0);
  std::vector<char> seen;
  std::vector<int> reached;
  std::vector<std::int64_t> sum;
  for (int i = 0; i < p.size; ++i) {
    seen.assign(at(p.size), 0);
    seen[at(i)] = 1;
    reached.assign(1, i);
    sum.assign(at(p.resources), 0);
    for (std::size_t q = 0; q < reached.size(); ++q) {
      const int j = reached[q];
      for (int r = 0; r < p.resources; ++r) {
        sum[at(r)] += static_cast<std::int64_t>(p.need[at(j * p.resources + r)]) * p.duration[at(j)];
      }
      for (int k = s.after_first[at(j)]; k < s.after_first[at(j) + 1]; ++k) {
        const int next = s.after[at(k)].other;
        if (!seen[at(next)]) reached.push_back(next);
        seen[at(next)] = 1;
      }
    }
    for (int r = 0; r < p.resources; ++r) {
      if (p.supply[at(r)] > 0) s.work[at(i)] = std::max(s.work[at(i)], static_cast<int>(sum[at(r)] / p.supply[at(r)]));
    }
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
  Links forward(at(p.size)), forward_after(at(p.size)), mirrored(at(p.size)), mirrored_after(at(p.size));
  for (const Precedence& q : m.precedences) {
    const int weight = out.duration[at(q.from)] + static_cast<int>(q.min_lag.value[0] / unit);
    const int back = weight + out.duration[at(q.to)] - out.duration[at(q.from)];
    forward[at(q.to)].push_back({q.from, weight});
    forward_after[at(q.from)].push_back({q.to, weight});
    mirrored[at(q.from)].push_back({q.to, back});
    mirrored_after[at(q.to)].push_back({q.from, back});
  }
  PlainSide &left = out.side[0], &right = out.side[1];
  left.order = p.order;
  right.order.assign(p.order.rbegin(), p.order.rend());
  pack(forward, left.first, left.links);
  pack(forward_after, left.after_first, left.after);
  pack(mirrored, right.first, right.links);
  pack(mirrored_after, right.after_first, right.after);
  for (PlainSide* s : {&left, &right}) {
    look_ahead(out, *s);
    // Longest tail first is a topological order too: of equals the earlier one stays in front.
    std::stable_sort(s->order.begin(), s->order.end(), [&](int a, int b) { return s->tail[at(a)] > s->tail[at(b)]; });
  }
  return out;
}

}  // namespace tackcloth::calendar
