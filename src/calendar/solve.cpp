#include "calendar/solve.h"

#include <algorithm>
#include <atomic>
#include <condition_variable>
#include <limits>
#include <memory>
#include <mutex>
#include <thread>

#include "calendar/bound.h"
#include "calendar/plain.h"
#include "calendar/problem.h"
#include "calendar/proof.h"
#include "calendar/search.h"

namespace tackcloth::calendar {
namespace {

// Share of the time that goes to schedules before the exact search when there is one thread for both.
constexpr double kFirstShare = 0.25;
constexpr std::int64_t kNoLimit = std::numeric_limits<std::int64_t>::max();

// Open activities up to which a model with calendars is searched as a whole, and the share of the time for that.
constexpr std::ptrdiff_t kMostAsWhole = 150;
constexpr double kWholeShare = 0.6;
// Open activities up to which it pays to search windows beside the schedules.
constexpr std::ptrdiff_t kMostInWindows = 2000;

bool has_plan(const Outcome& o) { return o.status == Status::optimal || o.status == Status::feasible; }

// Two searches on one problem: what one finds tightens the other.
class Team {
 public:
  Team(const Problem& problem, const Options& options)
      : problem_(problem), o_(options), bound_(lower_bound(problem)), plain_(plain_of(problem)) {
    if (o_.max_seconds > 0 && o_.now_seconds) begin_ = o_.now_seconds();
    const auto& all = problem.model->activities;
    open_ = std::count_if(all.begin(), all.end(), [](const Activity& a) { return !a.fixed_start; });
  }

  Outcome run() {
    if (o_.max_seconds > 0 && o_.now_seconds && !plain_ && open_ > kMostInWindows) {
      schedules(o_.threads, o_.max_seconds);
    } else if (o_.max_seconds > 0 && o_.now_seconds) {
      o_.threads >= 2 ? side_by_side() : one_after_the_other();
    } else {
      schedules(o_.threads, 0);
      if (o_.proof_conflicts > 0 && !closed()) exact(o_.proof_conflicts, 0);
    }
    if (has_plan(best_) && best_.best.cost == bound_) best_.status = Status::optimal;
    settle(best_, bound_);
    return std::move(best_);
  }

 private:
  bool closed() {
    const std::lock_guard lock(mutex_);
    return best_.status == Status::optimal || best_.status == Status::infeasible ||
           (o_.cancel && o_.cancel->load(std::memory_order_relaxed));
  }

  void side_by_side() {
    std::thread exact_thread([&] { exact(kNoLimit, begin_ + o_.max_seconds); });
    schedules(o_.threads - 1, o_.max_seconds);
    {
      const std::lock_guard lock(mutex_);
      searched_ = true;
    }
    first_plan_.notify_all();
    exact_thread.join();
  }

  void one_after_the_other() {
    schedules(1, kFirstShare * o_.max_seconds);
    if (closed()) return;
    const bool declined = exact(kNoLimit, begin_ + o_.max_seconds);
    const double left = begin_ + o_.max_seconds - o_.now_seconds();
    if (declined && !closed() && left > 0 && best_.schedules < o_.max_schedules) schedules(1, o_.max_seconds);
  }

  void schedules(int threads, double seconds) {
    Options o = o_;
    o.threads = threads;
    o.max_seconds = seconds;
    if (seconds > 0) {  // the end comes early when the exact search has the answer
      const double from = o_.now_seconds();
      auto asked = std::make_shared<std::atomic<bool>>(false);
      o.now_seconds = [this, from, seconds, asked] {
        if (!asked->exchange(true)) return from;  // the search sets its deadline by the first answer
        const std::lock_guard lock(mutex_);
        return settled_ ? from + 2 * seconds : o_.now_seconds();
      };
    }
    o.on_better = [this](const Outcome& out) { offer(out.best); };
    Outcome out = plain_ ? search_plain(problem_, *plain_, bound_, o) : search(problem_, bound_, o);
    const std::lock_guard lock(mutex_);
    best_.schedules += out.schedules;
    if (has_plan(out) && (!has_plan(best_) || out.best.cost < best_.best.cost)) best_.best = out.best;
    if (settled_) return;
    if (has_plan(out) && !has_plan(best_)) best_.status = Status::feasible;
    if (out.status == Status::optimal) best_.status = Status::optimal;
    if (!has_plan(best_)) best_.explanation = out.explanation;
    settled_ = best_.status == Status::optimal;
  }

