#include "calendar/proof_energy.h"

#include <algorithm>
#include <limits>

#include "calendar/at.h"

namespace tackcloth::calendar::proof {
namespace {

constexpr int kNow = std::numeric_limits<int>::max();

// Beyond this many loose tasks a look at every pair of moments costs more than it can give.
constexpr std::size_t kMostFree = 200;
// Calls in vain before the rest doubles, and the longest rest in calls.
constexpr int kVain = 8;
constexpr int kLongestRest = 64;

// Time that [start, start + length) spends in [begin, end).
int overlap(int start, int length, int begin, int end) {
  return std::max(0, std::min(start + length, end) - std::max(start, begin));
}

}  // namespace

Energy::Energy(std::vector<Task> tasks, int capacity, const std::vector<Standing>& standing)
    : tasks_(std::move(tasks)), capacity_(capacity), always_(changes_of(standing, capacity)) {
  std::int64_t sum = 0;
  int height = 0;
  for (const auto& [from, change] : always_) {
    if (!standing_.empty()) sum += std::int64_t{height} * (from - standing_.back().from);
    height += change;
    standing_.push_back({from, sum, height});
  }
  for (int i = 0; i < static_cast<int>(tasks_.size()); ++i) {
    task_of_.emplace_back(2 * tasks_[at(i)].start, i);
    task_of_.emplace_back(2 * tasks_[at(i)].start + 1, i);
  }
  std::sort(task_of_.begin(), task_of_.end());
}

void Energy::add(Engine& engine, std::vector<Task> tasks, int capacity, const std::vector<Standing>& standing,
                 bool adaptive) {
  std::erase_if(tasks, [](const Task& t) { return t.usage == 0 || (t.end < 0 && t.length == 0); });
  const auto rigid = [](const Task& t) { return t.end < 0; };
  if (std::count_if(tasks.begin(), tasks.end(), rigid) < 3) return;  // what two do to each other the timetable sees
  std::vector<int> bounds;
  for (const Task& t : tasks) {
    bounds.push_back(2 * t.start);
    bounds.push_back(2 * t.start + 1);
    if (t.presence != kAlways) bounds.push_back(t.presence.bound);
  }
  std::sort(bounds.begin(), bounds.end());
  bounds.erase(std::unique(bounds.begin(), bounds.end()), bounds.end());
  auto energy = std::make_unique<Energy>(std::move(tasks), capacity, standing);
  energy->adaptive_ = adaptive;
  engine.add_propagator(std::move(energy), bounds, Priority::late);
}

namespace {

// Energy of a profile of steps before `until`.
template <class Steps>
std::int64_t energy_before(const Steps& steps, int until) {
  const auto k = std::upper_bound(steps.begin(), steps.end(), until, [](int w, const auto& s) { return w < s.from; });
  if (k == steps.begin()) return 0;
  const auto& s = *std::prev(k);
  return s.before + std::int64_t{s.height} * (until - s.from);
}

}  // namespace

std::int64_t Energy::timetable(int until) const { return energy_before(steps_, until); }

// The timetable and the tasks that still move; false when there is nothing to gain.
bool Energy::gather(const Engine& e) {
  events_.clear();
  steps_.clear();
  free_.clear();
  for (int i = 0; i < static_cast<int>(tasks_.size()); ++i) {
    const Task& t = tasks_[at(i)];
    if (t.presence != kAlways && !e.is_true(t.presence)) continue;
    const int low = e.low(t.start), high = e.high(t.start);
    const int end = t.end >= 0 ? e.low(t.end) : low + t.length;
    if (high < end) {
      events_.emplace_back(high, t.usage);
      events_.emplace_back(end, -t.usage);
    }
    if (t.end < 0 && low < high) {
      free_.push_back({i, low, high, end, high + t.length, t.length, t.usage, t.length - std::max(0, end - high)});
    }
  }
  if (free_.size() < 2 || free_.size() > kMostFree) return false;
  std::sort(events_.begin(), events_.end());
  if (!always_.empty()) {
    const auto own = static_cast<std::ptrdiff_t>(events_.size());
    events_.insert(events_.end(), always_.begin(), always_.end());
    std::inplace_merge(events_.begin(), events_.begin() + own, events_.end());
  }
  std::int64_t sum = 0;
  int height = 0, last = 0;
  for (const auto& [from, change] : events_) {
    sum += std::int64_t{height} * (from - last);
    height += change;
    last = from;
    if (!steps_.empty() && steps_.back().from == from) {
      steps_.back().height = height;
    } else {
      steps_.push_back({from, sum, height});
    }
  }
  return true;
}

// Every pair of an earliest start and a latest end. For the mirrored pass time runs backwards: what is called a start
// is the end with its sign turned.
bool Energy::pass(Engine& e, int id, bool mirrored) {
  const std::size_t n = free_.size();
  if (mirrored) {
    for (Free& f : free_) {
      const Free o = f;
      f.earliest_start = -o.latest_end;
      f.latest_end = -o.earliest_start;
      f.latest_start = -o.earliest_end;
      f.earliest_end = -o.latest_start;
    }
  }
  by_start_.resize(n);
  for (std::size_t k = 0; k < n; ++k) by_start_[k] = k;
  by_end_ = by_start_;
  std::sort(by_start_.begin(), by_start_.end(), [&](std::size_t a, std::size_t b) {
    return free_[a].earliest_start != free_[b].earliest_start ? free_[a].earliest_start > free_[b].earliest_start
                                                              : a < b;
  });
  std::sort(by_end_.begin(), by_end_.end(), [&](std::size_t a, std::size_t b) {
    return free_[a].latest_end != free_[b].latest_end ? free_[a].latest_end > free_[b].latest_end : a < b;
  });
  const auto done = [&](int moment) { return mirrored ? -timetable(-moment) : timetable(moment); };
  at_start_.resize(n);
  for (std::size_t k = 0; k < n; ++k) at_start_[k] = done(free_[by_start_[k]].earliest_start);
  for (std::size_t y = 0; y < n; ++y) {
    const int end = free_[by_end_[y]].latest_end;
    if (y > 0 && free_[by_end_[y - 1]].latest_end == end) continue;
    const std::int64_t until = done(end);
    std::int64_t loose = 0, most = 0;
    const Free* candidate = nullptr;
    for (std::size_t x = 0; x < n; ++x) {
      const Free& f = free_[by_start_[x]];
      const int begin = f.earliest_start;
      if (begin >= end) continue;
      if (f.latest_end <= end) {
        loose += std::int64_t{f.usage} * f.loose;
      } else {
        const int least = std::max(0, end - f.latest_start);  // if it starts as late as it can
        const int booked = std::max(0, std::min(f.earliest_end, end) - f.latest_start);
        loose += std::int64_t{f.usage} * (least - booked);
        const std::int64_t more = std::int64_t{f.usage} * (std::min(f.earliest_end, end) - begin - least);
        if (more > most) {
          most = more;
          candidate = &f;
        }
      }
      const std::int64_t room = std::int64_t{capacity_} * (end - begin) - (until - at_start_[x]) - loose;
      if (room < 0) {
        paid_ = true;
        const int from = mirrored ? -end : begin, to = mirrored ? -begin : end;
        std::vector<Literal> reasons;
        causes(e, -1, from, to, std::int64_t{capacity_} * (end - begin) + 1, kNow, reasons);
        return e.fail(std::move(reasons));
      }
      if (!candidate || room >= most) continue;
      // If it starts at its earliest there is too much: it may do no more than `fits` ticks before `end`.
      const Free& c = *candidate;
      const std::int64_t fits = room / c.usage + std::max(0, end - c.latest_start);
      if (!push(e, id, c, mirrored, begin, end, end - static_cast<int>(fits))) return false;
    }
  }
  return true;
}

// Task f starts at `bound` or later (in the direction of the pass).
bool Energy::push(Engine& e, int id, const Free& f, bool mirrored, int begin, int end, int bound) {
  const int start = tasks_[at(f.task)].start;
  // One beyond the domain is a dead end already, for a weaker reason.
  const Literal l = mirrored ? at_most(start, std::max(-bound - f.length, e.low(start) - 1))
                             : at_least(start, std::min(bound, e.high(start) + 1));
  if (e.is_true(l)) return true;
  paid_ = true;
  const int note = mirrored ? e.note(-end, -begin) : e.note(begin, end);
  return e.set(l, Reason{Reason::asked, id, note});
}

bool Energy::propagate(Engine& e, int id) {
  if (adaptive_ && ++waited_ <= rest_) return true;
  waited_ = 0;
  if (!gather(e)) return true;
  paid_ = false;
  const bool fine = pass(e, id, false) && pass(e, id, true);
  if (paid_) {
    vain_ = 0;
    rest_ /= 2;
  } else if (++vain_ >= kVain) {
    vain_ = 0;
    rest_ = std::min(2 * rest_ + 1, kLongestRest);
  }
  return fine;
}

// What makes t run in the window for to - from ticks.
std::array<Literal, 2> Energy::premises(const Task& t, int from, int to, int begin, int end) const {
  if (t.end >= 0) return {at_most(t.start, from), at_least(t.end, to)};
  return {at_least(t.start, begin + (to - from) - t.length), at_most(t.start, end - (to - from))};
}

// Tasks other than `but` that, by their bounds at `position`, use `needed` of [begin, end) together with what stands.
void Energy::causes(const Engine& e, int but, int begin, int end, std::int64_t needed, int position,
                    std::vector<Literal>& out) {
  found_.clear();
  std::int64_t spare = energy_before(standing_, end) - energy_before(standing_, begin) - needed;
  for (int i = 0; i < static_cast<int>(tasks_.size()); ++i) {
    const Task& t = tasks_[at(i)];
    if (i == but) continue;
    if (t.presence != kAlways && e.before(t.presence.bound, position) < t.presence.value) continue;
    const int low = e.before(2 * t.start, position), high = -e.before(2 * t.start + 1, position);
    int from = begin, to = begin;
    if (t.end >= 0) {
      from = std::max(begin, high);
      to = std::min(end, e.before(2 * t.end, position));
    } else {
      to += std::min(overlap(low, t.length, begin, end), overlap(high, t.length, begin, end));
    }
    if (to <= from) continue;
    const auto [a, b] = premises(t, from, to, begin, end);
    const bool at_root =
        e.holds_at_root(a) && e.holds_at_root(b) && (t.presence == kAlways || e.holds_at_root(t.presence));
    found_.push_back({i, from, to, std::int64_t{t.usage} * (to - from), at_root});
    spare += found_.back().energy;
  }
  // What holds anyway costs nothing. Of the rest the small ones are left out first: fewer reasons say more.
  std::sort(found_.begin(), found_.end(), [](const Cause& x, const Cause& y) {
    return x.energy != y.energy ? x.energy < y.energy : x.task < y.task;
  });
  for (Cause& c : found_) {
    if (c.at_root || c.energy > spare) continue;
    spare -= c.energy;
    c.energy = 0;
  }
  for (const Cause& c : found_) {
    if (c.at_root || c.energy == 0) continue;
    const Task& t = tasks_[at(c.task)];
    const int less = static_cast<int>(std::min<std::int64_t>(spare / t.usage, c.to - c.from - 1));
    spare -= std::int64_t{less} * t.usage;
    const auto [a, b] = premises(t, c.from, c.to - less, begin, end);
    out.push_back(a);
    out.push_back(b);
    if (t.presence != kAlways) out.push_back(t.presence);
  }
}

void Energy::explain(const Engine& e, Literal l, int note, int position, std::vector<Literal>& out) {
  const auto [begin, end] = e.noted(note);
  const auto found = std::lower_bound(task_of_.begin(), task_of_.end(), std::pair{l.bound, -1});
  const Task& t = tasks_[at(found->second)];
  // Anywhere between its bound and one short of `l` it would do at least `done` ticks inside.
  const bool lower = l.bound == 2 * t.start;
  const int bound = e.before(l.bound, position);
  const int from = lower ? bound : 1 - l.value, to = lower ? l.value - 1 : -bound;
  const int done = std::min(overlap(from, t.length, begin, end), overlap(to, t.length, begin, end));
  out.push_back(lower ? at_least(t.start, begin + done - t.length) : at_most(t.start, end - done));
  if (t.presence != kAlways) out.push_back(t.presence);
  causes(e, found->second, begin, end, std::int64_t{capacity_} * (end - begin) - std::int64_t{t.usage} * done + 1,
         position, out);
}

}  // namespace tackcloth::calendar::proof
