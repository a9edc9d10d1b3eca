#include "calendar/search.h"

#include <algorithm>
#include <memory>

#include "calendar/builder.h"
#include "calendar/crew.h"
#include "calendar/moves.h"

namespace tackcloth::calendar {
namespace {

constexpr int kRound = 16;
constexpr std::size_t kElite = 8;

struct Result {
  Candidate candidate;
  Solution solution;
  bool built = false, tried = false;
  int failed = -1;
};

class Search {
 public:
  Search(const Problem& p, const Cost& bound, const Options& o)
      : p_(p), bound_(bound), o_(o), moves_(p), crew_(std::min(o.threads, kRound)) {
    for (int k = 0; k < crew_.size(); ++k) builders_.push_back(std::make_unique<Builder>(p_));
    if (o_.max_seconds > 0 && o_.now_seconds) deadline_ = o_.now_seconds() + o_.max_seconds;
  }

  Outcome run() {
    std::vector<Candidate> first = moves_.first();
    first.resize(std::min<std::size_t>(first.size(), static_cast<std::size_t>(std::max<std::int64_t>(1, left()))));
    round(static_cast<int>(first.size()), [&](int k) { return first[static_cast<std::size_t>(k)]; });
    for (std::uint64_t turn = 1; left() > 0 && !stopped() && !proven(); ++turn) {
      const int jobs = static_cast<int>(std::min<std::int64_t>(kRound, left()));
      round(jobs, [&](int k) {
        Random random(o_.seed, turn, static_cast<std::uint64_t>(k));
        return elite_.empty() ? moves_.scatter(random) : moves_.vary(pick(random), random);
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
  bool stopped() const { return (o_.cancel && o_.cancel->load()) || (deadline_ > 0 && o_.now_seconds() > deadline_); }
  bool proven() const { return !elite_.empty() && out_.best.cost == bound_; }

  const Candidate& pick(Random& random) const {  // the better half twice as often
    const std::size_t k = std::min(random.below(elite_.size()), random.below(elite_.size()));
    return elite_[k];
  }

  template <class Make>
  void round(int jobs, Make&& make) {
    std::vector<Result> results(static_cast<std::size_t>(jobs));
    crew_.run(jobs, [&](int worker, int k) {
      Result& r = results[static_cast<std::size_t>(k)];
      // The very first candidate is always built, so that a tight clock still gives an answer.
      if (stopped() && !(out_.schedules == 0 && k == 0)) return;
      r.candidate = make(k);
      r.tried = true;
      Builder& b = *builders_[static_cast<std::size_t>(worker)];
      r.built = b.build(r.candidate.list, r.candidate.not_before, o_.cancel);
      if (r.built) {
        r.solution = b.solution();
        r.candidate.start = r.solution.start;
        r.candidate.cost = r.solution.cost;
      } else {
        r.failed = b.last_failed();
      }
    });
    for (Result& r : results) {
      if (!r.tried) continue;
      ++out_.schedules;
      if (r.built) {
        keep(r);
      } else {
        failed_ = r.failed;
      }
    }
  }

  void keep(Result& r) {
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
  Crew crew_;
  std::vector<std::unique_ptr<Builder>> builders_;
  std::vector<Candidate> elite_;
  Outcome out_;
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
