#include "calendar/dispatch.h"

#include <algorithm>
#include <limits>
#include <tuple>

#include "calendar/at.h"
#include "calendar/random.h"

namespace tackcloth::calendar {
namespace {

constexpr double kFar = std::numeric_limits<double>::max() / 4;
constexpr std::size_t kSome = 24;  // of what presses most, looked at for filling
constexpr Tick kReach = 3;         // works that may follow each other in the time looked at

class Dispatch {
 public:
  Dispatch(Builder& builder, const Problem& problem, const std::vector<Wanted>& wanted, const std::vector<Tick>& latest,
           const Policy& policy)
      : b_(builder),
        p_(problem),
        policy_(policy),
        latest_(at(p_.size), kFar),
        lead_(at(p_.size), kFar),
        together_(at(p_.size), 0),
        waits_(at(p_.size), 0) {
    const Model& m = *p_.model;
    for (int i = 0; i < p_.size; ++i) {
      const Activity& a = m.activities[at(i)];
      together_[at(i)] =
          std::any_of(a.pool_demands.begin(), a.pool_demands.end(), [](const PoolDemand& d) { return d.members > 1; });
      for (const int s : p_.next[at(i)]) ++waits_[at(s)];
    }
    for (const Wanted& w : wanted) {
      const double due = static_cast<double>(w.due - p_.least_tail[at(w.activity)]);
      latest_[at(w.activity)] = std::min(latest_[at(w.activity)], due - work(w.activity));
    }
    for (std::size_t i = 0; i < latest.size(); ++i) latest_[i] = std::min(latest_[i], static_cast<double>(latest[i]));
    for (auto i = p_.order.rbegin(); i != p_.order.rend(); ++i) {
      for (const int k : p_.out[at(*i)]) {
        const Precedence& q = m.precedences[at(k)];
        if (!p_.ordered[at(k)]) continue;
        latest_[at(*i)] =
            std::min(latest_[at(*i)], latest_[at(q.to)] - static_cast<double>(p_.least_lag[at(k)]) - work(*i));
        if (lead_[at(q.to)] < kFar) {
          lead_[at(*i)] = std::min(lead_[at(*i)], lead_[at(q.to)] + static_cast<double>(m.activities[at(*i)].duration));
        }
      }
      if (together_[at(*i)]) lead_[at(*i)] = 0;
    }
    if (policy_.noise > 0) {
      Random random(policy_.seed, 0, 0);
      for (double& t : latest_) t -= policy_.noise * random.unit();
    }
  }

  std::vector<int> run(const std::atomic<bool>* cancel) {
    std::vector<int> list;
    b_.restart();
    for (int i = 0; i < p_.size; ++i) {
      if (waits_[at(i)] == 0) enter(i);
    }
    while (!ready_.empty()) {
      if (cancel && cancel->load(std::memory_order_relaxed)) return {};
      const std::size_t k = choose();
      const int i = ready_[k].activity;
      ready_[k] = ready_.back();
      ready_.pop_back();
      if (together_[at(i)]) stock_ -= static_cast<double>(p_.model->activities[at(i)].duration);
      if (!b_.put(i)) return {};
      list.push_back(i);
      for (const int s : p_.next[at(i)]) {
        if (--waits_[at(s)] == 0) enter(s);
      }
    }
    return list;
  }

 private:
  struct Ready {
    int activity;
    Tick from;   // cannot start before
    bool exact;  // and can then, as things stand
  };

  double work(int i) const { return policy_.behind * static_cast<double>(p_.model->activities[at(i)].duration); }

  void enter(int i) {
    ready_.push_back({i, 0, false});
    if (together_[at(i)]) stock_ += static_cast<double>(p_.model->activities[at(i)].duration);
  }

  std::size_t choose() {
    for (Ready& r : ready_) r.exact = false;  // what was put last may stand in the way
    Tick soonest = 0;
    for (;;) {
      std::size_t first = 0;
      for (std::size_t k = 1; k < ready_.size(); ++k) {
        const Ready &r = ready_[k], &f = ready_[first];
        if (r.from < f.from || (r.from == f.from && f.exact && !r.exact)) first = k;
      }
      Ready& f = ready_[first];
      if (f.exact) {
        soonest = f.from;
        break;
      }
      f.from = std::max(f.from, b_.soonest(f.activity));
      f.exact = true;
    }
    using Pressing = std::tuple<int, double, int>;
    std::vector<std::pair<Pressing, std::size_t>> order;
    for (std::size_t k = 0; k < ready_.size(); ++k) {
      if (ready_[k].from == soonest) order.emplace_back(press(ready_[k].activity, soonest), k);
    }
    const std::size_t some = std::min(order.size(), kSome);
    std::partial_sort(order.begin(), order.begin() + static_cast<std::ptrdiff_t>(some), order.end());
    order.resize(some);
    const int first = std::get<0>(order.front().first);
    if (!policy_.fill || first == 0 || first == 2 || some < 2) return order.front().second;
    const Tick room = b_.room(ready_[order.front().second].activity);
    std::vector<std::size_t> like;
    Tick longest = 0;
    for (const auto& [pressing, k] : order) {
      if ((first == 1) != (std::get<0>(pressing) == 1)) continue;
      like.push_back(k);
      longest = std::max(longest, length(k));
    }
    if (room > kReach * longest) return order.front().second;
    std::size_t best = order.front().second;
    Tick least = kForever;
    for (const std::size_t k : like) {
      if (length(k) > room || b_.room(ready_[k].activity) != room) continue;
      const Tick unused = room - length(k) - filled(like, k, room - length(k));
      if (unused < least) {
        least = unused;
        best = k;
      }
    }
    return best;
  }

  Tick length(std::size_t k) const { return p_.model->activities[at(ready_[k].activity)].duration; }

  // Most of `room` that one or two of the others take.
  Tick filled(const std::vector<std::size_t>& like, std::size_t but, Tick room) const {
    Tick most = 0;
    for (std::size_t a = 0; a < like.size(); ++a) {
      if (like[a] == but || length(like[a]) > room) continue;
      most = std::max(most, length(like[a]));
      for (std::size_t b = 0; b < a; ++b) {
        const Tick both = length(like[a]) + length(like[b]);
        if (like[b] != but && both <= room) most = std::max(most, both);
      }
    }
    return most;
  }

  std::tuple<int, double, int> press(int i, Tick now) const {
    const double slack = latest_[at(i)] - static_cast<double>(now);
    if (together_[at(i)]) return {slack < policy_.calm ? 0 : 1, latest_[at(i)], i};
    if (slack < policy_.calm) return {2, latest_[at(i)], i};
    if (stock_ < policy_.stock && lead_[at(i)] < kFar) return {3, lead_[at(i)], i};
    return {4, latest_[at(i)], i};
  }

  Builder& b_;
  const Problem& p_;
  const Policy policy_;
  std::vector<double> latest_;  // start, for all wanted ends to be kept
  std::vector<double> lead_;    // work up to the next for two or more
  std::vector<char> together_;
  std::vector<int> waits_;
  std::vector<Ready> ready_;
  double stock_ = 0;
};

}  // namespace

std::vector<int> dispatch(Builder& builder, const Problem& problem, const std::vector<Wanted>& wanted,
                          const std::vector<Tick>& latest, const Policy& policy, const std::atomic<bool>* cancel) {
  return Dispatch(builder, problem, wanted, latest, policy).run(cancel);
}

}  // namespace tackcloth::calendar
