#include "calendar/problem.h"

#include <algorithm>
#include <deque>

#include "calendar/at.h"
#include "calendar/builder.h"
#include "calendar/ticks.h"

namespace tackcloth::calendar {
namespace {

// Start-to-start form of a lag: start of `to` >= start of `from` + weight.
struct Arc {
  int to;
  Tick weight;
};

std::vector<Demand> merged(const std::vector<Demand>& a, const std::vector<Demand>& b = {}) {
  std::vector<Demand> all = a;
  all.insert(all.end(), b.begin(), b.end());
  std::vector<Demand> sum;
  for (const Demand& d : all) {
    if (d.amount == 0) continue;
    const auto same = std::find_if(sum.begin(), sum.end(), [&](const Demand& s) { return s.resource == d.resource; });
    if (same == sum.end()) {
      sum.push_back(d);
    } else {
      same->amount += d.amount;
    }
  }
  return sum;
}

Tick longest_duration(const Problem& p, int i) {
  Tick d = p.model->activities[at(i)].duration;
  for (const int k : p.in[at(i)]) {
    const Precedence& q = p.model->precedences[at(k)];
    if (q.max_lag && q.late_extra > 0) d += q.late_extra;
  }
  return d;
}

void index(Problem& p) {
  const Model& m = *p.model;
  p.size = static_cast<int>(m.activities.size());
  p.in.resize(at(p.size));
  p.out.resize(at(p.size));
  p.ordered.assign(m.precedences.size(), 0);
  p.hard.assign(m.precedences.size(), 0);
  p.least_lag.assign(m.precedences.size(), 0);
  p.least_tail.assign(at(p.size), 0);
  for (std::size_t k = 0; k < m.precedences.size() && !p.cancelled(); ++k) {
    p.least_lag[k] = lowest(m.precedences[k].min_lag);
  }
  for (int i = 0; i < p.size && !p.cancelled(); ++i) p.least_tail[at(i)] = lowest(m.activities[at(i)].tail);
  if (p.cancelled()) return;
  for (std::size_t k = 0; k < m.precedences.size(); ++k) {
    const Precedence& q = m.precedences[k];
    const Activity& from = m.activities[at(q.from)];
    const Activity& to = m.activities[at(q.to)];
    if (from.fixed_start && to.fixed_start) continue;  // two facts
    p.in[at(q.to)].push_back(static_cast<int>(k));
    p.out[at(q.from)].push_back(static_cast<int>(k));
    p.hard[k] = q.max_lag && q.late_extra < 0;
    const bool soft = q.max_lag && q.late_extra >= 0;
    p.ordered[k] =
        soft || !constant(q.min_lag) || (q.max_lag && !constant(*q.max_lag)) || from.duration + p.least_lag[k] >= 0;
    if (!constant(q.min_lag) || (q.max_lag && !constant(*q.max_lag))) p.time_dependent = true;
  }
  for (const Activity& a : m.activities) {
    p.booked.push_back(merged(a.demands));
    p.resting.push_back(merged(a.tail_demands));
    p.hands_on.push_back(merged(a.demands, a.tail_demands));
    if (!constant(a.tail)) p.time_dependent = true;
  }
  std::vector<int> wanted(m.resources.size(), 0);
  for (const Pool& pool : m.pools) {
    for (const int r : pool.members) ++wanted[at(r)];
  }
  for (const Pool& pool : m.pools) {
    p.ranked.push_back(pool.members);
    std::stable_sort(p.ranked.back().begin(), p.ranked.back().end(),
                     [&](int a, int b) { return wanted[at(a)] < wanted[at(b)]; });
  }
  for (const Resource& r : m.resources) p.empty.emplace_back(r);
}

// Topological order over ordered precedences; false when they run in a ring.
bool sort(Problem& p) {
  const Model& m = *p.model;
  p.next.assign(at(p.size), {});
  p.order.clear();
  std::vector<int> waiting(at(p.size), 0);
  for (std::size_t k = 0; k < m.precedences.size(); ++k) {
    const Precedence& q = m.precedences[k];
    if (!p.ordered[k] || q.from == q.to) continue;
    p.next[at(q.from)].push_back(q.to);
    ++waiting[at(q.to)];
  }
  for (int i = 0; i < p.size; ++i) {
    if (waiting[at(i)] == 0) p.order.push_back(i);
  }
  for (std::size_t k = 0; k < p.order.size(); ++k) {
    for (const int s : p.next[at(p.order[k])]) {
      if (--waiting[at(s)] == 0) p.order.push_back(s);
    }
  }
  return p.order.size() == at(p.size);
}

std::string ring_text(const Problem& p, const std::vector<int>& ring) {
  std::string text;
  for (const int i : ring) text += label(*p.model, i) + " → ";
  return text + label(*p.model, ring.front());
}

// Any ring of ordered precedences.
std::vector<int> find_ring(const Problem& p) {
  std::vector<int> state(at(p.size), 0), path;
  struct Frame {
    int node;
    std::size_t next;
  };
  for (int root = 0; root < p.size; ++root) {
    if (state[at(root)] != 0) continue;
    std::vector<Frame> frames{{root, 0}};
    state[at(root)] = 1;
    path.assign(1, root);
    while (!frames.empty()) {
      Frame& f = frames.back();
      if (f.next < p.next[at(f.node)].size()) {
        const int s = p.next[at(f.node)][f.next++];
        if (state[at(s)] == 1) return {std::find(path.begin(), path.end(), s), path.end()};
        if (state[at(s)] == 0) {
          state[at(s)] = 1;
          path.push_back(s);
          frames.push_back({s, 0});
        }
      } else {
        state[at(f.node)] = 2;
        path.pop_back();
        frames.pop_back();
      }
    }
  }
  return {};
}

// Longest paths over lags alone (label correcting); a label corrected more often than there are activities hangs on a
// ring of positive length.
std::string spread_lags(Problem& p) {
  const Model& m = *p.model;
  std::vector<std::vector<Arc>> arcs(at(p.size));
  for (int i = 0; i < p.size && !p.cancelled(); ++i) {
    for (const int k : p.out[at(i)]) {
      const Precedence& q = m.precedences[at(k)];
      arcs[at(i)].push_back({q.to, m.activities[at(i)].duration + p.least_lag[at(k)]});
      if (p.hard[at(k)] && highest(*q.max_lag) < kForever / 2) {
        arcs[at(q.to)].push_back({i, -(longest_duration(p, i) + highest(*q.max_lag))});
      }
    }
  }
  p.earliest.assign(at(p.size), 0);
  for (int i = 0; i < p.size; ++i) {
    const Activity& a = m.activities[at(i)];
    p.earliest[at(i)] = a.fixed_start ? *a.fixed_start : std::max<Tick>(0, a.release);
  }
  std::vector<int> parent(at(p.size), -1), corrected(at(p.size), 0);
  std::vector<char> queued(at(p.size), 1);
  std::deque<int> queue(p.order.begin(), p.order.end());
  while (!queue.empty() && !p.cancelled()) {
    const int i = queue.front();
    queue.pop_front();
    queued[at(i)] = 0;
    for (const Arc& arc : arcs[at(i)]) {
      const Tick t = plus(p.earliest[at(i)], arc.weight);
      if (t <= p.earliest[at(arc.to)]) continue;
      if (m.activities[at(arc.to)].fixed_start) {
        if (m.activities[at(i)].fixed_start) continue;
        return label(m, arc.to) + " is pinned at tick " + std::to_string(p.earliest[at(arc.to)]) + ", but after " +
               label(m, i) + " it cannot start before tick " + std::to_string(t);
      }
      p.earliest[at(arc.to)] = t;
      parent[at(arc.to)] = i;
      if (++corrected[at(arc.to)] > p.size) {
        int x = arc.to;
        for (int k = 0; k < p.size && parent[at(x)] >= 0; ++k) x = parent[at(x)];
        std::vector<int> ring{x};
        for (int y = parent[at(x)]; y >= 0 && y != x && ring.size() <= at(p.size); y = parent[at(y)]) ring.push_back(y);
        std::reverse(ring.begin(), ring.end());
        return "the lags contradict each other: no starts satisfy " + ring_text(p, ring) +
               "; lengthen a maximum lag or shorten a minimum lag on this ring";
      }
      if (!queued[at(arc.to)]) {
        queued[at(arc.to)] = 1;
        queue.push_back(arc.to);
      }
    }
  }
  return {};
}

Tick widest(const Profile& profile, const Resource& r, int amount) {
  if (r.capacity < amount) return 0;
  if (r.windows.empty()) return kForever;
  Tick best = 0, from = r.windows.front().from, to = from;  // windows that touch count as one
  for (const Window& w : r.windows) {
    from = w.from == to ? from : w.from;
    to = w.to;
    best = std::max(best, to - from);
  }
  (void)profile;
  return best;
}

// Why activity i has no place in the empty calendar from `from` on.
std::string no_place(const Problem& p, int i, Tick from) {
  const Model& m = *p.model;
  const Activity& a = m.activities[at(i)];
  const std::string who = label(m, i);
  const auto ticks = [](Tick t) { return std::to_string(t) + " ticks"; };
  for (const Demand& d : p.hands_on[at(i)]) {
    const Resource& r = m.resources[at(d.resource)];
    if (r.capacity < d.amount) {
      return who + " needs " + std::to_string(d.amount) + " of '" + r.name + "', there are " +
             std::to_string(r.capacity);
    }
    const Tick w = widest(p.empty[at(d.resource)], r, d.amount);
    if (w < a.duration) {
      return who + " takes " + ticks(a.duration) + ", the longest window of '" + r.name + "' has " + ticks(w) +
             "; split it";
    }
  }
  for (const Demand& d : p.resting[at(i)]) {
    const Resource& r = m.resources[at(d.resource)];
    const Tick need = a.duration + lowest(a.tail);
    const Tick w = widest(p.empty[at(d.resource)], r, d.amount);
    if (w < need) {
      return who + " holds '" + r.name + "' for at least " + ticks(need) + ", its longest window has " + ticks(w);
    }
  }
  for (const PoolDemand& d : a.pool_demands) {
    const Pool& pool = m.pools[at(d.pool)];
    if (static_cast<int>(pool.members.size()) < d.members) {
      return who + " needs " + std::to_string(d.members) + " of pool '" + pool.name + "', which has " +
             std::to_string(pool.members.size()) + (pool.members.empty() ? " members: nobody can do it" : "");
    }
    Tick best = 0;
    int wide = 0;
    for (const int r : pool.members) {
      const Tick w = widest(p.empty[at(r)], m.resources[at(r)], 1);
      best = std::max(best, w);
      wide += w >= a.duration;
    }
    if (wide < d.members) {
      return who + " takes " + ticks(a.duration) + ", longer than any window of " +
             (d.members > 1 ? "enough members of " : "") + "'" + pool.name + "' (the longest has " + ticks(best) +
             "); split it";
    }
  }
  return who + " cannot start before tick " + std::to_string(from) +
         " and from then on no window holds everything it needs at once; add windows or shorten it";
}

// Earliest starts with every activity alone in the calendar: a bound, however many rounds it is cut off after.
std::string spread_calendar(Problem& p) {
  const Model& m = *p.model;
  Builder alone(p);
  std::vector<int> rounds(at(p.size), 0);
  std::vector<char> queued(at(p.size), 1);
  std::deque<int> queue(p.order.begin(), p.order.end());
  const auto raise = [&](int i, Tick t) {
    if (t <= p.earliest[at(i)] || m.activities[at(i)].fixed_start) return;
    p.earliest[at(i)] = t;
    if (!queued[at(i)] && rounds[at(i)] < 100) {
      queued[at(i)] = 1;
      queue.push_back(i);
    }
  };
  while (!queue.empty() && !p.cancelled()) {
    const int i = queue.front();
    queue.pop_front();
    queued[at(i)] = 0;
    ++rounds[at(i)];
    const Activity& a = m.activities[at(i)];
    if (!a.fixed_start) {
      const Tick t = alone.fit(i, p.earliest[at(i)], a.duration);
      if (t >= kForever) return no_place(p, i, p.earliest[at(i)]);
      p.earliest[at(i)] = t;
    }
    const Tick end = p.earliest[at(i)] + a.duration;
    for (const int k : p.out[at(i)]) {
      const Precedence& q = m.precedences[at(k)];
      const Tick t = a.fixed_start ? plus(end, q.min_lag(end)) : earliest_through(q.min_lag, end);
      if (t >= kForever) return label(m, q.to) + " waits for ever after " + label(m, i);
      const auto& fixed = m.activities[at(q.to)].fixed_start;
      if (fixed && t > *fixed) {
        return label(m, q.to) + " is pinned at tick " + std::to_string(*fixed) + ", but after " + label(m, i) +
               " it cannot start before tick " + std::to_string(t);
      }
      raise(q.to, t);
    }
    for (const int k : p.in[at(i)]) {
      const Precedence& q = m.precedences[at(k)];
      if (!p.hard[at(k)] || highest(*q.max_lag) >= kForever / 2) continue;
      const Tick t = p.earliest[at(i)] - highest(*q.max_lag) - longest_duration(p, q.from);
      const auto& fixed = m.activities[at(q.from)].fixed_start;
      if (fixed && t > *fixed) {
        return label(m, i) + " cannot start before tick " + std::to_string(p.earliest[at(i)]) +
               ", too long after the pinned " + label(m, q.from);
      }
      raise(q.from, t);
    }
  }
  return {};
}

void fill_tails(Problem& p) {
  const Model& m = *p.model;
  p.tail.assign(at(p.size), 0);
  for (auto i = p.order.rbegin(); i != p.order.rend(); ++i) {
    const Activity& a = m.activities[at(*i)];
    Tick t = a.duration + p.least_tail[at(*i)];
    for (const int k : p.out[at(*i)]) {
      const Precedence& q = m.precedences[at(k)];
      if (p.ordered[at(k)] && q.from != q.to) {
        t = std::max(t, plus(a.duration + p.least_lag[at(k)], p.tail[at(q.to)]));
      }
    }
    p.tail[at(*i)] = t;
  }
}

}  // namespace

std::string prepare(Problem& p) {
  std::string mistake = malformed(*p.model, p.cancel);
  const std::string stopped = "cancelled";
  if (p.cancelled()) return stopped;
  if (!mistake.empty()) return mistake;
  index(p);
  if (p.cancelled()) return stopped;
  if (!sort(p)) {
    // Lags of exactly nothing may run in a ring (start together): they bind both ways but give no order.
    for (std::size_t k = 0; k < p.ordered.size(); ++k) {
      const Precedence& q = p.model->precedences[k];
      const bool soft = q.max_lag && q.late_extra >= 0;
      const Activity& from = p.model->activities[at(q.from)];
      if (constant(q.min_lag) && from.duration + lowest(q.min_lag) == 0 && !soft &&
          (!q.max_lag || constant(*q.max_lag))) {
        p.ordered[k] = 0;
      }
    }
    if (!sort(p)) return "activities wait for each other in a ring: " + ring_text(p, find_ring(p));
  }
  for (const Precedence& q : p.model->precedences) {
    if (q.from == q.to && p.model->activities[at(q.from)].duration + lowest(q.min_lag) > 0) {
      return "activities wait for each other in a ring: " + ring_text(p, {q.from});
    }
  }
  for (int i = 0; i < p.size; ++i) {  // amounts first: they explain more than any window can
    const Activity& a = p.model->activities[at(i)];
    if (a.fixed_start) continue;
    for (const Demand& d : p.hands_on[at(i)]) {
      if (p.model->resources[at(d.resource)].capacity < d.amount) return no_place(p, i, 0);
    }
  }
  mistake = spread_lags(p);
  if (p.cancelled()) return stopped;
  if (mistake.empty()) mistake = spread_calendar(p);
  if (p.cancelled()) return stopped;
  if (mistake.empty()) fill_tails(p);
  return mistake;
}

}  // namespace tackcloth::calendar
