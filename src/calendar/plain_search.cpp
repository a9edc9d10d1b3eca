// Genetic search on schedules as keys ("topological ordering", Valls, Quintanilla & Ballestin 2003): a child takes the
// busiest stretch of one parent into the order of the other (peak crossover, Debels & Vanhoucke 2005; Valls, Ballestin
// & Quintanilla 2008) or shakes one stretch of a single parent, is built from the other end of time than that parent
// and justified to and fro while that helps (Valls, Ballestin & Quintanilla 2005). The numbers in Tuning were set on
// PSPLIB.
#include <algorithm>
#include <cmath>
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

constexpr std::int64_t kBatch = 8;  // candidates made side by side, whatever the number of threads

struct Tuning {
  double population = 0.6;  // times the square root of the budget
  int passes = 3;           // schedules a child at most
  double shake = 0.3;       // share of children from one parent
  double stretch = 0.3;     // longest stretch shaken, as a share of the makespan
  double stray = 0.0;       // share of single keys moved afterwards
  double idle = 1.0;        // populations of children in vain before all but the best start anew
};

// Small projects are lost in a population of near twins: shake them harder.
Tuning tuning(int size) { return size <= 45 ? Tuning{0.6, 3, 0.5, 1.0, 0.03, 1.0} : Tuning{}; }

struct Member {
  std::vector<int> start;  // in the coordinates of its side
  std::vector<int> use;    // prefix sums of resource use a step
  int makespan = 0, side = 0;
  double second = 0;  // among equal makespans: the smaller, the more room at the end
  int passes = 0;
  std::uint64_t hash = 0;
};

bool better(const Member& a, const Member& b) {
  return a.makespan != b.makespan ? a.makespan < b.makespan : a.second < b.second;
}

class PlainSearch {
 public:
  PlainSearch(const Problem& problem, const Plain& plain, const Cost& bound, const Options& o)
      : problem_(problem), p_(plain), bound_(bound), o_(o), crew_(o.threads), tuning_(tuning(plain.size)) {
    for (int k = 0; k < crew_.size(); ++k) builders_.push_back(std::make_unique<PlainBuilder>(p_));
    scratch_.resize(at(crew_.size()));
    if (o_.max_seconds > 0 && o_.now_seconds) deadline_ = o_.now_seconds() + o_.max_seconds;
    goal_ = static_cast<int>((bound_.finish + p_.unit - 1) / p_.unit);
  }

  Outcome run() {
    begin();
    for (std::uint64_t turn = 1; left() > 0 && !stopped() && best_ > goal_; ++turn) {
      breed(turn);
      if (idle_ > tuning_.idle * static_cast<double>(population())) {
        idle_ = 0;
        pop_.resize(std::min<std::size_t>(pop_.size(), 1));
        begin();
      }
    }
    settle(out_, bound_);
    return std::move(out_);
  }

 private:
  std::int64_t left() const { return o_.max_schedules - out_.schedules; }
  bool stopped() const { return (o_.cancel && o_.cancel->load()) || (deadline_ > 0 && o_.now_seconds() > deadline_); }

