#include "plan/pins.h"

#include <algorithm>

#include "calendar/ticks.h"

namespace tackcloth::plan {

using calendar::Activity;
using calendar::Demand;
using calendar::kForever;
using calendar::Model;
using calendar::PoolDemand;
using calendar::Precedence;
using calendar::Resource;
using calendar::Tick;
using calendar::Window;

namespace {

// The most that a promise may weigh (calendar/malformed.cpp): a minute off a pin counts like ten weeks of an ordinary
// promise.
constexpr std::int64_t kPinWeight = 1'000'000;

std::size_t at(int i) { return static_cast<std::size_t>(i); }

// The first start >= from so that the resource is open all the time.
Tick open_from(const Resource& resource, Tick from, Tick duration) {
  if (resource.windows.empty()) return from;
  Tick begin = -1, until = -1;
  for (const Window& w : resource.windows) {
    if (w.from > until) begin = w.from;  // does not touch the one before
    until = w.to;
    if (std::max(begin, from) + duration <= until) return std::max(begin, from);
  }
  return kForever;
}

// As many members at once as the activity wants.
Tick hands_from(const Model& m, const Activity& a, Tick from) {
  Tick t = from;
  for (const PoolDemand& d : a.pool_demands) {
    std::vector<Tick> each;
    for (const int member : m.pools[at(d.pool)].members)
      each.push_back(open_from(m.resources[at(member)], t, a.duration));
    std::sort(each.begin(), each.end());
    if (d.members > static_cast<int>(each.size())) return kForever;
    if (d.members > 0) t = std::max(t, each[at(d.members - 1)]);
  }
  return t;
}

// The first start >= from that the windows allow; what else is going on does not count.
Tick windows_from(const Model& m, const Activity& a, Tick from) {
  Tick t = from;
  while (t < kForever) {
    const Tick before = t;
    for (const Demand& d : a.demands) t = std::max(t, open_from(m.resources[at(d.resource)], t, a.duration));
    if (t < kForever) t = hands_from(m, a, t);
    if (t == before) break;
  }
  return t;
}

// The soonest that all that leads up to an activity lets it start, and which precedence says so.
struct Soonest {
  std::vector<Tick> bound;
  std::vector<int> by;
};

Soonest soonest(const Model& m, const std::vector<ActivityPin>& pins) {
  const std::size_t n = m.activities.size();
  std::vector<std::vector<int>> in(n);
  for (std::size_t k = 0; k < m.precedences.size(); ++k) in[at(m.precedences[k].to)].push_back(static_cast<int>(k));
  std::vector<Tick> start(n, 0);
  std::vector<char> known(n, 0);
  Soonest s{std::vector<Tick>(n, 0), std::vector<int>(n, -1)};
  for (std::size_t i = 0; i < n; ++i) {
    const Activity& a = m.activities[i];
    if (a.fixed_start) {
      s.bound[i] = start[i] = *a.fixed_start;
      known[i] = 1;
      continue;
    }
    Tick t = std::max<Tick>(0, a.release);
    for (const int k : in[i]) {
      const Precedence& p = m.precedences[at(k)];
      const Tick end = start[at(p.from)] + m.activities[at(p.from)].duration;
      const Tick clear =
          known[at(p.from)] ? calendar::plus(end, p.min_lag(end)) : calendar::earliest_through(p.min_lag, end);
      if (clear <= t) continue;
      t = clear;
      s.by[i] = k;
    }
    s.bound[i] = start[i] = windows_from(m, a, t);
    const auto pin = std::find_if(pins.begin(), pins.end(), [&](const ActivityPin& p) { return at(p.activity) == i; });
    if (pin == pins.end()) continue;
    start[i] = pin->at;
    known[i] = 1;
  }
  return s;
}

bool overlap(Tick from, Tick to, Tick other_from, Tick other_to) { return from < other_to && other_from < to; }

}  // namespace

std::optional<PinBar> bar_of(const Model& m, const std::vector<ActivityPin>& kept, const ActivityPin& wish, Tick now,
                             Tick horizon) {
  using Why = PinBar::Why;
  const Activity& a = m.activities[at(wish.activity)];
  std::vector<ActivityPin> with = kept;
  with.push_back(wish);
  const Soonest s = soonest(m, with);
  const Tick bound = s.bound[at(wish.activity)];
  const auto bar = [&](Why why, int other = -1, int resource = -1) {
    const Tick next = windows_from(m, a, std::max({wish.at, now, bound}));
    return PinBar{why, other, resource, -1, next < kForever && next != wish.at ? next : -1};
  };
  if (wish.at < now) return bar(Why::passed);
  if (wish.at + a.duration > horizon) return PinBar{Why::far, -1, -1, -1, -1};
  if (wish.at < a.release) return bar(Why::release);
  if (hands_from(m, a, wish.at) != wish.at) return bar(Why::hands);
  for (const Demand& d : a.demands)
    if (open_from(m.resources[at(d.resource)], wish.at, a.duration) != wish.at) return bar(Why::air, -1, d.resource);
  if (bound > wish.at) {
    // What dries or rests says more than the work between: back to the last wait on the way.
    PinBar waits = bar(Why::waits);
    for (int to = wish.activity; s.by[at(to)] >= 0;) {
      const Precedence& p = m.precedences[at(s.by[at(to)])];
      if (waits.other < 0) waits.other = p.from, waits.waiter = to;
      if (calendar::lowest(p.min_lag) > 0) {
        waits.other = p.from;
        waits.waiter = to;
        break;
      }
      to = p.from;
    }
    return waits;
  }
  for (const ActivityPin& other : kept)
    if (s.bound[at(other.activity)] > other.at) return PinBar{Why::follower, other.activity, -1, -1, -1};
  return {};
}

PinBar bar_in(const Model& m, const calendar::Solution& solution, const std::vector<ActivityPin>& kept,
              const ActivityPin& wish) {
  const Activity& a = m.activities[at(wish.activity)];
  const Tick to = wish.at + a.duration;
  int held = 0, other = -1;
  Tick free = 0;
  for (const ActivityPin& pin : kept) {
    if (pin.activity == wish.activity) continue;
    const Tick end = pin.at + m.activities[at(pin.activity)].duration;
    if (!overlap(wish.at, to, pin.at, end)) continue;
    for (const PoolDemand& d : m.activities[at(pin.activity)].pool_demands) held += d.members;
    if (end <= free) continue;
    other = pin.activity;
    free = end;
  }
  int there = 0, wanted = 0;
  for (const PoolDemand& d : a.pool_demands) {
    wanted += d.members;
    for (const int member : m.pools[at(d.pool)].members)
      there += open_from(m.resources[at(member)], wish.at, a.duration) == wish.at;
  }
  if (other >= 0 && there - held < wanted) {
    const Tick next = windows_from(m, a, free);
    return {PinBar::Why::same_hands, other, -1, -1, next < kForever ? next : -1};
  }
  const Tick start = solution.start[at(wish.activity)];
  return {PinBar::Why::no_plan, -1, -1, -1, start > wish.at ? start : -1};
}

PinBoard::PinBoard(const Model& model, const std::vector<ActivityPin>& in_order, Tick now, Tick horizon)
    : promises_(model.promises.size()) {
  for (const Activity& activity : model.activities) release_.push_back(activity.release);
  for (const ActivityPin& pin : in_order) {
    if (const auto bar = bar_of(model, standing_, pin, now, horizon))
      bars_[pin.activity] = *bar;
    else
      standing_.push_back(pin);
  }
}

void PinBoard::apply(Model& model) const {
  for (std::size_t i = 0; i < release_.size(); ++i) model.activities[i].release = release_[i];
  model.promises.resize(promises_);
  for (const ActivityPin& pin : standing_) {
    Activity& activity = model.activities[at(pin.activity)];
    activity.release = std::max(activity.release, pin.at);
    const Tick end = pin.at + activity.duration;
    model.promises.push_back({pin.activity, calendar::plus(end, activity.tail(end)), kPinWeight});
  }
}

bool PinBoard::keeps(const calendar::Solution& solution) const {
  return std::all_of(standing_.begin(), standing_.end(),
                     [&](const ActivityPin& pin) { return solution.start[at(pin.activity)] == pin.at; });
}

bool PinBoard::let_go_of_one(const Model& model, const calendar::Solution* solution) {
  if (standing_.empty() || (solution && keeps(*solution))) return false;
  const auto over = [&](const ActivityPin& pin) { return pin.at + model.activities[at(pin.activity)].duration; };
  std::size_t k = standing_.size() - 1;
  const auto involved = [&](const ActivityPin& one) {
    return std::any_of(standing_.begin(), standing_.end(), [&](const ActivityPin& pin) {
      if (solution->start[at(pin.activity)] == pin.at) return false;
      return pin.activity == one.activity || overlap(pin.at, over(pin), one.at, over(one));
    });
  };
  while (solution && k > 0 && !involved(standing_[k])) --k;
  const ActivityPin gone = standing_[k];
  standing_.erase(standing_.begin() + static_cast<std::ptrdiff_t>(k));
  bars_[gone.activity] = solution ? bar_in(model, *solution, standing_, gone) : PinBar{};
  return true;
}

bool PinBoard::stands(int activity) const {
  return std::any_of(standing_.begin(), standing_.end(),
                     [&](const ActivityPin& pin) { return pin.activity == activity; });
}

const PinBar* PinBoard::bar(int activity) const {
  const auto found = bars_.find(activity);
  return found == bars_.end() ? nullptr : &found->second;
}

}  // namespace tackcloth::plan
