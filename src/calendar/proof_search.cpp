// Branching, restarts and descent of the exact search.
#include <algorithm>

#include "calendar/cost.h"
#include "calendar/proof.h"
#include "calendar/proof_model.h"
#include "calendar/random.h"

namespace tackcloth::calendar {
namespace {

using proof::Literal;

std::size_t at(int i) { return static_cast<std::size_t>(i); }

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

constexpr std::int64_t kRestart = 100;   // dead ends to the first restart
constexpr std::int64_t kHotStart = 400;  // dead ends with starts in order of time, before activity takes over

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
    const auto horizon = proof::horizon_of(p_);
    if (!horizon) return std::move(out_);
    const Tick most = out_.found ? std::min(*horizon, out_.best.cost.finish - 1) : *horizon;
    if (out_.found && most < out_.bound.finish) return finished(Proof::optimal);
    auto encoding = proof::encode(p_, out_.bound, most);
    if (!encoding) return std::move(out_);
    e_ = std::move(*encoding);
    if (out_.found) follow(out_.best.start);
    const bool complete = search();
    if (!complete) return finished(Proof::gave_up);
    return finished(out_.found ? Proof::optimal : Proof::infeasible);
  }

 private:
  proof::Engine& engine() { return *e_.engine; }

  ProofOutcome finished(Proof how) {
    out_.proof = how;
    if (how == Proof::optimal) out_.bound = out_.best.cost;
    if (how == Proof::gave_up && e_.engine) {
      out_.bound.finish = std::max<Tick>(out_.bound.finish, root_finish_);
    }
    return std::move(out_);
  }

  bool stopped() const {
    if (limits_.cancel && limits_.cancel->load(std::memory_order_relaxed)) return true;
    if (limits_.stopped && limits_.stopped()) return true;
    return limits_.until > 0 && limits_.now_seconds && limits_.now_seconds() > limits_.until;
  }

  void follow(const std::vector<Tick>& start) {
    wish_.assign(at(engine().variables()), 0);
    known_.assign(at(engine().variables()), 0);
    for (std::size_t i = 0; i < start.size(); ++i) {
      wish_[at(e_.start[i])] = static_cast<int>(start[i]);
      known_[at(e_.start[i])] = 1;
    }
  }

  // True when everything below the incumbent is refuted.
  bool search() {
    std::int64_t restart = 0;
    for (;;) {
      engine().back_to(0);
      if (!exchange() || !engine().propagate()) return true;
      root_finish_ = engine().low(e_.finish);
      engine().tidy();
      by_time_ = out_.conflicts < kHotStart;
      std::int64_t left = kRestart * luby(restart++);
      for (std::int64_t steps = 0;; ++steps) {
        if (!engine().propagate()) {
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
          if (!record()) return true;
          break;
        }
        engine().decide(l);
      }
    }
  }

  // A better plan from elsewhere tightens the root.
  bool exchange() {
    Solution s;
    if (!limits_.newer || !limits_.newer(out_.found ? out_.best.cost : Cost{kForever, kForever, 0, 0}, s)) return true;
    out_.best = std::move(s);
    out_.found = true;
    follow(out_.best.start);
    return engine().assert_root(proof::at_most(e_.finish, static_cast<int>(out_.best.cost.finish - 1)));
  }

  Literal branch() {
    if (!by_time_) {
      for (;;) {
        const Literal l = engine().focus().pop(engine().level() + 1);
        if (l.bound < 0) break;
        if (engine().is_true(l) || engine().is_false(l)) continue;
        const int x = l.bound / 2;
        if (!known_.empty() && at(x) < known_.size() && known_[at(x)]) {
          return wish_[at(x)] >= l.value ? l : proof::negated(l);
        }
        return proof::negated(l);
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
    if (best < 0) return {};
    return proof::at_most(best, engine().low(best));
  }

  // All starts stand. False when nothing better can follow.
  bool record() {
    Solution s;
    for (int i = 0; i < p_.size; ++i) {
      s.start.push_back(engine().low(e_.start[at(i)]));
      s.duration.push_back(p_.model->activities[at(i)].duration);
    }
    s.members.resize(at(p_.size));
    s.cost = cost_of(*p_.model, s.start, s.duration);
    out_.best = std::move(s);
    out_.found = true;
    follow(out_.best.start);
    if (limits_.on_better) limits_.on_better(out_.best);
    return engine().assert_root(proof::at_most(e_.finish, static_cast<int>(out_.best.cost.finish - 1)));
  }

  const Problem& p_;
  const ProofLimits& limits_;
  ProofOutcome out_;
  proof::Encoding e_;
  std::vector<int> wish_;
  std::vector<char> known_;
  bool by_time_ = true;
  int root_finish_ = 0;
};

}  // namespace

ProofOutcome prove(const Problem& problem, const Cost& bound, const Solution* incumbent, const ProofLimits& limits) {
  return Descent(problem, bound, incumbent, limits).run();
}

}  // namespace tackcloth::calendar
