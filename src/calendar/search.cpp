#include "calendar/search.h"

#include <algorithm>
#include <memory>
#include <tuple>

#include "calendar/builder.h"
#include "calendar/cost.h"
#include "calendar/crew.h"
#include "calendar/dispatch.h"
#include "calendar/mirror.h"
#include "calendar/moves.h"
#include "calendar/ticks.h"

namespace tackcloth::calendar {
namespace {

// Candidates made side by side, whatever the number of threads; fewer where each takes long, so that what one round
// found is used in the next.
constexpr int kRound = 16, kRoundOfMany = 4, kMany = 2000;
constexpr std::size_t kElite = 8;
constexpr std::int64_t kPromised = 3;  // a promise missed against an end wanted sooner
const std::vector<Wanted> kNoneWanted;
constexpr std::size_t kDispatched = 2;  // in sixteen candidates towards an earlier finish
constexpr std::int64_t kNear = 2;       // up to so many times the excess of the elite a plan is worth justifying

struct Result {
  Candidate candidate;
  Solution solution;
  bool built = false;
  int passes = 0;  // schedules generated for it
  int failed = -1;
};

class Search {
 public:
  Search(const Problem& p, const Cost& bound, const Options& o)
      : p_(p),
        bound_(bound),
        o_(o),
        moves_(p, bound.finish),
        round_(p.size > kMany ? kRoundOfMany : kRound),
        crew_(std::min(o.threads, round_)) {
    mirror_ = mirror_of(p_, bound_.finish);
    for (int k = 0; k < crew_.size(); ++k) {
      builders_.push_back(std::make_unique<Builder>(p_));
      if (mirror_) back_.push_back(std::make_unique<Builder>(*mirror_->problem));
    }
    if (mirror_) mirrored_moves_ = std::make_unique<Moves>(*mirror_->problem);
    if (o_.max_seconds > 0 && o_.now_seconds) deadline_ = o_.now_seconds() + o_.max_seconds;
  }

  Outcome run() {
    std::vector<Candidate> first = moves_.first();
    first.resize(std::min<std::size_t>(first.size(), static_cast<std::size_t>(std::max<std::int64_t>(1, left()))));
    round(static_cast<int>(first.size()), [&](int k) { return first[static_cast<std::size_t>(k)]; });
    for (std::uint64_t turn = 1; left() > 0 && !stopped() && !proven(); ++turn) {
      aim();
      const int jobs = static_cast<int>(std::clamp<std::int64_t>(left() / most_passes() - 1, 1, round_));
      round(jobs, [&](int k) {
        Random random(o_.seed, turn, static_cast<std::uint64_t>(k));
        if (elite_.empty()) return moves_.scatter(random);
        if (goal_ == 0) return moves_.vary(pick(random), random, {});
        if (random.below(16) < kDispatched) return from_start(random);
        const bool nearer = random.below(2) == 0;
        return moves_.vary(pick(nearer ? leading_ : elite_, random), random, nearer ? wanted_ : kNoneWanted);
      });
    }
    settle(out_, bound_);
    if (elite_.empty()) {
      out_.status = Status::unknown;
      out_.explanation = "no schedule found in " + std::to_string(out_.schedules) + " attempts";
      if (failed_ >= 0) out_.explanation += "; the last one stuck at " + label(*p_.model, failed_);
      if (o_.cancel && o_.cancel->load()) out_.explanation += " (cancelled)";
    }
    return std::move(out_);
  }

 private:
  std::int64_t left() const { return o_.max_schedules - out_.schedules; }
  // A justified candidate takes three schedules, and one more when it was dispatched.
  int most_passes() const { return goal_ > 0 ? 4 : 3; }
  bool stopped() const { return (o_.cancel && o_.cancel->load()) || (deadline_ > 0 && o_.now_seconds() > deadline_); }
  bool proven() const { return !elite_.empty() && out_.best.cost == bound_; }

  const Candidate& pick(Random& random) const {  // the better half twice as often
    return pick(random.below(2) == 0 ? elite_ : leading_, random);
  }

  static const Candidate& pick(const std::vector<Candidate>& from, Random& random) {
    const std::size_t k = std::min(random.below(from.size()), random.below(from.size()));
    return from[k];
  }

