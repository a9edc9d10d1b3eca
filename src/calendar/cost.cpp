#include "calendar/cost.h"

#include <algorithm>

#include "calendar/ticks.h"

namespace tackcloth::calendar {

Cost cost_of(const Model& model, const std::vector<Tick>& start, const std::vector<Tick>& duration) {
  Cost cost;
  const std::size_t n = model.activities.size();
  for (std::size_t i = 0; i < n; ++i) {
    const Tick end = start[i] + duration[i];
    cost.finish = std::max(cost.finish, plus(end, model.activities[i].tail(end)));
  }
  for (const Promise& p : model.promises) {
    const auto i = static_cast<std::size_t>(p.activity);
    const Tick end = start[i] + duration[i];
    cost.lateness += p.weight * std::max<Tick>(0, plus(end, model.activities[i].tail(end)) - p.due);
  }
  struct Stay {
    int group;
    Tick from, to;
  };
  std::vector<Stay> stays;
  for (std::size_t i = 0; i < n; ++i) {
    if (model.activities[i].visit_group >= 0 && duration[i] > 0) {
      stays.push_back({model.activities[i].visit_group, start[i], start[i] + duration[i]});
    }
  }
  std::sort(stays.begin(), stays.end(), [](const Stay& a, const Stay& b) {
    return a.group != b.group ? a.group < b.group : a.from != b.from ? a.from < b.from : a.to < b.to;
  });
  Tick until = 0;
  for (std::size_t k = 0; k < stays.size(); ++k) {
    const bool first = k == 0 || stays[k].group != stays[k - 1].group;
    if (first || stays[k].from > until) ++cost.visits;
    until = first ? stays[k].to : std::max(until, stays[k].to);
  }
  for (std::size_t i = 0; i < model.previous_start.size() && i < n; ++i) {
    if (model.previous_start[i] >= 0 && model.previous_start[i] != start[i]) ++cost.moved;
  }
  return cost;
}

}  // namespace tackcloth::calendar
