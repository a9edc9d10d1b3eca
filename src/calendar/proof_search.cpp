// Branching, restarts and descent of the exact search.
#include <algorithm>
#include <limits>

#include "calendar/cost.h"
#include "calendar/proof.h"
#include "calendar/proof_model.h"

namespace tackcloth::calendar {
namespace {

using proof::Literal;

// Luby, Sinclair & Zuckerman 1993: 1 1 2 1 1 2 4 ...
std::int64_t luby(std::int64_t k) {
  std::int64_t size = 1, power = 0;
  while (size < k + 1) {
    size = 2 * size + 1;
    ++power;
  }
  while (size - 1 != k) {
    size = (size - 1) / 2;
    --power;
    k %= size;
  }
  return std::int64_t{1} << power;
}

// Worse than any plan.
const Cost kNothing{std::numeric_limits<std::int64_t>::max(), 0, 0, 0};

constexpr std::int64_t kRestart = 100;   // dead ends to the first restart
constexpr std::int64_t kHotStart = 400;  // dead ends with starts in order of time, before activity takes over

// Parts of the cost in the order they count.
std::int64_t part(const Cost& c, int k) {
  return k == 0 ? c.lateness : k == 1 ? c.finish : k == 2 ? c.visits : c.moved;
}
std::int64_t& part(Cost& c, int k) { return k == 0 ? c.lateness : k == 1 ? c.finish : k == 2 ? c.visits : c.moved; }
constexpr int kParts = 4;

// One part of the cost after the other: better and better plans until one better is refuted.
class Descent {
 public:
  Descent(const Problem& p, const Cost& bound, const Solution* incumbent, const ProofLimits& limits)
      : p_(p), limits_(limits) {
    out_.bound = bound;
    if (incumbent) {
      out_.best = *incumbent;
      out_.found = true;
    }
  }

  ProofOutcome run() {
    auto horizon = proof::horizon_of(p_);
    const bool whole = limits_.horizon <= 0 && limits_.parts >= kParts;
    if (limits_.horizon > 0) horizon = std::min(horizon.value_or(kForever), limits_.horizon);
    if (!horizon) return std::move(out_);
    for (bool first = true;; first = false) {
      stage_ = next_stage();
      if (stage_ >= limits_.parts) return finished(whole ? Proof::optimal : Proof::gave_up);
      auto encoding = proof::encode(p_, out_.bound, ceiling(*horizon), stage_, *horizon, limits_.edge_finding);
      if (!encoding) return finished(first ? Proof::declined : Proof::gave_up);
      e_ = std::move(*encoding);
      engine().stop = [this] { return stopped(); };
      if (!search() || broken_) {
        engine().back_to(0);
        if (whole && e_.exact && !broken_ && !engine().refuted()) {
          part(out_.bound, stage_) =
              std::max<std::int64_t>(part(out_.bound, stage_), engine().low(e_.objective[stage_]));
        }
        return finished(Proof::gave_up);
      }
      if (whole && !e_.exact) return finished(Proof::gave_up);
      if (!out_.found) return finished(whole ? Proof::infeasible : Proof::gave_up);
      part(out_.bound, stage_) = part(out_.best.cost, stage_);
    }
  }

 private:
  // The first part of the cost that does not meet its bound yet.
  int next_stage() const {
    for (int k = 0; k < kParts; ++k) {
      if (k == 0 && p_.model->promises.empty()) continue;
      if (!out_.found || part(out_.best.cost, k) > part(out_.bound, k)) return k;
    }
    return kParts;
  }

  Cost ceiling(Tick horizon) const {
    Cost c{0, kForever, kForever, kForever};
    for (const Promise& q : p_.model->promises) c.lateness += q.weight * std::max<Tick>(0, horizon - q.due);
    for (int k = 0; k <= stage_ && out_.found; ++k) {
      part(c, k) = std::min(part(c, k), part(out_.best.cost, k) - (k == stage_ ? 1 : 0));
    }
    return c;
  }

