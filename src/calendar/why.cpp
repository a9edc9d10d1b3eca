// Why an activity stands where it stands: the constraint that forbids one tick earlier, then the same for what caused
// it.
#include <algorithm>

#include "calendar/at.h"
#include "calendar/solve.h"
#include "calendar/ticks.h"

namespace tackcloth::calendar {
namespace {

class Tracer {
 public:
  Tracer(const Model& m, const Solution& s) : m_(m), s_(s) {}

  std::vector<Reason> trace(int index) const {
    std::vector<Reason> chain;
    std::vector<char> seen(m_.activities.size(), 0);
    for (int i = index; i >= 0 && !seen[at(i)];) {
      seen[at(i)] = 1;
      chain.push_back(one(i, seen));
      i = chain.back().other;
    }
    return chain;
  }

 private:
  Tick end(int i) const { return s_.start[at(i)] + s_.duration[at(i)]; }
  Tick clear(int i) const { return plus(end(i), m_.activities[at(i)].tail(end(i))); }

  Reason one(int i, const std::vector<char>& seen) const {
    const Activity& a = m_.activities[at(i)];
    Reason r;
    r.activity = i;
    r.ticks = s_.start[at(i)];
    if (a.fixed_start) return with(r, Because::pinned);
    if (s_.start[at(i)] <= 0) return with(r, Because::origin);
    for (const Precedence& p : m_.precedences) {
      if (p.to != i) continue;
      const Tick lag = p.min_lag(end(p.from));
      if (plus(end(p.from), lag) >= s_.start[at(i)]) {
        r.ticks = lag;
        return with(r, Because::lag, p.from);
      }
    }
    if (s_.start[at(i)] <= a.release) return with(r, Because::release);
    if (by_resource(i, r) || by_crew(i, r)) return r;
    for (const Precedence& p : m_.precedences) {
      if (p.from != i || !p.max_lag || p.late_extra >= 0 || seen[at(p.to)]) continue;
      if (plus(end(i) - 1, (*p.max_lag)(end(i) - 1)) < s_.start[at(p.to)]) return with(r, Because::reach, p.to);
    }
    return with(r, Because::kept_back);
  }

  static Reason with(Reason r, Because because, int other = -1) {
    r.because = because;
    r.other = other;
    return r;
  }

  static bool covered(const Resource& x, Tick from, Tick to) {
    if (x.windows.empty() || from >= to) return true;
    Tick until = from;
    for (const Window& w : x.windows) {
      if (w.from <= until && w.to > until) until = w.to;
    }
    return until >= to;
  }

  // How much of resource x activity k holds at `when`, members included.
  int held(int k, int x, Tick when) const {
    const Activity& a = m_.activities[at(k)];
    int sum = 0;
    if (when < s_.start[at(k)]) return 0;
    if (when < end(k)) {
      for (const Demand& d : a.demands) sum += d.resource == x ? d.amount : 0;
      for (const int r : s_.members[at(k)]) sum += r == x;
    }
    if (when < clear(k)) {
      for (const Demand& d : a.tail_demands) sum += d.resource == x ? d.amount : 0;
    }
    return sum;
  }

  // Would `amount` of x be too much somewhere in [from, to) besides everything but i? Names the holder that clears
  // last.
  bool crowded(int i, int x, Tick from, Tick to, int amount, int& holder) const {
    std::vector<Tick> events{from};
    std::vector<int> users;
    for (int k = 0; k < static_cast<int>(m_.activities.size()); ++k) {
      if (k == i || clear(k) <= from || s_.start[at(k)] >= to) continue;
      users.push_back(k);
      if (s_.start[at(k)] > from) events.push_back(s_.start[at(k)]);
    }
    for (const Tick e : events) {
      int sum = amount, last = -1;
      for (const int k : users) {
        const int h = held(k, x, e);
        sum += h;
        if (h > 0 && (last < 0 || end(k) < end(last))) last = k;
      }
      if (sum > m_.resources[at(x)].capacity && last >= 0) {
        holder = last;
        return true;
      }
    }
    return false;
  }