  // Promises are kept as well as can be: what is left is an earlier finish. It moves only when the last stretch is
  // emptied, so all ends are wanted by a moment before it, promises with them, and what each is late is made small.
  void aim() {
    const Cost& best = out_.best.cost;
    if (p_.model->promises.empty() || elite_.empty() || best.lateness > bound_.lateness) return;
    const bool reached = best.finish <= bound_.finish;
    const Tick goal = reached ? 0 : best.finish - (best.finish - bound_.finish) / 2;
    if (goal == goal_) return;
    goal_ = goal;
    wanted_.clear();
    for (const Promise& q : p_.model->promises) {
      if (reached) break;
      if (q.due < goal) wanted_.push_back({q.activity, q.due, kPromised * q.weight});
    }
    for (int i = 0; i < p_.size && !reached; ++i) {
      if (p_.next[static_cast<std::size_t>(i)].empty() &&
          !p_.model->activities[static_cast<std::size_t>(i)].fixed_start) {
        wanted_.push_back({i, goal, 1});
      }
    }
    if (mirror_ && latest_.empty()) {
      for (std::size_t i = 0; i < p_.next.size(); ++i) {
        latest_.push_back(mirror_->horizon - mirror_->problem->earliest[i] - p_.model->activities[i].duration);
      }
    }
    std::vector<Candidate> again;
    again.swap(leading_);
    again.insert(again.end(), elite_.begin(), elite_.end());
    for (const Candidate& c : again) keep_leading(c);
  }

  std::int64_t excess(const Candidate& c) const {
    std::int64_t sum = 0;
    for (const Wanted& w : wanted_) {
      const auto i = static_cast<std::size_t>(w.activity);
      const Tick end = c.start[i] + c.duration[i];
      sum += w.weight * std::max<Tick>(0, plus(end, p_.model->activities[i].tail(end)) - w.due);
    }
    return sum;
  }

  // What a bench can do as time goes by, with urgency and stock by chance. The ranges were chosen on the workshop
  // models of calendar_bench: up to 16 ticks of the calendar a tick of work, three and one tenth of the least finish.
  Candidate from_start(Random& random) {
    Policy policy;
    policy.behind = std::exp2(4 * random.unit());
    policy.calm = random.unit() * random.unit() * 0.3 * static_cast<double>(bound_.finish);
    policy.stock = random.unit() * random.unit() * 0.1 * static_cast<double>(bound_.finish);
    policy.fill = random.below(4) != 0;
    policy.noise = std::max(0.0, random.unit() - 0.3) * random.unit() * 0.1 * static_cast<double>(bound_.finish);
    policy.seed = random.below(1u << 30);
    Builder builder(p_);
    Candidate c;
    c.list = dispatch(builder, p_, wanted_, latest_, policy, o_.cancel);
    c.passes = 1;
    if (c.list.empty()) c.list = moves_.scatter(random).list;
    return c;
  }

  template <class Make>
  void round(int jobs, Make&& make) {
    std::vector<Result> results(static_cast<std::size_t>(jobs));
    const std::int64_t left_then = left() / most_passes();
    crew_.run(jobs, [&](int worker, int k) {
      Result& r = results[static_cast<std::size_t>(k)];
      // The very first candidate is always built, so that a tight clock still gives an answer.
      if (stopped() && !(out_.schedules == 0 && k == 0)) return;
      r.candidate = make(k);
      Builder& b = *builders_[static_cast<std::size_t>(worker)];
      r.built = b.build(r.candidate.list, r.candidate.not_before, o_.cancel);
      r.passes = 1 + r.candidate.passes;
      if (!r.built) {
        r.failed = b.last_failed();
        return;
      }
      accept(r, b);
      if (mirror_ && jobs < left_then && promising(r)) justify(r, worker);
    });
    for (Result& r : results) {
      out_.schedules += r.passes;
      if (r.built) {
        keep(r);
      } else if (r.passes > 0) {
        failed_ = r.failed;
      }
    }
  }

  void accept(Result& r, const Builder& b) const {
    r.solution = b.solution();
    r.candidate.start = r.solution.start;
    r.candidate.duration = r.solution.duration;
    r.candidate.cost = r.solution.cost;
    r.candidate.lead = moves_.lead(r.solution.start, r.solution.cost.finish);
  }

