// From a dead end to a clause: the first unique implication point (Marques-Silva & Sakallah 1999; Moskewicz et al.
// 2001) over bounds. Of several literals on one bound only the strongest is needed, and a reason is asked for exactly
// the value that is needed, not for the value that was reached.
#include <algorithm>

#include "calendar/proof_engine.h"

namespace tackcloth::calendar::proof {

// Adds a true literal to what the dead end follows from.
void Engine::need(Literal l) {
  if (l.value <= root_[index(l.bound)]) return;
  std::int32_t& needed = needed_[index(l.bound)];
  std::int32_t& where = needed_at_[index(l.bound)];
  if (needed != kUnneeded && needed >= l.value) return;
  const int position = since(l);
  focus_.bump(l);
  if (needed == kUnneeded) {
    touched_.push_back(l.bound);
  } else if (trail_[index(where)].level == conflict_level_) {
    --open_;
  }
  needed = l.value;
  where = position;
  if (trail_[index(position)].level == conflict_level_) ++open_;
}

// Implied by a literal of the clause that became true before `position`.
bool Engine::covered(Literal l, int position) const {
  if (l.value <= root_[index(l.bound)]) return true;
  return needed_[index(l.bound)] != kUnneeded && needed_[index(l.bound)] >= l.value &&
         needed_at_[index(l.bound)] < position;
}

// Leaves out literals whose reasons lie wholly in the others (Sorensson & Biere 2009, local form).
void Engine::minimise() {
  for (const std::int32_t b : touched_) {
    if (needed_[index(b)] == kUnneeded) continue;
    const int position = needed_at_[index(b)];
    const Entry& e = trail_[index(position)];
    if (e.reason.kind == Reason::decided || e.level == conflict_level_) continue;
    premises_.clear();
    explain({b, needed_[index(b)]}, e.reason, position, premises_);
    if (std::all_of(premises_.begin(), premises_.end(), [&](Literal p) { return covered(p, position); })) {
      clause_.push_back({b, needed_[index(b)]});
    }
  }
  for (const Literal l : clause_) needed_[index(l.bound)] = kUnneeded;
  clause_.clear();
}

bool Engine::learn() {
  // Reasons that came late may put the dead end below the newest level.
  int top = 0;
  for (const Literal l : conflict_) {
    const int position = since(l);
    if (position >= 0) top = std::max(top, trail_[index(position)].level);
  }
  if (top == 0) {
    refuted_ = true;
    return false;
  }
  back_to(top);
  conflict_level_ = top;
  open_ = 0;
  touched_.clear();
  clause_.clear();
  for (const Literal l : conflict_) need(l);
  Literal pivot;
  for (auto position = static_cast<int>(trail_.size()) - 1;; --position) {
    const Entry& e = trail_[index(position)];
    const int value = needed_[index(e.bound)];
    if (value == kUnneeded || needed_at_[index(e.bound)] != position) continue;
    if (open_ == 1) {
      pivot = {e.bound, value};
      break;
    }
    --open_;
    needed_[index(e.bound)] = kUnneeded;
    premises_.clear();
    explain({e.bound, value}, e.reason, position, premises_);
    for (const Literal p : premises_) need(p);
  }
  std::sort(touched_.begin(), touched_.end());
  touched_.erase(std::unique(touched_.begin(), touched_.end()), touched_.end());
  minimise();
  clause_.push_back(negated(pivot));
  int second = 0;
  std::vector<int> seen{conflict_level_};
  for (const std::int32_t b : touched_) {
    if (needed_[index(b)] == kUnneeded) continue;
    const int at = trail_[index(needed_at_[index(b)])].level;
    if (b != pivot.bound) {
      clause_.push_back(negated({b, needed_[index(b)]}));
      seen.push_back(at);
      if (at > second) {
        second = at;
        std::swap(clause_[1], clause_.back());
      }
    }
    needed_[index(b)] = kUnneeded;
  }
  std::sort(seen.begin(), seen.end());
  const auto lbd = static_cast<std::uint32_t>(std::unique(seen.begin(), seen.end()) - seen.begin());
  back_to(second);
  focus_.decay();
  if (clause_.size() == 1) {
    if (!set(clause_[0], Reason{})) refuted_ = true;
    return !refuted_;
  }
  const std::uint32_t c = keep(clause_, true, lbd);
  set(clause_[0], Reason{Reason::clause, static_cast<std::int32_t>(c), 0});
  return true;
}

std::uint32_t Engine::keep(const std::vector<Literal>& literals, bool learned, std::uint32_t lbd) {
  const auto id = static_cast<std::uint32_t>(clauses_.size());
  clauses_.push_back({store_.size(), {static_cast<std::uint32_t>(literals.size()), lbd, use_step_, learned}});
  store_.insert(store_.end(), literals.begin(), literals.end());
  learned_ += learned;
  watch(id);
  return id;
}

void Engine::watch(std::uint32_t clause) {
  const Literal* l = literals(clause);
  watches_[index(l[0].bound ^ 1)].push_back({1 - l[0].value, clause, l[1]});
  watches_[index(l[1].bound ^ 1)].push_back({1 - l[1].value, clause, l[0]});
}

bool Engine::add_clause(std::vector<Literal> literals) {
  for (const Literal l : literals) {
    if (is_true(l)) return true;
  }
  std::erase_if(literals, [&](Literal l) { return is_false(l); });
  if (literals.empty()) refuted_ = true;
  if (literals.size() == 1 && !set(literals[0], Reason{})) refuted_ = true;
  if (literals.size() > 1) keep(literals, false, 0);
  return !refuted_;
}

// Keeps clauses that span few levels (Audemard & Simon, IJCAI 2009), then the newest.
void Engine::tidy() {
  if (learned_ < learned_limit_ || level() > 0) return;
  learned_limit_ += 400;
  std::vector<std::uint32_t> order;
  for (std::uint32_t c = 0; c < clauses_.size(); ++c) {
    if (clauses_[c].head.learned && clauses_[c].head.lbd > 3) order.push_back(c);
  }
  std::sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
    const Head &x = clauses_[a].head, &y = clauses_[b].head;
    return x.lbd != y.lbd ? x.lbd > y.lbd : a < b;
  });
  std::vector<char> drop(clauses_.size(), 0);
  for (std::size_t k = 0; k < order.size() / 2; ++k) drop[order[k]] = 1;
  std::vector<Clause> clauses;
  std::vector<Literal> store;
  std::swap(clauses, clauses_);
  std::swap(store, store_);
  for (auto& list : watches_) list.clear();
  learned_ = 0;
  for (std::size_t c = 0; c < clauses.size(); ++c) {
    const Literal* first = store.data() + clauses[c].first;
    std::vector<Literal> l(first, first + clauses[c].head.size);
    if (drop[c] || std::any_of(l.begin(), l.end(), [&](Literal x) { return is_true(x); })) continue;
    std::erase_if(l, [&](Literal x) { return is_false(x); });
    if (l.size() > 1) {
      keep(l, clauses[c].head.learned, clauses[c].head.lbd);
    } else if (l.empty() || !set(l[0], Reason{})) {
      refuted_ = true;
    }
  }
}

}  // namespace tackcloth::calendar::proof
