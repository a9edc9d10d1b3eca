// Mistakes in a model's numbers, told by name before any scheduling.
#include <algorithm>
#include <string>

#include "calendar/problem.h"

namespace tackcloth::calendar {
namespace {

// Far beyond any shop (2,000 years of minutes), yet thousands of them add up without overflow.
constexpr Tick kLongest = 1'000'000'000'000;

bool sane(Tick t) { return t >= -kLongest && t <= kLongest; }

std::string function_mistake(const TimeFunction& f, bool may_be_forever) {
  if (f.value.empty()) return "has no value";
  if (!f.at.empty() && f.at.size() != f.value.size()) return "has not one value a break";
  for (std::size_t k = 1; k < f.at.size(); ++k) {
    if (f.at[k] <= f.at[k - 1]) return "has breaks that are not ascending";
  }
  for (const Tick v : f.value) {
    if (!sane(v) && !(may_be_forever && v > 0)) return "has a value beyond 10^12 ticks";
  }
  return {};
}

std::string window_mistake(const Resource& r) {
  for (std::size_t k = 0; k < r.windows.size(); ++k) {
    const Window& w = r.windows[k];
    if (w.to < w.from) return "has a window that ends before it begins, at tick " + std::to_string(w.from);
    if (!sane(w.from)) return "has a window beyond 10^12 ticks";
    if (k > 0 && w.from < r.windows[k - 1].to) {
      return "has windows that overlap or are not sorted, at tick " + std::to_string(w.from);
    }
  }
  return {};
}

std::string activity_mistake(const Model& model, const Activity& a) {
  const auto resources = static_cast<int>(model.resources.size());
  if (a.duration < 0 || !sane(a.duration)) return "has a duration that is negative or beyond 10^12 ticks";
  if (!sane(a.release)) return "has a release beyond 10^12 ticks";
  if (a.fixed_start && !sane(*a.fixed_start)) return "has a fixed start beyond 10^12 ticks";
  for (const auto* list : {&a.demands, &a.tail_demands}) {
    for (const Demand& d : *list) {
      if (d.resource < 0 || d.resource >= resources) return "asks for a resource that does not exist";
      if (d.amount < 0) return "asks for a negative amount";
    }
  }
  for (const PoolDemand& d : a.pool_demands) {
    if (d.pool < 0 || d.pool >= static_cast<int>(model.pools.size())) return "asks for a pool that does not exist";
    if (d.members < 0) return "asks for a negative number of members";
  }
  const std::string tail = function_mistake(a.tail, false);
  if (!tail.empty()) return "has a tail that " + tail;
  if (std::any_of(a.tail.value.begin(), a.tail.value.end(), [](Tick v) { return v < 0; })) {
    return "has a negative tail";
  }
  return {};
}

}  // namespace

std::string label(const Model& model, int activity) {
  const std::string& name = model.activities[static_cast<std::size_t>(activity)].name;
  return name.empty() ? "activity " + std::to_string(activity) : "'" + name + "'";
}

std::string malformed(const Model& model, const std::atomic<bool>* cancel) {
  const auto cancelled = [&] { return cancel && cancel->load(std::memory_order_relaxed); };
  const auto n = static_cast<int>(model.activities.size());
  const auto resources = static_cast<int>(model.resources.size());
  for (const Resource& r : model.resources) {
    if (r.capacity < 0) return "resource '" + r.name + "' has a negative capacity";
    const std::string m = window_mistake(r);
    if (!m.empty()) return "resource '" + r.name + "' " + m;
  }
  for (const Pool& p : model.pools) {
    for (const int m : p.members) {
      if (m < 0 || m >= resources) return "pool '" + p.name + "' has a member that does not exist";
      if (model.resources[static_cast<std::size_t>(m)].capacity != 1) {
        return "pool '" + p.name + "' has member '" + model.resources[static_cast<std::size_t>(m)].name +
               "' whose capacity is not 1";
      }
    }
    std::vector<int> sorted = p.members;
    std::sort(sorted.begin(), sorted.end());
    if (std::adjacent_find(sorted.begin(), sorted.end()) != sorted.end()) {
      return "pool '" + p.name + "' names a member twice";
    }
  }
  for (int i = 0; i < n && !cancelled(); ++i) {
    const std::string m = activity_mistake(model, model.activities[static_cast<std::size_t>(i)]);
    if (!m.empty()) return label(model, i) + " " + m;
  }
  for (const Precedence& p : model.precedences) {
    if (cancelled()) return {};
    if (p.from < 0 || p.from >= n || p.to < 0 || p.to >= n) return "a precedence names an activity that does not exist";
    const std::string pair = "the lag from " + label(model, p.from) + " to " + label(model, p.to) + " ";
    std::string m = function_mistake(p.min_lag, false);
    if (m.empty() && p.max_lag) m = function_mistake(*p.max_lag, true);
    if (!m.empty()) return pair + m;
    if (p.late_extra >= 0 && !sane(p.late_extra)) return pair + "has a late_extra beyond 10^12 ticks";
  }
  for (const Promise& p : model.promises) {
    if (p.activity < 0 || p.activity >= n) return "a promise names an activity that does not exist";
    if (p.weight < 0 || p.weight > 1'000'000) return "a promise has a weight outside 0 to 1000000";
    if (!sane(p.due)) return "a promise is due beyond 10^12 ticks";
  }
  if (!model.previous_start.empty() && model.previous_start.size() != model.activities.size()) {
    return "previous_start has " + std::to_string(model.previous_start.size()) + " entries for " + std::to_string(n) +
           " activities";
  }
  return {};
}

}  // namespace tackcloth::calendar
