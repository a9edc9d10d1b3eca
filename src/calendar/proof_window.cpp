// Exact search on a part of a plan that is too large to be searched as a whole (large neighbourhood search: Shaw, CP
// 1998, with the exact search inside).
#include <algorithm>

#include "calendar/at.h"
#include "calendar/cost.h"
#include "calendar/proof.h"
#include "calendar/random.h"
#include "calendar/ticks.h"

namespace tackcloth::calendar {
namespace {

constexpr std::int64_t kWindowConflicts = 400;  // dead ends a window
constexpr std::int64_t kPerWindow = 50;         // a window counts as at least so many of the budget
constexpr Tick kRoomAfter = 1;                  // how far a part may run past the plan's finish, in shares of a tenth

constexpr int kPatience = 30;  // windows in vain

class Windows {
 public:
  Windows(const Problem& p, Solution& plan, const ProofLimits& limits)
      : p_(p), m_(*p.model), plan_(plan), limits_(limits), random_(limits.seed, 77, 1) {
    components();
  }

  bool run() {
    bool improved = false;
    std::int64_t spent = 0;
    double size = 30;
    for (int turn = 0; spent < limits_.conflicts && !stopped(); ++turn) {
      Solution other;
      if (limits_.newer && limits_.newer(plan_.cost, other)) plan_ = std::move(other);
      const auto before = plan_.cost;
      const double now = size * (0.6 + 0.8 * random_.unit());
      const std::vector<char> free = turn % 3 == 0 ? stretch(now) : chains(now);
      bool complete = false;
      spent += std::max(kPerWindow, search(free, complete));
      size = std::clamp(complete ? size * 1.15 : size * 0.9, 12.0, 120.0);
      stale_ = plan_.cost < before ? 0 : stale_ + 1;
      improved = improved || plan_.cost < before;
    }
    return improved;
  }

 private:
  bool stopped() const {
    if (limits_.cancel && limits_.cancel->load(std::memory_order_relaxed)) return true;
    if (limits_.stopped && limits_.stopped()) return true;
    return limits_.until > 0 && limits_.now_seconds && limits_.now_seconds() > limits_.until;
  }

  // Work that hangs together by lags.
  void components() {
    chain_.assign(at(p_.size), -1);
    for (int i = 0; i < p_.size; ++i) {
      if (chain_[at(i)] >= 0 || m_.activities[at(i)].fixed_start) continue;
      std::vector<int> stack{i};
      chain_[at(i)] = chains_;
      while (!stack.empty()) {
        const int x = stack.back();
        stack.pop_back();
        const auto reach = [&](int y) {
          if (chain_[at(y)] >= 0 || m_.activities[at(y)].fixed_start) return;
          chain_[at(y)] = chains_;
          stack.push_back(y);
        };
        for (const int k : p_.out[at(x)]) reach(m_.precedences[at(k)].to);
        for (const int k : p_.in[at(x)]) reach(m_.precedences[at(k)].from);
      }
      ++chains_;
    }
  }

  bool open(int i) const { return !m_.activities[at(i)].fixed_start.has_value(); }

  // About `size` activities that follow each other in time.
  std::vector<char> stretch(double size) {
    std::vector<int> order;
    for (int i = 0; i < p_.size; ++i) {
      if (open(i)) order.push_back(i);
    }
    std::vector<char> free(at(p_.size), 0);
    if (order.empty()) return free;
    std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return plan_.start[at(a)] < plan_.start[at(b)]; });
    const auto count = std::min(order.size(), static_cast<std::size_t>(size));
    std::size_t from = random_.below(order.size() - count + 1);
    if (!anyone_late() && random_.below(2) == 0) from = order.size() - count - random_.below(std::min(count, from + 1));
    for (std::size_t k = from; k < from + count; ++k) free[at(order[k])] = 1;
    return free;
  }

  // A few chains, one of them late if any is, within one stretch of time.
  std::vector<char> chains(double size) {
    std::vector<char> free(at(p_.size), 0);
    if (chains_ < 2) return stretch(size);
    std::vector<int> late;
    for (const Promise& q : m_.promises) {
      if (open(q.activity) && ready(q.activity) > q.due && q.weight > 0) late.push_back(q.activity);
    }
    int first = late.empty() ? last_chain() : chain_[at(late[random_.below(late.size())])];
    if (random_.below(3) == 0) first = static_cast<int>(random_.below(at(chains_)));
    const int wanted = 2 + static_cast<int>(random_.below(7));
    std::vector<char> picked(at(chains_), 0);
    picked[at(first)] = 1;
    for (int k = 1; k < wanted; ++k) picked[random_.below(at(chains_))] = 1;
    std::vector<int> members;
    for (int i = 0; i < p_.size; ++i) {
      if (open(i) && picked[at(chain_[at(i)])]) members.push_back(i);
    }
    const auto most = static_cast<std::size_t>(size);
    if (members.size() > most) {  // those nearest to a moment
      const int pivot = members[random_.below(members.size())];
      const Tick when = plan_.start[at(pivot)];
      std::stable_sort(members.begin(), members.end(), [&](int a, int b) {
        return std::abs(plan_.start[at(a)] - when) < std::abs(plan_.start[at(b)] - when);
      });
      members.resize(most);
    }
    for (const int i : members) free[at(i)] = 1;
    return free;
  }