  proof::Engine& engine() { return *e_.engine; }

  ProofOutcome finished(Proof how) {
    out_.proof = how;
    return std::move(out_);
  }

  bool stopped() const {
    if (limits_.cancel && limits_.cancel->load(std::memory_order_relaxed)) return true;
    if (limits_.stopped && limits_.stopped()) return true;
    return limits_.until > 0 && limits_.now_seconds && limits_.now_seconds() > limits_.until;
  }

  // True when everything below the incumbent is refuted.
  bool search() {
    std::int64_t restart = 0;
    for (;;) {
      engine().back_to(0);
      if (!exchange()) return true;
      if (!engine().propagate()) return !engine().interrupted();
      engine().tidy();
      by_time_ = out_.conflicts < kHotStart;
      std::int64_t left = kRestart * luby(restart++);
      for (std::int64_t steps = 0;; ++steps) {
        if (!engine().propagate()) {
          if (engine().interrupted()) return false;
          ++out_.conflicts;
          --left;
          if (engine().refuted() || !engine().learn()) return true;
          if (out_.conflicts % 64 == 0 && stopped()) return false;
          if (out_.conflicts >= limits_.conflicts) return false;
          continue;
        }
        if (left <= 0) break;
        if (steps % 1024 == 1023 && stopped()) return false;
        const Literal l = branch();
        if (l.bound < 0) {
          if (!record()) return !broken_;
          break;
        }
        engine().decide(l);
      }
    }
  }

  // A better plan from elsewhere tightens the root.
  bool exchange() {
    Solution s;
    if (!limits_.newer || !limits_.newer(out_.found ? out_.best.cost : kNothing, s)) return true;
    out_.best = std::move(s);
    out_.found = true;
    return beat();
  }

  bool beat() {
    const auto most = static_cast<int>(part(out_.best.cost, stage_) - 1);
    return engine().assert_root(proof::at_most(e_.objective[stage_], most));
  }

  Literal branch() {
    if (!by_time_) {
      for (;;) {
        const Literal l = engine().focus().pop(engine().level() + 1);
        if (l.bound < 0) break;
        if (engine().is_true(l) || engine().is_false(l)) continue;
        return proof::negated(l);  // early rather than late
      }
    }
    int best = -1;
    for (const int x : e_.start) {
      if (engine().fixed(x)) continue;
      if (best < 0 || engine().low(x) < engine().low(best) ||
          (engine().low(x) == engine().low(best) && engine().high(x) < engine().high(best))) {
        best = x;
      }
    }
    if (best < 0) {  // the rest follows at its least
      for (best = 0; best < engine().variables() && engine().fixed(best);) ++best;
      if (best == engine().variables()) return {};
    }
    return proof::at_most(best, engine().low(best));
  }

  // Everything stands. False when nothing better can follow.
  bool record() {
    Solution s = proof::plan_of(p_, e_);
    s.cost = cost_of(*p_.model, s.start, s.duration);
    // The independent checker has the last word: a plan it refuses is never handed out, and nothing is proven then.
    broken_ = !violations(*p_.model, s).empty() || part(s.cost, stage_) > engine().high(e_.objective[stage_]);
    if (broken_) return false;
    out_.best = std::move(s);
    out_.found = true;
    if (limits_.on_better) limits_.on_better(out_.best);
    return beat();
  }

  const Problem& p_;
  const ProofLimits& limits_;
  ProofOutcome out_;
  proof::Encoding e_;
  bool by_time_ = true;
  int stage_ = 0;
  bool broken_ = false;
};

}  // namespace

ProofOutcome prove(const Problem& problem, const Cost& bound, const Solution* incumbent, const ProofLimits& limits) {
  return Descent(problem, bound, incumbent, limits).run();
}

}  // namespace tackcloth::calendar
