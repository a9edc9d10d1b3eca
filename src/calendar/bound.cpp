#include "calendar/bound.h"

#include <algorithm>
#include <set>

#include "calendar/at.h"
#include "calendar/ticks.h"

namespace tackcloth::calendar {
namespace {

// Total capacity of several resources as an area over time, in whole teams of `team`.
class Reservoir {
 public:
  Reservoir(const Model& m, const std::vector<int>& resources, int team) {
    std::vector<std::pair<Tick, Tick>> changes{{0, 0}};
    for (const int r : resources) {
      const Resource& x = m.resources[at(r)];
      if (x.windows.empty()) changes.emplace_back(0, x.capacity);
      for (const Window& w : x.windows) {
        changes.emplace_back(std::max<Tick>(0, w.from), x.capacity);
        changes.emplace_back(std::max<Tick>(0, w.to), -x.capacity);
      }
    }
    std::sort(changes.begin(), changes.end());
    Tick open = 0, area = 0;
    for (const auto& [when, change] : changes) {
      if (when_.empty() || when_.back() != when) {
        if (!when_.empty()) area += rate_.back() * (when - when_.back());
        when_.push_back(when);
        area_.push_back(area);
        rate_.push_back(0);
      }
      open += change;
      rate_.back() = open / team;
    }
  }
  // The earliest moment by which `work` can be done if none is done before `from`.
  Tick done(Tick from, Tick work) const {
    from = std::max<Tick>(0, from);
    const auto k = at_or_before(when_, from);
    const Tick goal = area_[k] + rate_[k] * (from - when_[k]) + work;
    auto j = static_cast<std::size_t>(std::lower_bound(area_.begin(), area_.end(), goal) - area_.begin());
    if (j > 0) --j;
    while (rate_[j] == 0 && j + 1 < when_.size() && area_[j] < goal) ++j;
    if (area_[j] >= goal) return std::max(from, when_[j]);
    if (rate_[j] <= 0) return kForever;
    return std::max(from, when_[j] + (goal - area_[j] + rate_[j] - 1) / rate_[j]);
  }

 private:
  static std::size_t at_or_before(const std::vector<Tick>& v, Tick t) {
    return static_cast<std::size_t>(std::upper_bound(v.begin(), v.end(), t) - v.begin()) - 1;
  }
  std::vector<Tick> when_, area_, rate_;
};

struct Work {
  Tick head, amount, tail;
};

Tick energetic(const Problem& p, const Reservoir& reservoir, std::vector<Work> work) {
  if (work.empty()) return 0;
  std::vector<Tick> tails;
  for (const Work& w : work) tails.push_back(w.tail);
  std::sort(tails.begin(), tails.end());
  tails.erase(std::unique(tails.begin(), tails.end()), tails.end());
  constexpr std::size_t kLevels = 48;
  if (tails.size() > kLevels) {
    std::vector<Tick> some;
    for (std::size_t k = 0; k < kLevels; ++k) some.push_back(tails[k * tails.size() / kLevels]);
    tails = some;
  }
  std::sort(work.begin(), work.end(), [](const Work& a, const Work& b) { return a.head > b.head; });
  Tick best = 0;
  for (const Tick level : tails) {
    if (p.cancelled()) break;
    Tick sum = 0;
    for (const Work& w : work) {
      if (w.tail < level) continue;
      sum += w.amount;
      const Tick done = reservoir.done(w.head, sum);
      if (done < kForever) best = std::max(best, done + level);
    }
  }
  return best;
}

Tick resource_bound(const Problem& p) {
  const Model& m = *p.model;
  Tick best = 0;
  const auto gather = [&](const std::set<int>& members, int team, auto&& amount_of) {
    if (p.cancelled()) return;
    std::vector<Work> work;
    for (int i = 0; i < p.size; ++i) {
      const Activity& a = m.activities[at(i)];
      if (a.fixed_start) continue;  // a fact may lie outside the windows
      const auto [amount, length] = amount_of(i);
      if (amount * length > 0) {
        work.push_back({p.earliest[at(i)], amount * length, std::max<Tick>(0, p.tail[at(i)] - length)});
      }
    }
    const Reservoir reservoir(m, {members.begin(), members.end()}, team);
    best = std::max(best, energetic(p, reservoir, std::move(work)));
  };
  for (int r = 0; r < static_cast<int>(m.resources.size()); ++r) {
    gather({r}, 1, [&](int i) {
      Tick amount = 0;
      for (const Demand& d : p.booked[at(i)]) amount += d.resource == r ? d.amount : 0;
      return std::pair{amount, m.activities[at(i)].duration};
    });
    gather({r}, 1, [&](int i) {
      Tick amount = 0;
      for (const Demand& d : p.resting[at(i)]) amount += d.resource == r ? d.amount : 0;
      return std::pair{amount, m.activities[at(i)].duration + p.least_tail[at(i)]};
    });
  }
  for (const Pool& pool : m.pools) {
    const std::set<int> members(pool.members.begin(), pool.members.end());
    std::vector<char> inside(m.pools.size(), 0);
    for (std::size_t q = 0; q < m.pools.size(); ++q) {
      inside[q] = std::all_of(m.pools[q].members.begin(), m.pools[q].members.end(),
                              [&](int r) { return members.count(r) > 0; });
    }
    const auto wanted = [&](int i) {
      Tick amount = 0;
      for (const PoolDemand& d : m.activities[at(i)].pool_demands) amount += inside[at(d.pool)] ? d.members : 0;
      return amount;
    };
    Tick most = 1;
    for (int i = 0; i < p.size; ++i) most = std::max(most, wanted(i));
    gather(members, 1, [&](int i) { return std::pair{wanted(i), m.activities[at(i)].duration}; });
    // Work that needs two at once can only be done while two are there.
    for (Tick team = 2; team <= most; ++team) {
      gather(members, static_cast<int>(team), [&](int i) {
        return std::pair{Tick{wanted(i) >= team}, m.activities[at(i)].duration};
      });
    }
  }
  return best;
}

Tick ready_at_best(const Problem& p, int i) {
  const Activity& a = p.model->activities[at(i)];
  const Tick end = p.earliest[at(i)] + a.duration;
  return a.fixed_start ? plus(end, a.tail(end)) : earliest_through(a.tail, end);
}

}  // namespace

Tick critical_path(const Problem& p) {
  Tick finish = 0;
  for (int i = 0; i < p.size; ++i) finish = std::max(finish, ready_at_best(p, i));
  return finish;
}

Cost lower_bound(const Problem& p) {
  Cost bound;
  bound.finish = std::max(critical_path(p), resource_bound(p));
  for (const Promise& q : p.model->promises) {
    bound.lateness += q.weight * std::max<Tick>(0, ready_at_best(p, q.activity) - q.due);
  }
  std::set<int> groups;
  for (const Activity& a : p.model->activities) {
    if (a.visit_group >= 0 && a.duration > 0) groups.insert(a.visit_group);
  }
  bound.visits = static_cast<std::int64_t>(groups.size());
  return bound;
}

}  // namespace tackcloth::calendar