  bool anyone_late() const {
    return std::any_of(m_.promises.begin(), m_.promises.end(),
                       [&](const Promise& q) { return q.weight > 0 && open(q.activity) && ready(q.activity) > q.due; });
  }

  // Of the open activity that is ready last.
  int last_chain() const {
    int last = -1;
    for (int i = 0; i < p_.size; ++i) {
      if (open(i) && (last < 0 || ready(i) > ready(last))) last = i;
    }
    return chain_[at(last)];
  }

  Tick ready(int i) const {
    const Tick end = plan_.start[at(i)] + plan_.duration[at(i)];
    return plus(end, m_.activities[at(i)].tail(end));
  }

  // The model with everything but the free activities a fact, people included. Functions of a fact's end are known
  // values: what is left is small.
  Model part(const std::vector<char>& free) const {
    Model sub;
    sub.resources = m_.resources;
    sub.pools = m_.pools;
    sub.promises = m_.promises;
    sub.activities.resize(at(p_.size));
    for (int i = 0; i < p_.size; ++i) {
      const Activity& from = m_.activities[at(i)];
      Activity& a = sub.activities[at(i)];
      if (free[at(i)]) {
        a = from;
        a.visit_group = -1;
        continue;
      }
      a.fixed_start = plan_.start[at(i)];
      a.duration = plan_.duration[at(i)];
      a.demands = from.demands;
      a.tail_demands = from.tail_demands;
      a.tail.value = {from.tail(end(i))};
      for (const int r : plan_.members[at(i)]) a.demands.push_back({r, 1});
    }
    for (const Precedence& q : m_.precedences) {
      if (!free[at(q.from)] && !free[at(q.to)]) continue;
      Precedence& s = sub.precedences.emplace_back();
      if (free[at(q.from)]) {
        s = q;
        if (!free[at(q.to)]) hold_length(s);
        continue;
      }
      s.from = q.from;
      s.to = q.to;
      s.late_extra = q.late_extra;
      s.min_lag.value = {q.min_lag(end(q.from))};
      if (q.max_lag) s.max_lag = TimeFunction{{}, {(*q.max_lag)(end(q.from))}};
    }
    return sub;
  }

  // What follows a soft maximum lag as a fact keeps its length: it stays on the side of the lag where it is.
  void hold_length(Precedence& q) const {
    if (!q.max_lag || q.late_extra < 0) return;
    if (plan_.start[at(q.to)] <= plus(end(q.from), (*q.max_lag)(end(q.from)))) {
      q.late_extra = -1;
    } else if (constant(q.min_lag) && constant(*q.max_lag)) {
      q.min_lag.value[0] = std::max(q.min_lag.value[0], q.max_lag->value[0] + 1);
      q.max_lag.reset();
    }
  }

  Tick end(int i) const { return plan_.start[at(i)] + plan_.duration[at(i)]; }

  // Dead ends met; the plan is better afterwards or as it was.
  std::int64_t search(const std::vector<char>& free, bool& complete) {
    const Model sub = part(free);
    Problem problem(sub);
    problem.cancel = limits_.cancel;
    if (!prepare(problem).empty()) return 0;
    Solution from = plan_;
    for (int i = 0; i < p_.size; ++i) {
      if (!free[at(i)]) from.members[at(i)].clear();
    }
    from.cost = cost_of(sub, from.start, from.duration);
    ProofLimits l;
    l.conflicts = kWindowConflicts * (1 + stale_ / kPatience);  // harder where easy windows give nothing more
    l.now_seconds = limits_.now_seconds;
    l.until = limits_.until;
    l.cancel = limits_.cancel;
    l.stopped = limits_.stopped;
    l.edge_finding = limits_.edge_finding;
    l.parts = 2;
    l.horizon = plan_.cost.finish + kRoomAfter * plan_.cost.finish / 10;
    const ProofOutcome out = prove(problem, Cost{}, &from, l);
    complete = out.conflicts < l.conflicts;
    if (!out.found || !(out.best.cost < from.cost)) return out.conflicts;
    Solution better = out.best;
    for (int i = 0; i < p_.size; ++i) {
      if (!free[at(i)]) better.members[at(i)] = plan_.members[at(i)];
    }
    better.cost = cost_of(m_, better.start, better.duration);
    if (limits_.cancel && limits_.cancel->load(std::memory_order_relaxed)) return out.conflicts;
    if (better.cost < plan_.cost && violations(m_, better).empty()) {
      plan_ = std::move(better);
      if (limits_.on_better) limits_.on_better(plan_);
    }
    return out.conflicts;
  }

  const Problem& p_;
  const Model& m_;
  Solution& plan_;
  const ProofLimits& limits_;
  Random random_;
  std::vector<int> chain_;
  int chains_ = 0, stale_ = 0;
};

}  // namespace

bool improve_windows(const Problem& problem, Solution& plan, const ProofLimits& limits) {
  return Windows(problem, plan, limits).run();
}

}  // namespace tackcloth::calendar
