// Resources, windows and people of the encoding. A pool whose members are alike and serve nothing else is a plain
// capacity: work of fixed length on it can always be given out afterwards (intervals are coloured with as many colours
// as overlap). Otherwise each possible member of each demand is a 0/1 variable.
#include <algorithm>

#include "calendar/at.h"
#include "calendar/builder.h"
#include "calendar/proof_encoder.h"
#include "calendar/proof_energy.h"
#include "calendar/ticks.h"

namespace tackcloth::calendar::proof {
namespace {

constexpr int kMostTeams = 200;  // sets of members that cannot all stay away

using Stretches = std::vector<Closed::Stretch>;

int small(Tick t) { return static_cast<int>(std::clamp<Tick>(t, -kFar, kFar)); }

std::vector<Window> joined(const Resource& r) {
  std::vector<Window> out;
  for (const Window& w : r.windows) {
    if (w.from >= w.to) continue;
    if (!out.empty() && out.back().to >= w.from) {
      out.back().to = std::max(out.back().to, w.to);
    } else {
      out.push_back(w);
    }
  }
  return out;
}

// Starts at which fewer than `members` of `resources` have one window for all of [start, start + length).
Stretches closed_to(const Model& m, const std::vector<int>& resources, int members, Tick length) {
  std::vector<std::pair<Tick, int>> change;
  for (const int r : resources) {
    const Resource& x = m.resources[at(r)];
    if (x.windows.empty() || length == 0) {
      change.emplace_back(-kFar, 1);
      continue;
    }
    for (const Window& w : joined(x)) {
      if (w.to - w.from < length) continue;
      change.emplace_back(std::max<Tick>(w.from, -kFar), 1);
      change.emplace_back(std::max<Tick>(w.to - length + 1, -kFar), -1);
    }
  }
  std::sort(change.begin(), change.end());
  Stretches out;
  int open = 0;
  Tick since = -kFar;  // of the closed stretch at hand
  for (std::size_t k = 0; k < change.size();) {
    const Tick when = change[k].first;
    const int before = open;
    for (; k < change.size() && change[k].first == when; ++k) open += change[k].second;
    if (before < members && open >= members && when > since) out.push_back({small(since), small(when)});
    if (before >= members && open < members) since = when;
  }
  if (open < members) out.push_back({small(since), kFar + 1});
  return out;
}

}  // namespace

Tick Encoder::longest(int i) const {
  return m_.activities[at(i)].duration + (rigid(i) ? 0 : longer_[at(i)].values.back());
}

// A resource's constraint tells its tasks apart by their variables.
void Encoder::add_task(int r, Task t) {
  const auto same = [&](const Task& o) { return o.start == t.start || (t.end >= 0 && o.end == t.end); };
  if (std::any_of(tasks_[at(r)].begin(), tasks_[at(r)].end(), same)) {
    const auto copy = [&](int x) {
      const int y = e_.engine->add_variable(e_.engine->low(x), e_.engine->high(x));
      e_.engine->add_arc(x, y, 0);
      e_.engine->add_arc(y, x, 0);
      return y;
    };
    t.start = copy(t.start);
    if (t.end >= 0) t.end = copy(t.end);
  }
  tasks_[at(r)].push_back(t);
}

Task Encoder::work(int i, int usage, Literal presence) const {
  const Moment end = e_.end[at(i)];
  return {e_.start[at(i)], rigid(i) ? -1 : end.variable, small(m_.activities[at(i)].duration), usage, presence};
}

// `members` of `resources` have a window for all of activity i, however long it takes.
// Many activities ask for the same people as long.
std::shared_ptr<const Stretches> Encoder::closed(const std::vector<int>& resources, int members, Tick length) {
  auto& known = closed_[{resources, members, length}];
  if (!known) known = std::make_shared<const Stretches>(closed_to(m_, resources, members, length));
  return known;
}

// `members` of `resources` have a window for all of activity i, however long it takes.
void Encoder::keep_open(int i, const std::vector<int>& resources, int members, std::vector<Literal> conditions) {
  const Tick d = m_.activities[at(i)].duration;
  Closed::add(*e_.engine, e_.start[at(i)], closed(resources, members, d), conditions);
  conditions.emplace_back();
  for (const int more : longer_[at(i)].values) {
    conditions.back() = at_least(longer_[at(i)].by, more);
    Closed::add(*e_.engine, e_.start[at(i)], closed(resources, members, d + more), conditions);
  }
}

bool Encoder::uniform(int q) const {
  const std::vector<int>& members = m_.pools[at(q)].members;
  const auto alike = [&](int r) {
    const auto a = joined(m_.resources[at(r)]), b = joined(m_.resources[at(members.front())]);
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [](const Window& x, const Window& y) { return x.from == y.from && x.to == y.to; });
  };
  if (members.empty() || !std::all_of(members.begin(), members.end(), alike)) return false;
  const auto inside = [&](int r) { return std::find(members.begin(), members.end(), r) != members.end(); };
  for (int other = 0; other < static_cast<int>(m_.pools.size()); ++other) {
    const std::vector<int>& o = m_.pools[at(other)].members;
    if (other != q && std::any_of(o.begin(), o.end(), inside)) return false;
  }
  for (int i = 0; i < p_.size; ++i) {
    const Activity& a = m_.activities[at(i)];
    for (const Demand& d : p_.hands_on[at(i)]) {
      if (inside(d.resource)) return false;
    }
    if (!a.fixed_start) continue;
    for (const PoolDemand& d : a.pool_demands) {
      if (d.pool == q) return false;
    }
  }
  return true;
}

