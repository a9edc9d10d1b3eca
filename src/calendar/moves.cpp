#include "calendar/moves.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <queue>

#include "calendar/at.h"
#include "calendar/ticks.h"

namespace tackcloth::calendar {
namespace {

constexpr double kFar = std::numeric_limits<double>::max() / 4;

}  // namespace

Moves::Moves(const Problem& problem, Tick finish)
    : p_(problem), finish_(finish), slack_start_(at(problem.size), kFar), before_(at(problem.size)) {
  const Model& m = *p_.model;
  for (int i = 0; i < p_.size; ++i) {
    for (const int s : p_.next[at(i)]) before_[at(s)].push_back(i);
  }
  for (const Promise& q : m.promises) {
    const Activity& a = m.activities[at(q.activity)];
    const double latest = static_cast<double>(q.due - a.duration - p_.least_tail[at(q.activity)]);
    slack_start_[at(q.activity)] = std::min(slack_start_[at(q.activity)], latest);
  }
  for (auto i = p_.order.rbegin(); i != p_.order.rend(); ++i) {
    for (const int k : p_.out[at(*i)]) {
      const Precedence& q = m.precedences[at(k)];
      if (!p_.ordered[at(k)] || slack_start_[at(q.to)] >= kFar) continue;
      const double latest =
          slack_start_[at(q.to)] - static_cast<double>(m.activities[at(*i)].duration + p_.least_lag[at(k)]);
      slack_start_[at(*i)] = std::min(slack_start_[at(*i)], latest);
    }
  }
  std::map<int, std::vector<int>> groups;
  for (int i = 0; i < p_.size; ++i) {
    const Activity& a = m.activities[at(i)];
    const bool together =
        std::any_of(a.pool_demands.begin(), a.pool_demands.end(), [](auto& d) { return d.members > 1; });
    if (together && !a.fixed_start) together_.push_back(i);
    if (a.visit_group >= 0 && a.duration > 0) groups[a.visit_group].push_back(i);
  }
  for (auto& [id, members] : groups) {
    if (members.size() > 1) groups_.push_back(std::move(members));
  }
}

std::vector<int> Moves::by_key(const std::vector<double>& key) const {
  using Entry = std::pair<double, int>;
  std::vector<int> waiting(at(p_.size), 0), list;
  list.reserve(at(p_.size));
  std::priority_queue<Entry, std::vector<Entry>, std::greater<>> ready;
  for (int i = 0; i < p_.size; ++i) {
    waiting[at(i)] = static_cast<int>(before_[at(i)].size());
    if (waiting[at(i)] == 0) ready.emplace(key[at(i)], i);
  }
  while (!ready.empty()) {
    const int i = ready.top().second;
    ready.pop();
    list.push_back(i);
    for (const int s : p_.next[at(i)]) {
      if (--waiting[at(s)] == 0) ready.emplace(key[at(s)], s);
    }
  }
  return list;
}

// Latest starts when, besides every promise, all is to be over at `finish`: where promises are far apart the work of
// the later ones is otherwise left lying, and the end comes when the last promise says.
std::vector<double> Moves::slack_with(double finish) const {
  std::vector<double> slack = slack_start_;
  for (int i = 0; i < p_.size; ++i) slack[at(i)] = std::min(slack[at(i)], finish - static_cast<double>(p_.tail[at(i)]));
  return slack;
}

// Latest starts when work for two or more at once is spread over the time when so many are there. That time is lost
// when whoever comes first takes it for work that one can do: a due date far away does not show that. At every moment
// the most urgent of what can be ready then gets its share (Jackson's rule with heads). `ahead` and `behind`: how many
// ticks of the calendar a tick of work is taken to last on the way there, and to a due date. Empty when there is no
// such work.
std::vector<double> Moves::paced(const std::vector<double>& slack, double ahead, double behind) const {
  const Model& m = *p_.model;
  if (together_.empty()) return {};
  std::map<std::pair<int, int>, std::vector<int>> teams;
  for (const int i : together_) {
    for (const PoolDemand& d : m.activities[at(i)].pool_demands) {
      if (d.members > 1) teams[{d.pool, d.members}].push_back(i);
    }
  }
  std::vector<double> key = slack, before(at(p_.size), 0);
  for (const int i : p_.order) {
    for (const int b : before_[at(i)]) {
      before[at(i)] = std::max(before[at(i)], before[at(b)] + static_cast<double>(m.activities[at(b)].duration));
    }
  }
  for (auto& [team, work] : teams) {
    const auto head = [&](int i) { return static_cast<double>(p_.earliest[at(i)]) + ahead * before[at(i)]; };
    std::stable_sort(work.begin(), work.end(), [&](int a, int b) { return head(a) < head(b); });
    std::vector<std::pair<Tick, int>> changes;
    for (const int r : m.pools[at(team.first)].members) {
      if (m.resources[at(r)].windows.empty()) changes.emplace_back(0, 1);
      for (const Window& w : m.resources[at(r)].windows) {
        changes.emplace_back(w.from, 1);
        changes.emplace_back(w.to, -1);
      }
    }
    std::sort(changes.begin(), changes.end());
    int there = 0;
    Tick used = 0;
    std::size_t next = 0;
    using Urgent = std::pair<double, int>;
    std::priority_queue<Urgent, std::vector<Urgent>, std::greater<>> ready;
    for (std::size_t c = 0; c < changes.size() && (next < work.size() || !ready.empty()); ++c) {
      there += changes[c].second;
      if (there < team.second) continue;
      const Tick to = c + 1 < changes.size() ? changes[c + 1].first : kForever;
      used = std::max(used, changes[c].first);
      while (used < to) {
        while (next < work.size() && (ready.empty() || head(work[next]) <= static_cast<double>(used))) {
          ready.emplace(slack[at(work[next])], work[next]);
          ++next;
        }
        if (ready.empty()) break;
        const int i = ready.top().second;
        ready.pop();
        key[at(i)] = std::min(key[at(i)], static_cast<double>(used));
        used += std::max<Tick>(1, m.activities[at(i)].duration);
      }
    }
  }
  for (auto i = p_.order.rbegin(); i != p_.order.rend(); ++i) {
    for (const int k : p_.out[at(*i)]) {
      const Precedence& q = m.precedences[at(k)];
      if (!p_.ordered[at(k)] || key[at(q.to)] >= kFar) continue;
      const double lead =
          behind * static_cast<double>(m.activities[at(*i)].duration) + static_cast<double>(p_.least_lag[at(k)]);
      key[at(*i)] = std::min(key[at(*i)], key[at(q.to)] - lead);
    }
  }
  return key;
}

// Mean of (start / finish)^12 over the work that needs two or more, else over all: the later half hardly counts below
// 0.7, the last tenth counts most. The power was chosen on the workshop models of calendar_bench.
double Moves::lead(const std::vector<Tick>& start, Tick finish) const {
  const double scale = 1.0 / static_cast<double>(std::max<Tick>(1, finish));
  const auto reach = [&](int i) {
    const double x = static_cast<double>(start[at(i)]) * scale, x2 = x * x, x4 = x2 * x2;
    return x4 * x4 * x4;
  };
  double sum = 0;
  if (!together_.empty()) {
    for (const int i : together_) sum += reach(i);
    return sum / static_cast<double>(together_.size());
  }
  for (int i = 0; i < p_.size; ++i) sum += reach(i);
  return sum / static_cast<double>(std::max(1, p_.size));
}

// Priority rules (Kolisch 1996 compares them): latest start by due date, latest start by longest tail, earliest start,
// earliest due date, most followers, shortest work; and the previous plan's order when replanning.
std::vector<Candidate> Moves::first() const {
  const Model& m = *p_.model;
  std::vector<Candidate> out;
  std::vector<double> key(at(p_.size));
  const auto add = [&](auto&& rule) {
    for (int i = 0; i < p_.size; ++i) key[at(i)] = rule(i);
    Candidate c;
    c.list = by_key(key);
    out.push_back(std::move(c));
  };
  const auto tail = [&](int i) { return -static_cast<double>(p_.tail[at(i)]); };
  const auto early = [&](int i) { return static_cast<double>(p_.earliest[at(i)]); };
  const auto due = [&](int i) { return slack_start_[at(i)]; };
  if (!m.previous_start.empty()) {
    const auto before = [&](int i) {
      return m.previous_start[at(i)] >= 0 ? static_cast<double>(m.previous_start[at(i)]) : early(i);
    };
    add(before);
    Candidate held = out.back();
    held.not_before = m.previous_start;
    out.push_back(std::move(held));
  }
  if (!m.promises.empty()) add([&](int i) { return due(i) >= kFar ? kFar / 2 + tail(i) : due(i); });
  add(tail);
  add([&](int i) { return early(i) + tail(i); });
  add(early);
  if (!m.promises.empty()) add([&](int i) { return due(i) >= kFar ? kFar / 2 : due(i) - tail(i) + 0.001 * early(i); });
  std::vector<double> followers(at(p_.size), 0);
  for (auto i = p_.order.rbegin(); i != p_.order.rend(); ++i) {
    for (const int s : p_.next[at(*i)]) followers[at(*i)] += 1 + followers[at(s)];
  }
  add([&](int i) { return -followers[at(i)]; });
  add([&](int i) { return static_cast<double>(m.activities[at(i)].duration); });
  add([&](int i) { return early(i) + 0.5 * tail(i); });
  if (!m.promises.empty() && finish_ > 0) {
    for (const double later : {1.0, 1.2, 1.4}) {
      const std::vector<double> slack = slack_with(later * static_cast<double>(finish_));
      add([&](int i) { return slack[at(i)]; });
      for (const double behind : {1.0, 10.0}) {
        const std::vector<double> pace = paced(slack, 0.0, behind);
        if (!pace.empty()) add([&](int i) { return pace[at(i)]; });
      }
    }
  }
  for (const double ahead : {0.0, 10.0, 160.0}) {
    for (const double behind : {10.0, 40.0}) {
      const std::vector<double> pace = paced(slack_start_, ahead, behind);
      if (!pace.empty()) add([&](int i) { return pace[at(i)] >= kFar ? kFar / 2 + tail(i) : pace[at(i)]; });
    }
  }
  return out;
}

Candidate Moves::scatter(Random& random) const {
  std::vector<double> key(at(p_.size));
  const bool by_due = !p_.model->promises.empty() && random.below(2) == 0;
  double span = 1;
  for (const Tick t : p_.tail) span = std::max(span, static_cast<double>(t));
  for (int i = 0; i < p_.size; ++i) {
    const double base =
        by_due && slack_start_[at(i)] < kFar ? slack_start_[at(i)] : -static_cast<double>(p_.tail[at(i)]);
    key[at(i)] = base + random.unit() * span * 0.5;
  }
  Candidate c;
  c.list = by_key(key);
  return c;
}

// One activity and everything it waits for moves to the front of its time.
void Moves::pull_forward(std::vector<double>& key, const Candidate& parent, Random& random,
                         const std::vector<Wanted>& wanted) const {
  const Model& m = *p_.model;
  std::vector<int> late;
  const auto ask = [&](int i, Tick due) {
    const Activity& a = m.activities[at(i)];
    const Tick end = parent.start[at(i)] + a.duration;
    if (end + a.tail(end) > due) late.push_back(i);
  };
  if (wanted.empty()) {
    for (const Promise& q : m.promises) ask(q.activity, q.due);
  } else if (random.below(3) != 0) {
    for (const Wanted& w : wanted) ask(w.activity, w.due);
  }
  int target = static_cast<int>(random.below(at(p_.size)));
  if (!late.empty() && random.below(4) != 0) {
    target = late[random.below(late.size())];
  } else if (late.empty() && !together_.empty() && random.below(2) == 0) {  // the later of two of the scarcest kind
    const int a = together_[random.below(together_.size())], b = together_[random.below(together_.size())];
    target = parent.start[at(a)] > parent.start[at(b)] ? a : b;
  } else if (random.below(3) == 0) {  // whatever ends last
    for (int i = 0; i < p_.size; ++i) {
      const auto end = [&](int k) { return parent.start[at(k)] + m.activities[at(k)].duration; };
      if (end(i) > end(target)) target = i;
    }
  }
  // Small steps and large ones alike (log-uniform): most of a good plan should stay.
  const double shift = std::exp2(-10 * random.unit()) * (static_cast<double>(parent.start[at(target)]) + 1);
  // Sometimes only the last part of what leads there: what comes before is early enough.
  const Tick since = wanted.empty() || random.below(2) == 0
                         ? 0
                         : static_cast<Tick>(random.unit() * static_cast<double>(parent.start[at(target)]));
  std::vector<int> stack{target};
  std::vector<char> seen(at(p_.size), 0);
  while (!stack.empty()) {
    const int i = stack.back();
    stack.pop_back();
    if (seen[at(i)]) continue;
    seen[at(i)] = 1;
    key[at(i)] -= shift;
    for (const int b : before_[at(i)]) {
      if (parent.start[at(b)] >= since) stack.push_back(b);
    }
  }
}

// Holds one activity back to a later moment, or lets one go.
bool Moves::hold(Candidate& child, const Candidate& parent, Random& random) const {
  const Model& m = *p_.model;
  if (child.not_before.empty()) child.not_before.assign(at(p_.size), 0);
  std::vector<int> held;
  for (int i = 0; i < p_.size; ++i) {
    if (child.not_before[at(i)] > 0) held.push_back(i);
  }
  if (!held.empty() && random.below(2) == 0) {
    child.not_before[at(held[random.below(held.size())])] = 0;
    return true;
  }
  const int i = static_cast<int>(random.below(at(p_.size)));
  const Activity& a = m.activities[at(i)];
  const Tick now = parent.start[at(i)];
  if (!m.previous_start.empty() && m.previous_start[at(i)] > now) {
    child.not_before[at(i)] = m.previous_start[at(i)];
    return true;
  }
  std::vector<Tick> ends{next_change(a.tail, now + a.duration)};
  for (const int k : p_.out[at(i)]) {
    ends.push_back(next_change(m.precedences[at(k)].min_lag, now + a.duration));
    if (m.precedences[at(k)].max_lag) ends.push_back(next_change(*m.precedences[at(k)].max_lag, now + a.duration));
  }
  const Tick end = ends[random.below(ends.size())];
  child.not_before[at(i)] =
      end < kForever
          ? end - a.duration
          : now + 1 + static_cast<Tick>(random.below(at(1 + static_cast<int>(std::min<Tick>(a.duration, 1 << 20)))));
  return true;
}

// Moves an activity against the next one of its visit group, so that both count as one visit.
bool Moves::glue(Candidate& child, const Candidate& parent, Random& random) const {
  if (groups_.empty()) return false;
  std::vector<int> group = groups_[random.below(groups_.size())];
  std::sort(group.begin(), group.end(), [&](int a, int b) { return parent.start[at(a)] < parent.start[at(b)]; });
  if (child.not_before.empty()) child.not_before.assign(at(p_.size), 0);
  const std::size_t k = random.below(group.size() - 1);
  const Tick duration = p_.model->activities[at(group[k])].duration;
  child.not_before[at(group[k])] = std::max<Tick>(0, parent.start[at(group[k + 1])] - duration);
  return true;
}

Candidate Moves::vary(const Candidate& parent, Random& random, const std::vector<Wanted>& wanted) const {
  Candidate child;
  child.not_before = parent.not_before;
  std::vector<double> key(parent.start.begin(), parent.start.end());
  Tick last = 1;
  for (const Tick s : parent.start) last = std::max(last, s);
  const double span = static_cast<double>(last);
  // Towards wanted ends neither single moments nor visits matter.
  switch (random.below(wanted.empty() ? 8 : 6)) {
    case 0:
    case 1: {  // reorder what lies in one stretch of time
      const double width = span * 0.35 * std::exp2(-6 * random.unit()), from = random.unit() * span - width / 2;
      for (double& k : key) {
        if (k >= from && k < from + width) k = from + random.unit() * width;
      }
      break;
    }
    case 2:
    case 3:
      for (std::size_t times = 1 + random.below(together_.empty() ? 1 : 3); times > 0; --times) {
        pull_forward(key, parent, random, wanted);
      }
      break;
    case 4: {  // jitter everything, or another pace
      if (random.below(2) == 0) {
        const double ahead = random.below(2) == 0 ? 0.0 : std::exp2(1 + 8 * random.unit()),
                     behind = std::exp2(7 * random.unit());
        // The end of the parent or earlier, as near to the bound as chance has it.
        const double finish = static_cast<double>(finish_) +
                              random.unit() * static_cast<double>(std::max<Tick>(0, parent.cost.finish - finish_));
        const bool all_by_then = finish_ > 0 && random.below(3) != 0;
        const std::vector<double> slack = all_by_then ? slack_with(finish) : slack_start_;
        std::vector<double> pace = paced(slack, ahead, behind);
        if (pace.empty() && all_by_then) pace = slack;
        if (!pace.empty()) {
          const double wide = 0.05 * span * random.unit();
          for (int i = 0; i < p_.size; ++i) {
            if (pace[at(i)] >= kFar) pace[at(i)] = kFar / 2 - static_cast<double>(p_.tail[at(i)]);
            key[at(i)] = pace[at(i)] + wide * random.unit();
          }
          child.not_before.clear();
          break;
        }
      }
      const double width = span * 0.1 * std::exp2(-8 * random.unit());
      for (double& k : key) k += random.unit() * width;
      break;
    }
    case 5: {  // by latest start in this schedule: what has no slack goes first
      const Model& m = *p_.model;
      for (auto i = p_.order.rbegin(); i != p_.order.rend(); ++i) {
        double latest = span - static_cast<double>(p_.tail[at(*i)]) + span;
        for (const int k : p_.out[at(*i)]) {
          const Precedence& q = m.precedences[at(k)];
          if (!p_.ordered[at(k)]) continue;
          latest = std::min(latest,
                            key[at(q.to)] - static_cast<double>(m.activities[at(*i)].duration + p_.least_lag[at(k)]));
        }
        if (latest < 2 * span)
          key[at(*i)] = std::max(key[at(*i)], latest) + 0.02 * span * std::exp2(-8 * random.unit()) * random.unit();
      }
      break;
    }
    case 6:
      hold(child, parent, random);
      break;
    default:
      if (!glue(child, parent, random)) pull_forward(key, parent, random, wanted);
  }
  child.list = by_key(key);
  return child;
}

}  // namespace tackcloth::calendar
