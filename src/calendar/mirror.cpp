#include "calendar/mirror.h"

#include <algorithm>

#include "calendar/ticks.h"

namespace tackcloth::calendar {
namespace {

// The value in the middle: what the lag usually is.
Tick usual(const TimeFunction& f) {
  std::vector<Tick> v = f.value;
  std::nth_element(v.begin(), v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2), v.end());
  return v[v.size() / 2];
}

}  // namespace

std::unique_ptr<Mirror> mirror_of(const Problem& p, Tick finish_bound) {
  const Model& m = *p.model;
  auto out = std::make_unique<Mirror>();
  Tick horizon = 4 * finish_bound + 1;
  for (const Resource& r : m.resources) {
    for (const Window& w : r.windows) {
      if (w.to < kForever / 4) horizon = std::max(horizon, w.to);
    }
  }
  out->horizon = horizon;
  Model& x = out->model;
  for (const Resource& r : m.resources) {
    Resource reversed{r.name, r.capacity, {}};
    for (auto w = r.windows.rbegin(); w != r.windows.rend(); ++w) {
      const Tick from = std::max<Tick>(0, horizon - w->to), to = horizon - w->from;
      if (to > from) reversed.windows.push_back({from, to});
    }
    // Beyond the beginning of time the windows come back as they went, so that an order that does not fit is still one.
    for (const Window& w : r.windows) {
      if (w.to < kForever / 4) reversed.windows.push_back({horizon + std::max<Tick>(0, w.from), horizon + w.to});
    }
    if (!r.windows.empty() && reversed.windows.empty()) return nullptr;
    x.resources.push_back(std::move(reversed));
  }
  x.pools = m.pools;
  for (const Activity& a : m.activities) {
    if (p.cancelled()) return nullptr;
    Activity b;
    if (!a.fixed_start) {  // facts keep their place: they only have to come last here
      b.duration = a.duration;
      b.demands = a.demands;
      b.pool_demands = a.pool_demands;
    }
    x.activities.push_back(std::move(b));
  }
  for (const Promise& q : m.promises) {  // a promise is a release here
    Activity& a = x.activities[static_cast<std::size_t>(q.activity)];
    const Tick end = std::max<Tick>(0, q.due - p.least_tail[static_cast<std::size_t>(q.activity)]);
    a.release = std::max(a.release, horizon - end);
  }
  for (std::size_t k = 0; k < m.precedences.size(); ++k) {
    if (p.cancelled()) return nullptr;
    const Precedence& q = m.precedences[k];
    if (!p.ordered[k] || q.from == q.to) continue;
    Precedence r;
    r.from = q.to;
    r.to = q.from;
    r.min_lag.value = {usual(q.min_lag)};
    x.precedences.push_back(std::move(r));
  }
  out->problem = std::make_unique<Problem>(x);
  out->problem->cancel = p.cancel;
  if (!prepare(*out->problem).empty()) return nullptr;
  return out;
}

}  // namespace tackcloth::calendar
