#include "calendar/proof_cumulative.h"

#include <algorithm>

#include "calendar/at.h"

namespace tackcloth::calendar::proof {
namespace {

// A blocked stretch longer than this many lengths of a task is passed in one step with a wider explanation.
constexpr int kStrides = 8;

bool present(const Engine& e, const Task& t) { return t.presence == kAlways || e.is_true(t.presence); }
int latest_start(const Engine& e, const Task& t) { return e.high(t.start); }
int earliest_end(const Engine& e, const Task& t) { return t.end >= 0 ? e.low(t.end) : e.low(t.start) + t.length; }

}  // namespace

std::vector<std::pair<int, int>> changes_of(const std::vector<Standing>& standing, int capacity) {
  std::vector<std::pair<int, int>> events, changes;
  for (const Standing& s : standing) {
    if (s.from >= s.to || s.usage <= 0) continue;
    events.emplace_back(s.from, s.usage);
    events.emplace_back(s.to, -s.usage);
  }
  std::sort(events.begin(), events.end());
  int height = 0, before = 0;
  for (std::size_t k = 0; k < events.size(); ++k) {
    height += events[k].second;
    if (k + 1 < events.size() && events[k + 1].first == events[k].first) continue;
    const int now = std::min(height, capacity);
    if (now != before) changes.emplace_back(events[k].first, now - before);
    before = now;
  }
  return changes;
}

Cumulative::Cumulative(std::vector<Task> tasks, int capacity, const std::vector<Standing>& standing)
    : tasks_(std::move(tasks)), capacity_(capacity), always_(changes_of(standing, capacity)) {
  int height = 0;
  standing_.push_back({-kFar, 0});
  for (const auto& [from, change] : always_) standing_.push_back({from, height += change});
  for (int i = 0; i < static_cast<int>(tasks_.size()); ++i) {
    const Task& t = tasks_[at(i)];
    task_of_.emplace_back(2 * t.start, i);
    task_of_.emplace_back(2 * t.start + 1, i);
    if (t.end >= 0) task_of_.emplace_back(2 * t.end + 1, i);
    if (t.presence != kAlways) task_of_.emplace_back(t.presence.bound ^ 1, i);
  }
  std::sort(task_of_.begin(), task_of_.end());
}

void Cumulative::add(Engine& engine, std::vector<Task> tasks, int capacity, const std::vector<Standing>& standing) {
  std::erase_if(tasks, [](const Task& t) { return t.usage == 0 || (t.end < 0 && t.length == 0); });
  if (tasks.empty()) return;
  std::vector<int> bounds;
  for (const Task& t : tasks) {
    bounds.push_back(2 * t.start);
    bounds.push_back(2 * t.start + 1);
    if (t.end >= 0) bounds.push_back(2 * t.end);
    if (t.end >= 0) bounds.push_back(2 * t.end + 1);
    if (t.presence != kAlways) bounds.push_back(t.presence.bound);
  }
  std::sort(bounds.begin(), bounds.end());
  bounds.erase(std::unique(bounds.begin(), bounds.end()), bounds.end());
  engine.add_propagator(std::make_unique<Cumulative>(std::move(tasks), capacity, standing), bounds);
}

bool Cumulative::raise_timetable(Engine& e) {
  events_.clear();
  steps_.clear();
  highest_ = 0;
  for (const Task& t : tasks_) {
    if (!present(e, t)) continue;
    const int from = latest_start(e, t), to = earliest_end(e, t);
    if (from >= to) continue;
    events_.emplace_back(from, t.usage);
    events_.emplace_back(to, -t.usage);
  }
  std::sort(events_.begin(), events_.end());
  if (!always_.empty()) {
    const auto own = static_cast<std::ptrdiff_t>(events_.size());
    events_.insert(events_.end(), always_.begin(), always_.end());
    std::inplace_merge(events_.begin(), events_.begin() + own, events_.end());
  }
  int height = 0;
  for (std::size_t k = 0; k < events_.size(); ++k) {
    height += events_[k].second;
    if (k + 1 < events_.size() && events_[k + 1].first == events_[k].first) continue;
    steps_.push_back({events_[k].first, height});
    highest_ = std::max(highest_, height);
  }
  if (highest_ <= capacity_) return true;
  std::size_t worst = 0;
  for (std::size_t k = 0; k < steps_.size(); ++k) {
    if (steps_[k].height > steps_[worst].height) worst = k;
  }
  const int when = (steps_[worst].from + steps_[worst + 1].from - 1) / 2;
  std::vector<Literal> reasons;
  causes(e, -1, when, when + 1, capacity_, std::numeric_limits<int>::max(), reasons);
  return e.fail(std::move(reasons));
}

int Cumulative::standing(int from, int to) const {
  auto k = std::upper_bound(standing_.begin(), standing_.end(), from, [](int w, const Step& s) { return w < s.from; });
  int least = std::prev(k)->height;
  for (; k != standing_.end() && k->from < to; ++k) least = std::min(least, k->height);
  return least;
}

// Pushes task i out of moments where it finds no room.
bool Cumulative::check(Engine& e, int id, int i) {
  const Task& t = tasks_[at(i)];
  if (t.presence != kAlways && e.is_false(t.presence)) return true;
  if (highest_ + t.usage <= capacity_) return true;
  const bool here = present(e, t);
  if (here && e.fixed(t.start) && (t.end < 0 || e.fixed(t.end))) return true;  // the timetable itself judges it
  const int own_from = here ? latest_start(e, t) : 0, own_to = here ? earliest_end(e, t) : 0;
  const auto blocked = [&](std::size_t k) {
    if (steps_[k].height + t.usage <= capacity_) return false;
    return !(here && steps_[k].from >= own_from && steps_[k].from < own_to);  // not by itself
  };
  const auto asked = [&](int when) { return Reason{Reason::asked, id, when}; };
  if (!here) {  // where it must run if it is there at all
    const int from = latest_start(e, t), to = earliest_end(e, t);
    if (from >= to) return true;
    for (std::size_t k = 0; k + 1 < steps_.size(); ++k) {
      if (steps_[k + 1].from <= from || steps_[k].from >= to || !blocked(k)) continue;
      return e.set(negated(t.presence), asked(std::max(from, steps_[k].from)));
    }
    return true;
  }
  const auto find = [&](int when) {  // the step that holds `when` or the first after it
    auto k = std::upper_bound(steps_.begin(), steps_.end(), when, [](int w, const Step& s) { return w < s.from; });
    return static_cast<std::size_t>(k - steps_.begin()) - (k != steps_.begin() ? 1 : 0);
  };
  for (std::size_t k = find(e.low(t.start)); k + 1 < steps_.size();) {
    const int from = steps_[k].from, to = steps_[k + 1].from;
    const int begin = e.low(t.start), end = t.end >= 0 ? std::max(e.low(t.end), begin) : begin + t.length;
    if (from >= end || end <= begin) break;
    if (to <= begin || !blocked(k)) {
      ++k;
      continue;
    }
    if (t.end < 0 && to - begin > kStrides * t.length) {
      const int first = std::max(begin, from);
      std::vector<Literal> reasons{at_least(t.start, first + 1 - t.length)};
      if (t.presence != kAlways) reasons.push_back(t.presence);
      causes(e, i, first, to, capacity_ - t.usage, std::numeric_limits<int>::max(), reasons);
      if (!e.set(at_least(t.start, to), reasons)) return false;
      continue;
    }
    const int when = std::min(to, end) - 1;
    if (!e.set(at_least(t.start, when + 1), asked(when))) return false;
  }
  const auto last_end = [&] { return t.end >= 0 ? e.high(t.end) : e.high(t.start) + t.length; };
  for (std::size_t k = find(last_end() - 1) + 1; k-- > 0;) {
    if (k + 1 >= steps_.size()) continue;
    const int from = steps_[k].from, to = steps_[k + 1].from;
    if (to <= e.high(t.start)) break;
    while (blocked(k) && from < last_end() && to > e.high(t.start)) {
      const int last = e.high(t.start);
      if (t.end < 0 && last + t.length - from > kStrides * t.length) {
        const int until = std::min(to, last + t.length);
        std::vector<Literal> reasons{at_most(t.start, until - 1)};
        if (t.presence != kAlways) reasons.push_back(t.presence);
        causes(e, i, from, until, capacity_ - t.usage, std::numeric_limits<int>::max(), reasons);
        if (!e.set(at_most(t.start, from - t.length), reasons)) return false;
        continue;
      }
      const int when = std::max(last, from);
      const Literal l = t.end >= 0 ? at_most(t.end, when) : at_most(t.start, when - t.length);
      if (!e.set(l, asked(when))) return false;
      if (t.end >= 0) return true;  // its start follows through the function between them
    }
  }
  return true;
}

bool Cumulative::propagate(Engine& e, int id) {
  if (!raise_timetable(e)) return false;
  if (steps_.empty()) return true;
  for (int i = 0; i < static_cast<int>(tasks_.size()); ++i) {
    if (!check(e, id, i)) return false;
  }
  return true;
}

void Cumulative::causes(const Engine& e, int but, int from, int to, int room, int position, std::vector<Literal>& out) {
  found_.clear();
  int sum = standing(from, to);
  for (int i = 0; i < static_cast<int>(tasks_.size()); ++i) {
    const Task& t = tasks_[at(i)];
    if (i == but) continue;
    const Literal a = begun(t, from), b = running(t, to - 1);
    if (e.before(a.bound, position) < a.value || e.before(b.bound, position) < b.value) continue;
    if (t.presence != kAlways && e.before(t.presence.bound, position) < t.presence.value) continue;
    found_.push_back({i, t.usage});
    sum += t.usage;
  }
  // Leave out what is not needed, the small ones first: fewer reasons say more.
  std::sort(found_.begin(), found_.end(),
            [](const Cause& x, const Cause& y) { return x.usage != y.usage ? x.usage < y.usage : x.task < y.task; });
  for (const Cause& c : found_) {
    if (sum - c.usage > room) {
      sum -= c.usage;
      continue;
    }
    const Task& t = tasks_[at(c.task)];
    out.push_back(begun(t, from));
    out.push_back(running(t, to - 1));
    if (t.presence != kAlways) out.push_back(t.presence);
  }
}

void Cumulative::explain(const Engine& e, Literal l, int when, int position, std::vector<Literal>& out) {
  const auto found = std::lower_bound(task_of_.begin(), task_of_.end(), std::pair{l.bound, -1});
  const int i = found->second;
  const Task& t = tasks_[at(i)];
  const bool lower = l.bound == 2 * t.start;
  const bool upper = l.bound == 2 * t.start + 1 || (t.end >= 0 && l.bound == 2 * t.end + 1);
  if (!lower) out.push_back(begun(t, when));
  if (!upper) out.push_back(running(t, when));
  if ((lower || upper) && t.presence != kAlways) out.push_back(t.presence);
  causes(e, i, when, when + 1, capacity_ - t.usage, position, out);
}

}  // namespace tackcloth::calendar::proof
