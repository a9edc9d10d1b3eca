// Two populations of schedules, one built from the front, one from the back, each bred from the other: every child is
// justified by its own generation (bi-population genetic algorithm after Debels & Vanhoucke 2005, with schedules as
// keys, "topological ordering" after Valls, Quintanilla & Ballestin 2003, and double justification after Valls,
// Ballestin & Quintanilla 2005).
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <memory>
#include <numeric>

#include "calendar/bound.h"
#include "calendar/crew.h"
#include "calendar/plain.h"
#include "calendar/random.h"
#include "calendar/search.h"

namespace tackcloth::calendar {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

struct Member {
  std::vector<int> start;                    // in the coordinates of its side
  std::vector<int> use;                      // prefix sums of resource use a step
  int makespan = 0;
};

class PlainSearch {
 public:
  PlainSearch(const Problem& problem, const Plain& plain, const Cost& bound, const Options& o)
      : problem_(problem), p_(plain), bound_(bound), o_(o), crew_(o.threads) {
    for (int k = 0; k < crew_.size(); ++k) builders_.push_back(std::make_unique<PlainBuilder>(p_));
    scratch_.resize(at(crew_.size()));
    if (o_.max_seconds > 0 && o_.now_seconds) deadline_ = o_.now_seconds() + o_.max_seconds;
    goal_ = static_cast<int>((bound_.finish + p_.unit - 1) / p_.unit);
  }

  Outcome run() {
    begin();
    for (std::uint64_t turn = 1; left() > 0 && !stopped() && best_ > goal_; ++turn) breed(turn);
    settle(out_, bound_);
    return std::move(out_);
  }

 private:
  std::int64_t left() const { return o_.max_schedules - out_.schedules; }
  bool stopped() const { return (o_.cancel && o_.cancel->load()) || (deadline_ > 0 && o_.now_seconds() > deadline_); }