bool Encoder::hands_on(int i) {
  const Activity& a = m_.activities[at(i)];
  for (const Demand& d : p_.booked[at(i)]) {
    keep_open(i, {d.resource}, 1, {});
    if (longest(i) > 0) add_task(d.resource, work(i, d.amount, kAlways));
  }
  if (a.duration == 0 && (!p_.booked[at(i)].empty() || !a.pool_demands.empty())) e_.exact = false;
  for (int k = 0; k < static_cast<int>(a.pool_demands.size()); ++k) {
    if (!team(i, k)) return false;
  }
  return true;
}

bool Encoder::resting(int i) {
  for (const Demand& d : p_.resting[at(i)]) {
    const Moment clear = e_.clear[at(i)];
    Task t{e_.start[at(i)], -1, 0, d.amount, kAlways};
    if (clear.variable == t.start) {
      t.length = clear.plus;
    } else {
      t.end = as_variable(clear).variable;
    }
    if (!m_.resources[at(d.resource)].windows.empty()) {
      if (t.end >= 0) return false;
      Closed::add(*e_.engine, t.start, closed({d.resource}, 1, t.length), {});
    }
    add_task(d.resource, t);
  }
  return true;
}

bool Encoder::team(int i, int k) {
  const Activity& a = m_.activities[at(i)];
  const PoolDemand& d = a.pool_demands[at(k)];
  if (d.members == 0) return true;
  const std::vector<int>& members = p_.ranked[at(d.pool)];
  const auto size = static_cast<int>(members.size());
  keep_open(i, members, d.members, {});
  if (uniform_[at(d.pool)]) {
    Task t = work(i, d.members, kAlways);
    for (const Task& o : pool_tasks_[at(d.pool)]) {
      if (o.start == t.start) return false;  // asks one pool twice
    }
    if (longest(i) > 0) pool_tasks_[at(d.pool)].push_back(t);
    return true;
  }
  std::vector<Literal> taken;
  // The most wanted elsewhere first: what is open in the end stays away in this order.
  for (auto r = members.rbegin(); r != members.rend(); ++r) {
    Literal here = kAlways;
    int variable = -1;
    if (d.members < size) {
      variable = e_.engine->add_variable(0, 1);
      here = at_least(variable, 1);
      taken.push_back(here);
    }
    e_.seats.push_back({i, k, *r, variable});
    if (longest(i) > 0) add_task(*r, work(i, 1, here));
    if (d.members == 1 && size == 1) continue;  // kept open above
    std::vector<Literal> conditions;
    if (variable >= 0) conditions.push_back(here);
    keep_open(i, {*r}, 1, std::move(conditions));
  }
  if (taken.empty()) return true;
  // Of any size - members + 1 of them at least one comes.
  const auto group = static_cast<std::size_t>(size - d.members + 1);
  std::vector<char> choose(taken.size(), 0);
  std::fill(choose.begin(), choose.begin() + static_cast<std::ptrdiff_t>(group), 1);
  int teams = 0;
  do {
    if (++teams > kMostTeams) return false;
    std::vector<Literal> clause;
    for (std::size_t m = 0; m < taken.size(); ++m) {
      if (choose[m]) clause.push_back(taken[m]);
    }
    e_.engine->add_clause(std::move(clause));
  } while (std::prev_permutation(choose.begin(), choose.end()));
  return true;
}

// What a pool's people can do together; implied by the members' own constraints, but seen before members are chosen.
void Encoder::pool(int q) {
  const std::vector<int>& members = m_.pools[at(q)].members;
  if (members.size() < 2) return;
  const auto inside = [&](int r) { return std::find(members.begin(), members.end(), r) != members.end(); };
  std::vector<Task> tasks;
  for (int i = 0; i < p_.size; ++i) {
    const Activity& a = m_.activities[at(i)];
    if (a.fixed_start || longest(i) == 0) continue;
    int wanted = 0;
    for (const PoolDemand& d : a.pool_demands) {
      const std::vector<int>& other = m_.pools[at(d.pool)].members;
      if (std::all_of(other.begin(), other.end(), inside)) wanted += d.members;
    }
    if (wanted > 0) tasks.push_back(work(i, wanted, kAlways));
  }
  std::vector<Standing> standing;
  for (const int r : members) {  // away or held by a fact: once, not twice
    std::vector<std::pair<int, int>> away;
    for (const Standing& s : standing_[at(r)]) away.emplace_back(s.from, s.to);
    if (!m_.resources[at(r)].windows.empty()) {
      int from = -kFar;
      for (const Window& w : joined(m_.resources[at(r)])) {
        away.emplace_back(from, small(w.from));
        from = small(w.to);
      }
      away.emplace_back(from, kFar);
    }
    std::sort(away.begin(), away.end());
    int until = -kFar;
    for (const auto& [from, to] : away) {
      if (to > std::max(from, until)) standing.push_back({std::max(from, until), to, 1});
      until = std::max(until, to);
    }
  }
  share(std::move(tasks), static_cast<int>(members.size()), standing);
}

