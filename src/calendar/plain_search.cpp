// Genetic search on schedules as keys ("topological ordering", Valls, Quintanilla & Ballestin 2003). Parents are built
// on one side of time, their children on the other (Debels & Vanhoucke 2005), most of them with a stretch of their list
// packed (blocks rebuilt by a knapsack: Kochetov & Stolyar 2003), then justified to and fro while that helps (Valls,
// Ballestin & Quintanilla 2005). Newcomers come from both sides by packing.
#include <algorithm>
#include <cstdlib>
#include <iterator>
#include <limits>
#include <memory>

#include "calendar/at.h"
#include "calendar/bound.h"
#include "calendar/crew.h"
#include "calendar/plain.h"
#include "calendar/plain_builder.h"
#include "calendar/plain_cross.h"
#include "calendar/plain_seen.h"
#include "calendar/random.h"
#include "calendar/search.h"

namespace tackcloth::calendar {
namespace {

constexpr std::int64_t kBatch = 4;  // candidates made side by side, whatever the number of threads
constexpr int kTries = 4;           // to make a child that was not built before
constexpr int kNever = std::numeric_limits<int>::max() / 2;

enum class First { serial, packed, part_packed };  // how the first pass is built

// What one job hands back.
struct Made {
  PlainMember best;
  std::vector<std::uint64_t> lists;  // built
  std::uint64_t father = 0;          // by hash; 0: none
  PlainWay way = PlainWay::none;
};

class PlainSearch {
 public:
  PlainSearch(const Plain& plain, const Cost& bound, const Options& o, const PlainTuning& tuning)
      : p_(plain), bound_(bound), o_(o), tuning_(tuning), crew_(o.threads) {
    for (int k = 0; k < crew_.size(); ++k) {
      builders_.push_back(std::make_unique<PlainBuilder>(p_));
      crosses_.push_back(std::make_unique<PlainCross>(p_, tuning_));
    }
    keys_.resize(at(crew_.size()));
    mothers_.resize(at(crew_.size()));
    crosses_.front()->weights(weight_, nullptr);
    if (o_.max_seconds > 0 && o_.now_seconds) deadline_ = o_.now_seconds() + o_.max_seconds;
    goal_ = static_cast<int>((bound_.finish + p_.unit - 1) / p_.unit);
  }