  // Double justification (Valls, Ballestin & Quintanilla 2005): everything as late as it goes, last ends first; then
  // forward again in the order this gives.
  void justify(Result& r, int worker) {
    Builder& back = *back_[static_cast<std::size_t>(worker)];
    const Solution& s = r.solution;
    std::vector<double> key(s.start.size());
    for (std::size_t i = 0; i < key.size(); ++i) key[i] = -static_cast<double>(s.start[i] + s.duration[i]);
    std::vector<Tick> from(key.size(), std::max<Tick>(0, mirror_->horizon - (goal_ > 0 ? goal_ : s.cost.finish)));
    for (const Wanted& w : wanted_) {  // promises are in the mirror
      const auto i = static_cast<std::size_t>(w.activity);
      from[i] = std::max(from[i], mirror_->horizon - w.due + p_.least_tail[i]);
    }
    ++r.passes;
    if (!back.build(mirrored_moves_->by_key(key), from, o_.cancel)) return;
    for (std::size_t i = 0; i < key.size(); ++i) {
      key[i] = static_cast<double>(mirror_->horizon - back.start()[i] - back.duration()[i]);
    }
    Builder& b = *builders_[static_cast<std::size_t>(worker)];
    Candidate again;
    again.list = moves_.by_key(key);
    again.not_before = r.candidate.not_before;
    ++r.passes;
    if (!b.build(again.list, again.not_before, o_.cancel)) return;
    const Cost cost = cost_of(*p_.model, b.start(), b.duration());
    again.start = b.start();
    again.duration = b.duration();
    const bool nearer = goal_ > 0 && !(r.candidate.cost < out_.best.cost) && excess(again) < excess(r.candidate);
    if (cost > r.candidate.cost && !nearer) return;
    r.candidate = std::move(again);
    accept(r, b);
  }

  // A new cost that would enter the elite; an old one has been through it.
  bool promising(const Result& r) const {
    const Cost& c = r.candidate.cost;
    if (goal_ > 0 && (leading_.size() < kElite || excess(r.candidate) < kNear * excess(leading_.back()))) return true;
    if (elite_.size() == kElite && !(c < elite_.back().cost)) return false;
    return std::none_of(elite_.begin(), elite_.end(), [&](const Candidate& e) { return e.cost == c; });
  }

  // The same by lateness, finish and what is nearest to an earlier finish, whatever the visits.
  void keep_leading(const Candidate& c) {
    const auto key = [&](const Candidate& x) {
      return goal_ > 0 ? std::tuple{excess(x), Tick{0}, 0.0} : std::tuple{x.cost.lateness, x.cost.finish, x.lead};
    };
    const auto place = std::lower_bound(leading_.begin(), leading_.end(), c,
                                        [&](const Candidate& a, const Candidate& b) { return key(a) < key(b); });
    if (place != leading_.end() && key(*place) == key(c)) {
      *place = c;
      return;
    }
    if (leading_.size() == kElite && place == leading_.end()) return;
    leading_.insert(place, c);
    if (leading_.size() > kElite) leading_.pop_back();
  }

  void keep(Result& r) {
    keep_leading(r.candidate);
    const bool better = elite_.empty() || r.candidate.cost < out_.best.cost;
    const auto place = std::lower_bound(elite_.begin(), elite_.end(), r.candidate,
                                        [](const Candidate& a, const Candidate& b) { return a.cost < b.cost; });
    if (place != elite_.end() && place->cost == r.candidate.cost) {
      *place = std::move(r.candidate);  // the newest of equals: drifts over plateaus
    } else if (elite_.size() < kElite || place != elite_.end()) {
      elite_.insert(place, std::move(r.candidate));
      if (elite_.size() > kElite) elite_.pop_back();
    }
    if (!better) return;
    out_.best = std::move(r.solution);
    out_.status = out_.best.cost == bound_ ? Status::optimal : Status::feasible;
    settle(out_, bound_);
    if (o_.on_better) o_.on_better(out_);
  }

  const Problem& p_;
  const Cost bound_;
  const Options& o_;
  const Moves moves_;
  const int round_;
  Crew crew_;
  std::unique_ptr<Mirror> mirror_;
  std::unique_ptr<Moves> mirrored_moves_;
  std::vector<std::unique_ptr<Builder>> builders_, back_;
  std::vector<Candidate> elite_, leading_;
  Outcome out_;
  std::vector<Wanted> wanted_;
  std::vector<Tick> latest_;  // start that still keeps the promises
  Tick goal_ = 0;
  double deadline_ = 0;
  int failed_ = -1;
};

}  // namespace

void settle(Outcome& out, const Cost& bound) {
  out.finish_lower_bound = bound.finish;
  out.lateness_lower_bound = bound.lateness;
  const Tick finish = out.best.cost.finish;
  out.gap_percent = bound.finish > 0 && finish > bound.finish
                        ? 100.0 * static_cast<double>(finish - bound.finish) / static_cast<double>(bound.finish)
                        : 0.0;
}

Outcome search(const Problem& problem, const Cost& bound, const Options& options) {
  return Search(problem, bound, options).run();
}

}  // namespace tackcloth::calendar