  // Population size grows with the budget and shrinks with the project (tuned on PSPLIB).
  int population() const {
    const double budget = static_cast<double>(std::min<std::int64_t>(o_.max_schedules, 200'000));
    const char* e = std::getenv("POP");
    const double f = e ? std::atof(e) : 1.0;
    return std::clamp(static_cast<int>(f * std::sqrt(budget) * 0.6), 8, 400);
  }

  // Regret-based biased sampling on latest starts (Kolisch 1996), as keys.
  void begin() {
    const int count = static_cast<int>(std::min<std::int64_t>(population(), std::max<std::int64_t>(1, left())));
    pop_[0].resize(at(count));
    crew_.run(count, [&](int worker, int k) {
      if (k > 0 && stopped()) return;
      Random random(o_.seed, 0, static_cast<std::uint64_t>(k));
      std::vector<int>& key = scratch_[at(worker)];
      key.resize(at(p_.size));
      int span = 1;
      for (const Tick t : problem_.tail) span = std::max(span, static_cast<int>(t / p_.unit));
      const int noise = k == 0 ? 0 : static_cast<int>(0.4 * span);
      for (int i = 0; i < p_.size; ++i) {
        key[at(i)] = -static_cast<int>(problem_.tail[at(i)] / p_.unit) +
                     (noise > 0 ? static_cast<int>(random.below(at(noise) + 1)) : 0);
      }
      make(worker, 0, key, pop_[0][at(k)]);
    });
    side_ = 0;
    std::erase_if(pop_[0], [](const Member& m) { return m.start.empty(); });
    take(pop_[0]);
  }

  void make(int worker, int side, const std::vector<int>& key, Member& m) {
    PlainBuilder& b = *builders_[at(worker)];
    m.makespan = b.build(side, key, m.start);
    b.use(m.makespan, m.use);
    std::partial_sum(m.use.begin(), m.use.end(), m.use.begin());
  }

  // The other side is bred from this one; its coordinates run the other way.
  void breed(std::uint64_t turn) {
    const std::vector<Member>& parents = pop_[side_];
    const int other = 1 - side_;
    std::vector<Member> children(parents.size());
    const int count = static_cast<int>(std::min<std::int64_t>(static_cast<std::int64_t>(parents.size()), left()));
    crew_.run(count, [&](int worker, int k) {
      if (stopped()) return;
      Random random(o_.seed, turn, static_cast<std::uint64_t>(k));
      std::vector<int>& key = scratch_[at(worker)];
      cross(parents, k, random, key);
      make(worker, other, key, children[at(k)]);
    });
    take_children(children, other);
    side_ = other;
  }

  int mirrored(const Member& m, int i) const { return m.makespan - m.start[at(i)] - p_.duration[at(i)]; }

  // Keys in the other side's coordinates: the mother's order with the father's busiest stretch (or the reverse).
  void cross(const std::vector<Member>& parents, int k, Random& random, std::vector<int>& key) {
    const Member* father = &parents[at(k)];
    const std::size_t a = random.below(parents.size()), b = random.below(parents.size());
    const Member* mother = &parents[parents[a].makespan <= parents[b].makespan ? a : b];
    if (random.below(2) == 0) std::swap(father, mother);
    const int n = p_.size, length = father->makespan;
    key.resize(at(n));
    // The stretch of a random length in which the father uses most.
    const int width = std::max(1, static_cast<int>(length * (0.25 + 0.5 * random.unit())));
    int from = 0, most = -1;
    for (int t = 0; t + width <= length; ++t) {
      const int sum = father->use[at(t + width - 1)] - (t > 0 ? father->use[at(t - 1)] : 0);
      if (sum > most) {
        most = sum;
        from = t;
      }
    }
    const int low = length - from - width, high = length - from;  // mirrored
    const int away = std::max(length, mother->makespan);
    for (int i = 0; i < n; ++i) {
      const int f = mirrored(*father, i), m = mirrored(*mother, i);
      if (f >= low && f < high) {
        key[at(i)] = f;
      } else {
        key[at(i)] = m < low ? m - away : m + away;
      }
    }
    if (mother == father || mother->start == father->start) {
      for (int r = 0; r < n / 5; ++r) std::swap(key[random.below(at(n))], key[random.below(at(n))]);
    }
  }

  void take_children(std::vector<Member>& children, int other) {
    std::erase_if(children, [](const Member& m) { return m.start.empty(); });
    if (children.empty()) return;
    pop_[other] = std::move(children);
    take_side_ = other;
    take(pop_[other]);
  }

  void take(const std::vector<Member>& members) {
    out_.schedules += static_cast<std::int64_t>(members.size());
    for (const Member& m : members) {
      if (out_.status != Status::unknown && m.makespan >= best_) continue;
      best_ = m.makespan;
      Solution s;
      s.members.resize(at(p_.size));
      for (int i = 0; i < p_.size; ++i) {
        s.start.push_back(p_.unit * (take_side_ == 0 ? m.start[at(i)] : mirrored(m, i)));
        s.duration.push_back(p_.unit * p_.duration[at(i)]);
      }
      s.cost.finish = p_.unit * m.makespan;
      out_.best = std::move(s);
      out_.status = best_ <= goal_ ? Status::optimal : Status::feasible;
      settle(out_, bound_);
      if (o_.on_better) o_.on_better(out_);
    }
  }

  const Problem& problem_;
  const Plain& p_;
  const Cost bound_;
  const Options& o_;
  Crew crew_;
  std::vector<std::unique_ptr<PlainBuilder>> builders_;
  std::vector<std::vector<int>> scratch_;
  std::vector<Member> pop_[2];
  int side_ = 0, take_side_ = 0;
  int best_ = 0, goal_ = 0;
  double deadline_ = 0;
  Outcome out_;
};

}  // namespace

Outcome search_plain(const Problem& problem, const Plain& plain, const Cost& bound, const Options& options) {
  return PlainSearch(problem, plain, bound, options).run();
}

}  // namespace tackcloth::calendar
