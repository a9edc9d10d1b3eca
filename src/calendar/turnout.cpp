#include "calendar/turnout.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "calendar/builder.h"
#include "calendar/problem.h"

namespace tackcloth::calendar {
namespace {

void scale(const TimeFunction& from, double factor, TimeFunction& to) {
  for (std::size_t i = 0; i < from.value.size(); ++i) {
    const double scaled = std::ceil(static_cast<double>(from.value[i]) * factor);
    to.value[i] = from.value[i] <= 0 ? from.value[i] : std::min(kForever, static_cast<Tick>(std::min(scaled, 1e15)));
  }
}

}  // namespace

struct WorkingOff::Impl {
  const Model* planned_for;
  Model turned;
  std::vector<int> list;
};

WorkingOff::WorkingOff(const Model& model, const Solution& planned)
    : impl_(std::make_unique<Impl>(Impl{&model, model, {}})) {
  impl_->turned.promises.clear();
  impl_->turned.previous_start.clear();
  Problem problem(model);
  if (!prepare(problem).empty() || planned.start.size() != model.activities.size()) return;
  // Planned order; a topological order settles ties, so that no activity stands before what it waits for.
  impl_->list = problem.order;
  std::stable_sort(impl_->list.begin(), impl_->list.end(), [&](int a, int b) {
    return planned.start[static_cast<std::size_t>(a)] < planned.start[static_cast<std::size_t>(b)];
  });
}

WorkingOff::~WorkingOff() = default;

Solution WorkingOff::run(const Turnout& turnout) {
  const Model& from = *impl_->planned_for;
  Model& to = impl_->turned;
  if (impl_->list.empty() || turnout.lag.size() != from.precedences.size() ||
      turnout.tail.size() != from.activities.size())
    return {};
  for (std::size_t k = 0; k < from.precedences.size(); ++k)
    scale(from.precedences[k].min_lag, turnout.lag[k], to.precedences[k].min_lag);
  for (std::size_t i = 0; i < from.activities.size(); ++i)
    scale(from.activities[i].tail, turnout.tail[i], to.activities[i].tail);
  Problem problem(to);
  if (!prepare(problem).empty()) return {};
  Builder builder(problem);
  if (!builder.build(impl_->list, {}, nullptr)) return {};
  return builder.solution();
}

}  // namespace tackcloth::calendar