  bool by_resource(int i, Reason& r) const {
    const Activity& a = m_.activities[at(i)];
    const Tick from = s_.start[at(i)] - 1, to = from + s_.duration[at(i)];
    const Tick rest = plus(to, a.tail(to));
    for (const auto* list : {&a.demands, &a.tail_demands}) {
      for (const Demand& d : *list) {
        const Tick until = list == &a.demands ? to : rest;
        r.resource = d.resource;
        if (!covered(m_.resources[at(d.resource)], from, until)) {
          r = with(r, Because::window);
          return true;
        }
        int amount = 0;
        for (const auto* every : {&a.demands, &a.tail_demands}) {
          for (const Demand& e : *every) amount += e.resource == d.resource ? e.amount : 0;
        }
        int holder = -1;
        if (crowded(i, d.resource, from, until, amount, holder)) {
          r = with(r, Because::busy, holder);
          return true;
        }
      }
    }
    r.resource = -1;
    return false;
  }

  bool by_crew(int i, Reason& r) const {
    const Tick from = s_.start[at(i)] - 1, to = from + s_.duration[at(i)];
    for (const PoolDemand& d : m_.activities[at(i)].pool_demands) {
      int free = 0, blocker = -1, member = -1;
      for (const int x : m_.pools[at(d.pool)].members) {
        int holder = -1;
        const bool off = !covered(m_.resources[at(x)], from, to);
        if (!off && !crowded(i, x, from, to, 1, holder)) {
          ++free;
        } else if (member < 0 || (blocker < 0 && holder >= 0)) {
          member = x;
          blocker = off ? -1 : holder;
        }
      }
      if (free < d.members) {
        r.pool = d.pool;
        r.resource = member;
        r = with(r, Because::crew, blocker);
        return true;
      }
    }
    return false;
  }

  const Model& m_;
  const Solution& s_;
};

std::string named(const Model& m, int i) {
  const std::string& n = m.activities[at(i)].name;
  return n.empty() ? "activity " + std::to_string(i) : "'" + n + "'";
}

}  // namespace

std::vector<Reason> reasons(const Model& model, const Solution& solution, int index) {
  const std::size_t n = model.activities.size();
  if (index < 0 || at(index) >= n || solution.start.size() != n || solution.members.size() != n) return {};
  return Tracer(model, solution).trace(index);
}

std::vector<std::string> why(const Model& model, const Solution& solution, int index) {
  std::vector<std::string> lines;
  for (const Reason& r : reasons(model, solution, index)) {
    const std::string who = named(model, r.activity);
    const std::string other = r.other >= 0 ? named(model, r.other) : "";
    const auto resource = [&] { return "'" + model.resources[at(r.resource)].name + "'"; };
    switch (r.because) {
      case Because::origin:
        lines.push_back(who + " starts when the plan starts");
        break;
      case Because::pinned:
        lines.push_back(who + " is pinned at tick " + std::to_string(r.ticks));
        break;
      case Because::release:
        lines.push_back(who + " may not start before tick " + std::to_string(r.ticks));
        break;
      case Because::lag:
        lines.push_back(who + " waits for " + other +
                        (r.ticks > 0 ? " and " + std::to_string(r.ticks) + " ticks after its end" : ""));
        break;
      case Because::reach:
        lines.push_back(who + " waits so that " + other + " can follow in time");
        break;
      case Because::window:
        lines.push_back(who + " waits for a window of " + resource());
        break;
      case Because::busy:
        lines.push_back(who + " waits for " + resource() + ", held by " + other);
        break;
      case Because::crew:
        lines.push_back(who + " waits for '" + model.pools[at(r.pool)].name + "'" +
                        (r.other >= 0 ? ", busy with " + other : ", outside working hours"));
        break;
      case Because::kept_back:
        lines.push_back(who + " could start earlier by itself; it stands here for the sake of the whole plan");
        break;
    }
  }
  return lines;
}

}  // namespace tackcloth::calendar
