// The independent checker. It shares nothing with the solver but model.h and solve.h: slow, plain, tick by event.
#include <algorithm>
#include <map>
#include <set>
#include <sstream>

#include "calendar/solve.h"

namespace tackcloth::calendar {
namespace {

using Lines = std::vector<std::string>;

Tick value_at(const TimeFunction& f, Tick when) {
  const auto after = std::upper_bound(f.at.begin(), f.at.end(), when) - f.at.begin();
  return f.value.at(after > 0 ? static_cast<std::size_t>(after - 1) : 0);
}

struct Use {
  Tick from, to;
  int amount;
  bool fact;  // of a fixed activity
  int activity;
};

std::string name(const Model& m, int i) {
  const std::string& n = m.activities[static_cast<std::size_t>(i)].name;
  return "activity " + std::to_string(i) + (n.empty() ? "" : " (" + n + ")");
}

bool in_windows(const Resource& r, Tick from, Tick to) {
  if (r.windows.empty() || from >= to) return true;
  Tick covered = from;
  for (const Window& w : r.windows) {
    if (w.from <= covered && w.to > covered) covered = w.to;
  }
  return covered >= to;
}

template <class... Parts>
void tell(Lines& lines, const Parts&... parts) {
  std::ostringstream text;
  (text << ... << parts);
  lines.push_back(text.str());
}

// Expected duration: late_extra of every soft maximum lag that `i` starts after.
std::vector<Tick> expected_durations(const Model& m, const Solution& s) {
  std::vector<Tick> d;
  for (const Activity& a : m.activities) d.push_back(a.duration);
  for (const Precedence& p : m.precedences) {
    const auto f = static_cast<std::size_t>(p.from), t = static_cast<std::size_t>(p.to);
    if (!p.max_lag || p.late_extra < 0 || m.activities[t].fixed_start) continue;
    const Tick end = s.start[f] + s.duration[f];
    if (s.start[t] > end + value_at(*p.max_lag, end)) d[t] += p.late_extra;
  }
  return d;
}

void check_times(const Model& m, const Solution& s, Lines& lines) {
  const std::vector<Tick> expected = expected_durations(m, s);
  for (std::size_t i = 0; i < m.activities.size(); ++i) {
    const Activity& a = m.activities[i];
    const std::string who = name(m, static_cast<int>(i));
    if (s.duration[i] != expected[i]) tell(lines, who, " lasts ", s.duration[i], ", not ", expected[i]);
    if (a.fixed_start) {
      if (s.start[i] != *a.fixed_start) tell(lines, who, " starts at ", s.start[i], ", not at ", *a.fixed_start);
      continue;
    }
    if (s.start[i] < std::max<Tick>(0, a.release)) tell(lines, who, " starts at ", s.start[i], " before its release");
  }
  for (const Precedence& p : m.precedences) {
    const auto f = static_cast<std::size_t>(p.from), t = static_cast<std::size_t>(p.to);
    if (m.activities[f].fixed_start && m.activities[t].fixed_start) continue;
    const Tick end = s.start[f] + s.duration[f];
    if (s.start[t] < end + value_at(p.min_lag, end)) {
      tell(lines, name(m, p.to), " starts at ", s.start[t], ", before ", end + value_at(p.min_lag, end), " after ",
           name(m, p.from));
    }
    if (p.max_lag && p.late_extra < 0 && s.start[t] > end + value_at(*p.max_lag, end)) {
      tell(lines, name(m, p.to), " starts at ", s.start[t], ", later than ", end + value_at(*p.max_lag, end),
           " allowed after ", name(m, p.from));
    }
  }
}

void check_members(const Model& m, const Solution& s, std::vector<std::vector<Use>>& uses, Lines& lines) {
  for (std::size_t i = 0; i < m.activities.size(); ++i) {
    const Activity& a = m.activities[i];
    const std::string who = name(m, static_cast<int>(i));
    std::size_t k = 0;
    std::set<int> seen;
    for (const PoolDemand& d : a.pool_demands) {
      const auto& pool = m.pools[static_cast<std::size_t>(d.pool)].members;
      for (int c = 0; c < d.members; ++c, ++k) {
        if (k >= s.members[i].size()) break;
        const int r = s.members[i][k];
        if (std::find(pool.begin(), pool.end(), r) == pool.end()) {
          tell(lines, who, " takes resource ", r, ", which is not in pool ", d.pool);
          continue;
        }
        if (!seen.insert(r).second) tell(lines, who, " takes member ", r, " twice");
        uses[static_cast<std::size_t>(r)].push_back(
            {s.start[i], s.start[i] + s.duration[i], 1, a.fixed_start.has_value(), static_cast<int>(i)});
      }
    }
    std::size_t wanted = 0;
    for (const PoolDemand& d : a.pool_demands) wanted += static_cast<std::size_t>(d.members);
    // A fact may lack people: whoever is known to have been there is booked.
    if (s.members[i].size() != wanted && !(a.fixed_start && s.members[i].size() < wanted)) {
      tell(lines, who, " has ", s.members[i].size(), " members, not ", wanted);
    }
  }
}

void check_resources(const Model& m, const Solution& s, std::vector<std::vector<Use>>& uses, Lines& lines) {
  for (std::size_t i = 0; i < m.activities.size(); ++i) {
    const Activity& a = m.activities[i];
    const Tick end = s.start[i] + s.duration[i];
    const bool fact = a.fixed_start.has_value();
    for (const Demand& d : a.demands) {
      uses[static_cast<std::size_t>(d.resource)].push_back({s.start[i], end, d.amount, fact, static_cast<int>(i)});
    }
    for (const Demand& d : a.tail_demands) {
      uses[static_cast<std::size_t>(d.resource)].push_back(
          {s.start[i], end + value_at(a.tail, end), d.amount, fact, static_cast<int>(i)});
    }
  }
  for (std::size_t r = 0; r < m.resources.size(); ++r) {
    struct Event {
      Tick when;
      int amount, planned;
    };
    std::vector<Event> events;
    for (const Use& u : uses[r]) {
      if (u.from >= u.to || u.amount == 0) continue;
      if (!u.fact && !in_windows(m.resources[r], u.from, u.to)) {
        tell(lines, name(m, u.activity), " uses '", m.resources[r].name, "' on [", u.from, ", ", u.to,
             ") outside its windows");
      }
      events.push_back({u.from, u.amount, u.fact ? 0 : 1});
      events.push_back({u.to, -u.amount, u.fact ? 0 : -1});
    }
    std::sort(events.begin(), events.end(), [](const Event& a, const Event& b) { return a.when < b.when; });
    long long used = 0, planned = 0;
    for (std::size_t k = 0; k < events.size(); ++k) {
      used += events[k].amount;
      planned += events[k].planned;
      const bool last = k + 1 == events.size() || events[k + 1].when != events[k].when;
      if (last && planned > 0 && used > m.resources[r].capacity) {
        tell(lines, "'", m.resources[r].name, "' is used ", used, " times at tick ", events[k].when, ", capacity ",
             m.resources[r].capacity);
        break;
      }
    }
  }
}

void check_cost(const Model& m, const Solution& s, Lines& lines) {
  Cost c;
  std::vector<Tick> ready;
  for (std::size_t i = 0; i < m.activities.size(); ++i) {
    const Tick end = s.start[i] + s.duration[i];
    ready.push_back(end + value_at(m.activities[i].tail, end));
    c.finish = std::max(c.finish, ready.back());
    if (!m.previous_start.empty() && m.previous_start[i] >= 0 && m.previous_start[i] != s.start[i]) ++c.moved;
  }
  for (const Promise& p : m.promises) {
    const Tick late = ready[static_cast<std::size_t>(p.activity)] - p.due;
    if (late > 0) c.lateness += p.weight * late;
  }
  // An activity opens a visit unless another of its group, started no later, is still going on or just ends.
  std::map<int, std::vector<std::size_t>> groups;
  for (std::size_t i = 0; i < m.activities.size(); ++i) {
    if (m.activities[i].visit_group >= 0 && s.duration[i] > 0) groups[m.activities[i].visit_group].push_back(i);
  }
  for (const auto& [id, group] : groups) {
    for (const std::size_t i : group) {
      c.visits += std::none_of(group.begin(), group.end(), [&](std::size_t j) {
        const bool earlier = s.start[j] < s.start[i] || (s.start[j] == s.start[i] && j < i);
        return j != i && earlier && s.start[j] + s.duration[j] >= s.start[i];
      });
    }
  }
  const auto compare = [&](const char* what, std::int64_t said, std::int64_t is) {
    if (said != is) tell(lines, "cost says ", what, " ", said, ", it is ", is);
  };
  compare("lateness", s.cost.lateness, c.lateness);
  compare("finish", s.cost.finish, c.finish);
  compare("visits", s.cost.visits, c.visits);
  compare("moved", s.cost.moved, c.moved);
}

}  // namespace

std::vector<std::string> violations(const Model& m, const Solution& s) {
  Lines lines;
  const std::size_t n = m.activities.size();
  if (s.start.size() != n || s.duration.size() != n || s.members.size() != n) {
    tell(lines, "the solution has ", s.start.size(), " starts, ", s.duration.size(), " durations and ",
         s.members.size(), " member lists for ", n, " activities");
    return lines;
  }
  std::vector<std::vector<Use>> uses(m.resources.size());
  check_times(m, s, lines);
  check_members(m, s, uses, lines);
  check_resources(m, s, uses, lines);
  check_cost(m, s, lines);
  return lines;
}

}  // namespace tackcloth::calendar