  Outcome run() {
    begin();
    while (left() > 0 && !stopped() && best_ > goal_) {
      breed();
      if (vain_ > tuning_.patience * tuning_.population) {
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

  // Runs up to kBatch jobs of at most `most` schedules each, never beyond the budget.
  template <class Job>
  void batch(int most, Job&& job) {
    const int passes = static_cast<int>(std::min<std::int64_t>(most, left()));
    const int count = static_cast<int>(std::clamp<std::int64_t>(left() / passes, 1, kBatch));
    std::vector<Made> made(at(count));
    const std::uint64_t turn = turn_++;
    const bool first = out_.status == Status::unknown;
    crew_.run(count, [&](int worker, int k) {
      // The very first candidate is always built, so that a tight clock still gives an answer.
      if (stopped() && !(first && k == 0)) return;
      Random random(o_.seed, turn, static_cast<std::uint64_t>(k));
      job(worker, k, random, passes, made[at(k)]);
    });
    for (Made& m : made) {
      for (const std::uint64_t h : m.lists) seen_.add(h);
      const bool shorter = insert(std::move(m.best), m.father);
      ways_.record(m.way, shorter);
    }
    if (tuning_.adaptive) ways_.renew();
  }

  void begin() {
    vain_ = 0;
    for (int tries = 4 * tuning_.population; tries > 0 && static_cast<int>(pop_.size()) < tuning_.population;
         tries -= kBatch) {
      if (left() <= 0 || best_ <= goal_ || (stopped() && !pop_.empty())) return;
      const bool plain_rule = out_.schedules == 0;
      batch(tuning_.first_passes, [&](int worker, int k, Random& random, int passes, Made& made) {
        const bool blurred = !plain_rule || k > 1;
        const int side = blurred ? static_cast<int>(random.below(2)) : k;
        crosses_[at(worker)]->fresh(random, side, blurred, keys_[at(worker)]);
        const First first = random.unit() < tuning_.first_packed ? First::packed : First::serial;
        improve(worker, side, first, random, true, passes, kNever, made);
      });
    }
    vain_ = 0;
  }

  void breed() {
    batch(tuning_.passes, [&](int worker, int, Random& random, int passes, Made& made) {
      for (int tries = 1; tries <= kTries; ++tries) {
        const int f = pick(random);
        const PlainMember& father = pop_[at(f)];
        std::vector<const PlainMember*>& mothers = mothers_[at(worker)];
        mothers.clear();
        for (int k = 0; k < tuning_.mothers; ++k) {
          int m = k == 0 ? pick(random) : static_cast<int>(random.below(pop_.size()));
          for (int again = 0; m == f && again < 8; ++again) m = static_cast<int>(random.below(pop_.size()));
          mothers.push_back(&pop_[at(m)]);
        }
        made.way = crosses_[at(worker)]->child(random, father, mothers, ways_.factor(), keys_[at(worker)]);
        made.father = father.hash;
        const double draw = random.unit();
        const First first = draw < tuning_.packed_whole                    ? First::packed
                            : draw < tuning_.packed_whole + tuning_.packed ? First::part_packed
                                                                           : First::serial;
        const int limit = father.makespan + tuning_.slack;
        if (improve(worker, 1 - father.side, first, random, tries == kTries, passes, limit, made)) return;
      }
    });
  }

  int pick(Random& random) const {  // the population is sorted
    std::size_t k = random.below(pop_.size());
    double draws = tuning_.choose - 1;
    for (; draws >= 1; --draws) k = std::min(k, random.below(pop_.size()));
    if (draws > 0 && random.unit() < draws) k = std::min(k, random.below(pop_.size()));
    return static_cast<int>(k);
  }

  // Builds the keys of `worker` on `side`, then justifies to and fro: up to `passes` schedules in all, while the
  // makespan gets no worse and is within `limit`. False, and nothing built, when the list is known and not `forced`.
  bool improve(int worker, int side, First first, Random& random, bool forced, int passes, int limit, Made& made) {
    PlainBuilder& b = *builders_[at(worker)];
    std::vector<int>& key = keys_[at(worker)];
    PlainMember m;
    for (int done = 0; done < passes; ++done) {
      m.side = side;
      if (done == 0 && first == First::packed) {
        m.makespan = b.packed(side, key, weight_, tuning_.urgency, m.start);
      } else if (done == 0 && first == First::part_packed) {
        b.order(side, key);
        m.makespan = part_packed(b, side, random, m.start);
      } else {
        const std::uint64_t h = PlainSeen::hash(side, b.order(side, key));
        if (seen_.contains(h) && !(forced && done == 0)) {
          if (done == 0) return false;
          break;
        }
        made.lists.push_back(h);
        m.makespan = b.serial(side, m.start);
      }
      ++made.best.passes;
      const bool worse = done > 0 && m.makespan > made.best.makespan;
      if (!worse) {
        m.passes = made.best.passes;
        made.best = m;
      }
      if (worse || m.makespan > limit) break;
      for (int i = 0; i < p_.size; ++i) key[at(i)] = m.on(1 - side, i, p_.duration[at(i)]);
      side = 1 - side;
    }
    finish(made.best);
    return true;
  }

  // Along the last list of `b`, a stretch drawn at random packed.
  int part_packed(PlainBuilder& b, int side, Random& random, std::vector<int>& start) const {
    const double share = tuning_.packed_least + (tuning_.packed_most - tuning_.packed_least) * random.unit();
    const int longest = std::min(p_.size, tuning_.packed_at_most);
    const int width = std::clamp(static_cast<int>(p_.size * share), std::min(2, longest), longest);
    const int from = static_cast<int>(random.below(at(p_.size - width + 1)));
    return b.part_packed(side, weight_, tuning_.urgency, from, from + width, start);
  }

  void finish(PlainMember& m) const {
    m.centre = 0;
    m.hash = static_cast<std::uint64_t>(m.makespan * 2 + m.side);
    for (int i = 0; i < p_.size; ++i) {
      const std::int64_t work = static_cast<std::int64_t>(weight_[at(i)]) * p_.duration[at(i)];
      m.centre += work * (2 * m.start[at(i)] + p_.duration[at(i)]);
      m.hash = (m.hash ^ static_cast<std::uint64_t>(m.start[at(i)])) * 0x100000001B3ULL + 17;
    }
  }

  // The nearest member of its kind: within one step of its makespan and less than `apart` away.
  std::vector<PlainMember>::iterator alike(const PlainMember& m) {
    auto nearest = pop_.end();
    double least = tuning_.apart * p_.size;
    for (auto x = pop_.begin(); x != pop_.end(); ++x) {
      if (std::abs(x->makespan - m.makespan) > 1) continue;
      const double away = distance(p_, *x, m, least);
      if (away >= least) continue;
      least = away;
      nearest = x;
    }
    return nearest;
  }

  // Into the population when it is new and better than the worst. Instead of the worst it takes the place of one of its
  // kind, and must be better than that (crowding: De Jong 1975), or of its father when as long as he. True when it is
  // kept and shorter than its father.
  bool insert(PlainMember m, std::uint64_t father) {
    if (m.start.empty()) return false;
    out_.schedules += m.passes;
    report(m);
    ++vain_;
    auto parent = pop_.end();
    for (auto x = pop_.begin(); x != pop_.end(); ++x) {
      // The same schedule, or one with activities that are alike exchanged.
      if (x->makespan == m.makespan && x->side == m.side && x->centre == m.centre) return false;
      if (x->hash == father) parent = x;
    }
    const bool shorter = parent != pop_.end() && m.makespan < parent->makespan;
    if (static_cast<int>(pop_.size()) >= tuning_.population) {
      const auto rival = alike(m);
      if (!better(m, rival != pop_.end() ? *rival : pop_.back())) return false;
      const bool twin = parent != pop_.end() && parent->makespan == m.makespan && !better(*parent, m);
      pop_.erase(rival != pop_.end() ? rival : twin ? parent : std::prev(pop_.end()));
    }
    vain_ = 0;
    pop_.insert(std::upper_bound(pop_.begin(), pop_.end(), m, better), std::move(m));
    return shorter;
  }

  void report(const PlainMember& m) {
    if (out_.status != Status::unknown && m.makespan >= best_) return;
    best_ = m.makespan;
    Solution s;
    s.members.resize(at(p_.size));
    for (int i = 0; i < p_.size; ++i) {
      s.start.push_back(p_.unit * m.on(0, i, p_.duration[at(i)]));
      s.duration.push_back(p_.unit * p_.duration[at(i)]);
    }
    s.cost.finish = p_.unit * m.makespan;
    out_.best = std::move(s);
    out_.status = best_ <= goal_ ? Status::optimal : Status::feasible;
    settle(out_, bound_);
    if (o_.on_better) o_.on_better(out_);
  }

  const Plain& p_;
  const Cost bound_;
  const Options& o_;
  const PlainTuning tuning_;
  Crew crew_;
  std::vector<std::unique_ptr<PlainBuilder>> builders_;
  std::vector<std::unique_ptr<PlainCross>> crosses_;
  std::vector<std::vector<int>> keys_;  // one a worker
  std::vector<std::vector<const PlainMember*>> mothers_;
  std::vector<int> weight_;
  std::vector<PlainMember> pop_;  // sorted
  PlainSeen seen_;
  PlainWays ways_;
  int best_ = kNever, goal_ = 0;
  int vain_ = 0;  // candidates since the last that entered the population
  std::uint64_t turn_ = 0;
  double deadline_ = 0;
  Outcome out_;
};

}  // namespace

Outcome search_plain(const Problem&, const Plain& plain, const Cost& bound, const Options& options,
                     const PlainTuning& tuning) {
  return PlainSearch(plain, bound, options, tuning).run();
}

Outcome search_plain(const Problem& problem, const Plain& plain, const Cost& bound, const Options& options) {
  return search_plain(problem, plain, bound, options, plain_tuning(plain.size, options.max_schedules));
}

}  // namespace tackcloth::calendar