  std::size_t population() const {
    const double budget = static_cast<double>(std::min<std::int64_t>(o_.max_schedules, 200'000));
    return at(std::clamp(static_cast<int>(tuning_.population * std::sqrt(budget)), 8, 1000));
  }

  void begin() {
    const int span = static_cast<int>(*std::max_element(problem_.tail.begin(), problem_.tail.end()) / p_.unit) + 1;
    std::size_t& round = fresh_round_;
    while (pop_.size() < population() && left() > 0 && (pop_.empty() || !stopped())) {
      const int passes = static_cast<int>(std::min<std::int64_t>(2, left()));
      const int count = static_cast<int>(std::clamp<std::int64_t>(left() / passes, 1, kBatch));
      std::vector<Member> fresh(at(count));
      crew_.run(count, [&](int worker, int k) {
        Random random(o_.seed, round, static_cast<std::uint64_t>(k) + 1000);
        std::vector<int>& key = scratch_[at(worker)];
        key.resize(at(p_.size));
        const int noise = round == 0 && k == 0 ? 0 : static_cast<int>(0.4 * span);
        for (int i = 0; i < p_.size; ++i) {
          key[at(i)] = -static_cast<int>(problem_.tail[at(i)] / p_.unit) +
                       (noise > 0 ? static_cast<int>(random.below(at(noise) + 1)) : 0);
        }
        improve(worker, 0, key, fresh[at(k)], passes);
      });
      ++round;
      for (Member& m : fresh) insert(std::move(m));
    }
  }

  // Builds on `side`, then justifies to and fro up to `passes` times in all while that helps.
  void improve(int worker, int side, std::vector<int>& key, Member& best, int passes) {
    PlainBuilder& b = *builders_[at(worker)];
    Member m;
    int done = 0;
    for (; done < passes; ++done) {
      m.side = side;
      m.makespan = b.build(side, key, m.start);
      b.use(m.makespan, m.use);
      m.second = 0;
      for (int t = 0; t < m.makespan; ++t) m.second += static_cast<double>(m.use[at(t)]) * t;
      std::partial_sum(m.use.begin(), m.use.end(), m.use.begin());
      const bool worse = done > 0 && m.makespan > best.makespan;
      if (done == 0 || m.makespan <= best.makespan) best = m;
      if (worse) {
        ++done;
        break;
      }
      for (int i = 0; i < p_.size; ++i) key[at(i)] = mirrored(m, i);
      side = 1 - side;
    }
    best.passes = done;
    best.hash = static_cast<std::uint64_t>(best.makespan);
    for (const int t : best.start) best.hash = (best.hash ^ static_cast<std::uint64_t>(t)) * 0x100000001B3ULL + 17;
  }

  void insert(Member m) {
    if (m.start.empty()) return;
    out_.schedules += m.passes;
    report(m);
    for (const Member& x : pop_) {
      if (x.hash == m.hash) {
        idle_ += 1;
        return;
      }
    }
    const auto place = std::upper_bound(pop_.begin(), pop_.end(), m, better);
    if (pop_.size() >= population() && place == pop_.end()) {
      idle_ += 1;
      return;
    }
    idle_ = 0;
    pop_.insert(place, std::move(m));
    if (pop_.size() > population()) pop_.pop_back();
  }

  void breed(std::uint64_t turn) {
    const int passes = static_cast<int>(std::min<std::int64_t>(tuning_.passes, left()));  // never beyond the budget
    const int count = static_cast<int>(std::clamp<std::int64_t>(left() / passes, 1, kBatch));
    std::vector<Member> children(at(count));
    crew_.run(count, [&](int worker, int k) {
      if (stopped()) return;
      Random random(o_.seed, turn, static_cast<std::uint64_t>(k));
      std::vector<int>& key = scratch_[at(worker)];
      const int side = cross(random, key);
      improve(worker, side, key, children[at(k)], passes);
    });
    for (Member& m : children) insert(std::move(m));
  }

  int mirrored(const Member& m, int i) const { return m.makespan - m.start[at(i)] - p_.duration[at(i)]; }
  int key_on(const Member& m, int side, int i) const { return m.side == side ? m.start[at(i)] : mirrored(m, i); }

  // Keys for the side the father was not built on: the mother's order with the father's busiest stretch.
  int cross(Random& random, std::vector<int>& key) {
    const auto pick = [&] {
      std::size_t k = random.below(pop_.size());
      k = std::min(k, random.below(pop_.size()));  // the population is sorted
      return k;
    };
    const std::size_t fk = pick();
    std::size_t mk = pick();
    while (mk == fk && pop_.size() > 1) mk = random.below(pop_.size());
    const Member *father = &pop_[fk], *mother = &pop_[mk];
    const int side = 1 - father->side;
    const int n = p_.size, length = father->makespan;
    key.resize(at(n));
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
      const int f = mirrored(*father, i), m = key_on(*mother, side, i);
      if (f >= low && f < high) {
        key[at(i)] = f;
      } else {
        key[at(i)] = m < low ? m - away : m + away;
      }
    }
    if (random.unit() < tuning_.shake) {
      for (int i = 0; i < n; ++i) key[at(i)] = key_on(*father, side, i);
      const int w = std::max(2, static_cast<int>(length * tuning_.stretch * random.unit()));
      const int lo = static_cast<int>(random.below(at(length))) - w / 2;
      const int amp = std::max(1, w / 2);
      for (int i = 0; i < n; ++i) {
        if (key[at(i)] >= lo && key[at(i)] < lo + w)
          key[at(i)] += static_cast<int>(random.below(at(2 * amp + 1))) - amp;
      }
    }
    if (tuning_.stray > 0) {
      for (int& k : key) {
        if (random.unit() < tuning_.stray) k += static_cast<int>(random.below(at(length / 4 + 1))) - length / 8;
      }
    }
    return side;
  }

  void report(const Member& m) {
    if (out_.status != Status::unknown && m.makespan >= best_) return;
    best_ = m.makespan;
    Solution s;
    s.members.resize(at(p_.size));
    for (int i = 0; i < p_.size; ++i) {
      s.start.push_back(p_.unit * key_on(m, 0, i));
      s.duration.push_back(p_.unit * p_.duration[at(i)]);
    }
    s.cost.finish = p_.unit * m.makespan;
    out_.best = std::move(s);
    out_.status = best_ <= goal_ ? Status::optimal : Status::feasible;
    settle(out_, bound_);
    if (o_.on_better) o_.on_better(out_);
  }

  const Problem& problem_;
  const Plain& p_;
  const Cost bound_;
  const Options& o_;
  Crew crew_;
  Tuning tuning_;
  std::vector<std::unique_ptr<PlainBuilder>> builders_;
  std::vector<std::vector<int>> scratch_;
  std::vector<Member> pop_;
  int best_ = 0, goal_ = 0;
  double idle_ = 0;  // children in vain since the last good one
  std::size_t fresh_round_ = 0;
  double deadline_ = 0;
  Outcome out_;
};

}  // namespace

Outcome search_plain(const Problem& problem, const Plain& plain, const Cost& bound, const Options& options) {
  return PlainSearch(problem, plain, bound, options).run();
}

}  // namespace tackcloth::calendar