// What decides, and what sees further.
void Encoder::share(std::vector<Task> tasks, int capacity, const std::vector<Standing>& standing) {
  if (edge_finding_) Energy::add(*e_.engine, tasks, capacity, standing);
  Cumulative::add(*e_.engine, std::move(tasks), capacity, standing);
}

void Encoder::facts() {
  e_.fact_members.resize(at(p_.size));
  const bool any = std::any_of(m_.activities.begin(), m_.activities.end(),
                               [](const Activity& a) { return a.fixed_start.has_value(); });
  if (!any) return;
  const auto chosen = Builder(p_).fixed_members();
  for (int i = 0; i < p_.size; ++i) {
    const Activity& a = m_.activities[at(i)];
    if (!a.fixed_start) continue;
    e_.fact_members[at(i)] = chosen[at(i)];
    const Tick from = *a.fixed_start, end = from + a.duration;
    for (const Demand& d : p_.booked[at(i)]) standing_[at(d.resource)].push_back({small(from), small(end), d.amount});
    for (const Demand& d : p_.resting[at(i)]) {
      standing_[at(d.resource)].push_back({small(from), small(end + a.tail(end)), d.amount});
    }
    for (const int r : chosen[at(i)]) standing_[at(r)].push_back({small(from), small(end), 1});
    for (const PoolDemand& d : a.pool_demands) {
      if (d.members < static_cast<int>(m_.pools[at(d.pool)].members.size())) e_.exact = false;
    }
  }
}

bool Encoder::places() {
  tasks_.resize(m_.resources.size());
  standing_.resize(m_.resources.size());
  pool_tasks_.resize(m_.pools.size());
  for (int q = 0; q < static_cast<int>(m_.pools.size()); ++q) uniform_.push_back(uniform(q));
  e_.uniform = uniform_;
  facts();
  if (p_.cancelled()) return false;  // facts may be missing
  for (int i = 0; i < p_.size; ++i) {
    if (m_.activities[at(i)].fixed_start) continue;
    if (!hands_on(i) || !resting(i)) return false;
  }
  for (int r = 0; r < static_cast<int>(m_.resources.size()); ++r) {
    share(tasks_[at(r)], m_.resources[at(r)].capacity, standing_[at(r)]);
  }
  for (int q = 0; q < static_cast<int>(m_.pools.size()); ++q) {
    if (uniform_[at(q)]) {
      share(pool_tasks_[at(q)], static_cast<int>(m_.pools[at(q)].members.size()), {});
    } else {
      pool(q);
    }
  }
  return true;
}

Solution plan_of(const Problem& p, const Encoding& e) {
  const Model& m = *p.model;
  Solution s;
  s.members.resize(at(p.size));
  std::vector<std::vector<std::vector<int>>> seated(at(p.size));  // by activity and demand
  for (int i = 0; i < p.size; ++i) {
    const Moment end = e.end[at(i)];
    s.start.push_back(e.engine->low(e.start[at(i)]));
    s.duration.push_back(e.engine->low(end.variable) + end.plus - s.start.back());
    seated[at(i)].resize(m.activities[at(i)].pool_demands.size());
  }
  for (const Encoding::Seat& seat : e.seats) {
    auto& row = seated[at(seat.activity)][at(seat.demand)];
    const bool enough =
        static_cast<int>(row.size()) == m.activities[at(seat.activity)].pool_demands[at(seat.demand)].members;
    if (!enough && (seat.taken < 0 || e.engine->low(seat.taken) == 1)) row.push_back(seat.member);
  }
  // Members that are alike: whoever is free, in order of time.
  std::vector<int> order(at(p.size));
  for (int i = 0; i < p.size; ++i) order[at(i)] = i;
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return s.start[at(a)] < s.start[at(b)]; });
  std::vector<Tick> until(m.resources.size(), -kForever);
  for (const int i : order) {
    const Activity& a = m.activities[at(i)];
    for (std::size_t k = 0; k < a.pool_demands.size(); ++k) {
      auto& row = seated[at(i)][k];
      if (e.uniform[at(a.pool_demands[k].pool)]) {
        for (const int r : p.ranked[at(a.pool_demands[k].pool)]) {
          if (static_cast<int>(row.size()) == a.pool_demands[k].members) break;
          if (until[at(r)] > s.start[at(i)]) continue;
          row.push_back(r);
          until[at(r)] = s.start[at(i)] + s.duration[at(i)];
        }
      }
      s.members[at(i)].insert(s.members[at(i)].end(), row.begin(), row.end());
    }
    if (a.fixed_start) s.members[at(i)] = e.fact_members[at(i)];
  }
  return s;
}

}  // namespace tackcloth::calendar::proof