  ProofLimits limits(std::int64_t conflicts, double until) {
    ProofLimits l;
    l.conflicts = conflicts;
    l.now_seconds = o_.now_seconds;
    l.until = until;
    l.cancel = o_.cancel;
    l.seed = o_.seed;
    l.edge_finding = o_.edge_finding;
    l.stopped = [this] {
      const std::lock_guard lock(mutex_);
      return settled_;
    };
    l.on_better = [this](const Solution& s) { offer(s); };
    l.newer = [this](const Cost& than, Solution& s) {
      const std::lock_guard lock(mutex_);
      if (!has_plan(best_) || !(best_.best.cost < than)) return false;
      s = best_.best;
      return true;
    };
    return l;
  }

  // As a whole when it is small enough; then, or else, window by window. True when it has no say in this problem.
  bool exact(std::int64_t conflicts, double until) {
    bool declined = true;
    if (plain_ || open_ <= kMostAsWhole) {
      const double half = until > 0 && !plain_ ? o_.now_seconds() + (until - o_.now_seconds()) * kWholeShare : until;
      declined = whole(plain_ ? conflicts : conflicts / 2, half);
      if (plain_ || closed()) return declined;
    }
    Solution plan;
    {
      std::unique_lock lock(mutex_);
      if (o_.threads >= 2 && until > 0)
        first_plan_.wait(lock, [&] { return has_plan(best_) || settled_ || searched_; });
      if (settled_ || !has_plan(best_)) return declined;
      plan = best_.best;
    }
    improve_windows(problem_, plan, limits(conflicts / 2, until));
    offer(plan);
    return declined;
  }

  bool whole(std::int64_t conflicts, double until) {
    Solution start;
    bool have = false;
    Cost bound;
    {
      const std::lock_guard lock(mutex_);
      have = has_plan(best_);
      if (have) start = best_.best;
      bound = bound_;
    }
    const ProofOutcome out = prove(problem_, bound, have ? &start : nullptr, limits(conflicts, until));
    if (out.found) offer(out.best);
    const std::lock_guard lock(mutex_);
    if (out.proof == Proof::declined) return true;
    if (settled_) return false;
    bound_ = out.bound;
    if (out.proof == Proof::optimal) best_.status = Status::optimal;
    if (out.proof == Proof::infeasible) {
      best_.status = Status::infeasible;
      best_.explanation = "no schedule exists: every order of the work that competes was refuted (" +
                          std::to_string(out.conflicts) + " dead ends)";
    }
    settled_ = out.proof == Proof::optimal || out.proof == Proof::infeasible;
    return false;
  }

  void offer(const Solution& s) {
    const std::lock_guard lock(mutex_);
    if (settled_ || (has_plan(best_) && !(s.cost < best_.best.cost))) return;
    best_.best = s;
    best_.status = s.cost == bound_ ? Status::optimal : Status::feasible;
    settled_ = best_.status == Status::optimal;
    best_.explanation.clear();
    first_plan_.notify_all();
    settle(best_, bound_);
    if (o_.on_better) o_.on_better(best_);
  }

  const Problem& problem_;
  const Options& o_;
  Cost bound_;
  const std::optional<Plain> plain_;
  std::ptrdiff_t open_ = 0;  // activities that may still move
  double begin_ = 0;
  std::mutex mutex_;  // guards what follows
  Outcome best_;
  bool settled_ = false, searched_ = false;
  std::condition_variable first_plan_;
};

}  // namespace

Outcome solve(const Model& model, const Options& options) {
  Outcome outcome;
  Problem problem(model);
  problem.cancel = options.cancel;
  const std::string reason = prepare(problem);
  if (!reason.empty()) {
    outcome.status = problem.cancelled() ? Status::unknown : Status::infeasible;
    outcome.explanation = reason;
    return outcome;
  }
  return Team(problem, options).run();
}

}  // namespace tackcloth::calendar
