#include "calendar/proof_engine.h"

#include <algorithm>

namespace tackcloth::calendar::proof {
namespace {

constexpr std::int64_t kPause = 4096;  // bounds between two looks at the clock

}  // namespace

int Engine::add_variable(int low, int high) {
  const int x = variables();
  for (const int v : {low, -high}) {
    value_.push_back(v);
    root_.push_back(v);
    last_.push_back(-1);
    needed_.push_back(kUnneeded);
    needed_at_.push_back(-1);
    arcs_.emplace_back();
    switches_.emplace_back();
    watches_.emplace_back();
    wakes_.emplace_back();
  }
  if (low > high) refuted_ = true;
  return x;
}

void Engine::add_arc(int x, int y, int weight, Literal condition) {
  // Contraposition: -x >= -y + weight.
  const int ends[2][2] = {{2 * x, 2 * y}, {2 * y + 1, 2 * x + 1}};
  for (const auto& [from, to] : ends) {
    if (condition != kAlways) {
      switches_[index(condition.bound)].push_back({condition.value, from, static_cast<int>(arcs_[index(from)].size())});
    }
    arcs_[index(from)].push_back({to, weight, condition});
    if (condition != kAlways && !is_true(condition)) {
      if (value_[index(from)] + weight > -value_[index(to ^ 1)] && !set(negated(condition), Reason{})) refuted_ = true;
    } else if (!set(Literal{to, value_[index(from)] + weight}, Reason{})) {
      refuted_ = true;
    }
  }
}

int Engine::add_propagator(std::unique_ptr<Propagator> propagator, const std::vector<int>& bounds, Priority priority) {
  const auto id = static_cast<std::int32_t>(propagators_.size());
  propagators_.push_back(std::move(propagator));
  queued_.push_back(1);
  priority_.push_back(priority);
  (priority == Priority::late ? late_queue_ : queue_).push_back(id);
  for (const int b : bounds) wakes_[index(b)].push_back(id);
  return id;
}

int Engine::before(int bound, int position) const {
  std::int32_t e = last_[index(bound)];
  while (e >= position) e = trail_[index(e)].previous;
  return e < 0 ? root_[index(bound)] : trail_[index(e)].value;
}

int Engine::since(Literal l) const {
  if (root_[index(l.bound)] >= l.value) return -1;
  std::int32_t e = last_[index(l.bound)];
  for (;;) {
    const std::int32_t p = trail_[index(e)].previous;
    if (p < 0 || trail_[index(p)].value < l.value) return e;
    e = p;
  }
}

bool Engine::set(Literal l, Reason reason) {
  std::int32_t& value = value_[index(l.bound)];
  if (l.value <= value) return true;
  if (is_false(l)) {
    conflict_.clear();
    if (level() > 0) explain(l, reason, static_cast<int>(trail_.size()), conflict_);
    conflict_.push_back(negated(l));
    return false;
  }
  value = l.value;
  if (level() == 0) root_[index(l.bound)] = l.value;
  trail_.push_back({l.bound, l.value, last_[index(l.bound)], level(), reason});
  last_[index(l.bound)] = static_cast<std::int32_t>(trail_.size() - 1);
  return true;
}

bool Engine::set(Literal l, const std::vector<Literal>& premises) {
  if (is_true(l)) return true;
  Reason reason{Reason::listed, static_cast<std::int32_t>(listed_.size()), static_cast<std::int32_t>(premises.size())};
  listed_.insert(listed_.end(), premises.begin(), premises.end());
  return set(l, reason);
}

int Engine::note(int a, int b) {
  listed_.push_back({a, b});
  return static_cast<int>(listed_.size()) - 1;
}

std::vector<Literal> Engine::why(Literal l) const {
  std::vector<Literal> out;
  const int position = since(l);
  if (position >= 0) explain(l, trail_[index(position)].reason, position, out);
  return out;
}

bool Engine::fail(std::vector<Literal> literals) {
  conflict_ = std::move(literals);
  return false;
}

void Engine::explain(Literal l, Reason reason, int position, std::vector<Literal>& out) const {
  switch (reason.kind) {
    case Reason::decided:
      break;
    case Reason::clause: {
      const Clause& c = clauses_[index(reason.id)];
      for (std::size_t k = 1; k < c.head.size; ++k) out.push_back(negated(store_[c.first + k]));
      break;
    }
    case Reason::arc: {
      const Arc& a = arcs_[index(reason.id)][index(reason.data)];
      out.push_back({reason.id, l.value - a.weight});
      if (a.condition != kAlways) out.push_back(a.condition);
      break;
    }
    case Reason::excluded: {  // the arc would push its head beyond what it can reach
      const Arc& a = arcs_[index(reason.id)][index(reason.data)];
      const int reach = -before(a.to ^ 1, position);
      out.push_back({a.to ^ 1, -reach});
      out.push_back({reason.id, reach - a.weight + 1});
      break;
    }
    case Reason::asked:
      propagators_[index(reason.id)]->explain(*this, l, reason.data, position, out);
      break;
    case Reason::listed:
      out.insert(out.end(), listed_.begin() + reason.id, listed_.begin() + reason.id + reason.data);
      break;
  }
}

bool Engine::visit_arcs(const Entry& e) {
  const std::vector<Arc>& arcs = arcs_[index(e.bound)];
  const int now = e.value;
  for (std::size_t k = 0; k < arcs.size(); ++k) {
    const Arc& a = arcs[k];
    const int pushed = now + a.weight;
    if (pushed <= value_[index(a.to)]) continue;
    if (a.condition == kAlways || is_true(a.condition)) {
      if (!set(Literal{a.to, pushed}, Reason{Reason::arc, e.bound, static_cast<std::int32_t>(k)})) return false;
    } else if (pushed > -value_[index(a.to ^ 1)] && !is_false(a.condition)) {
      if (!set(negated(a.condition), Reason{Reason::excluded, e.bound, static_cast<std::int32_t>(k)})) return false;
    }
  }
  for (const Switch& s : switches_[index(e.bound)]) {
    if (s.value > now) continue;
    const Arc& a = arcs_[index(s.from)][index(s.position)];
    const int pushed = value_[index(s.from)] + a.weight;
    if (!set(Literal{a.to, pushed}, Reason{Reason::arc, s.from, s.position})) return false;
  }
  return true;
}

// Clauses watched at a literal that this rise of a bound has made false.
bool Engine::visit_clauses(const Entry& e, int old) {
  std::vector<Watch>& list = watches_[index(e.bound)];
  std::size_t kept = 0;
  bool fine = true;
  for (std::size_t k = 0; k < list.size(); ++k) {
    const Watch w = list[k];
    list[kept++] = w;
    if (w.threshold > e.value || w.threshold <= old || is_true(w.blocker)) continue;
    const Clause& c = clauses_[w.clause];
    Literal* l = literals(w.clause);
    const Literal gone{e.bound ^ 1, 1 - w.threshold};
    if (l[0] == gone) std::swap(l[0], l[1]);
    if (is_true(l[0])) {
      list[kept - 1].blocker = l[0];
      continue;
    }
    bool moved = false;
    for (std::size_t i = 2; i < c.head.size; ++i) {
      if (is_false(l[i])) continue;
      std::swap(l[1], l[i]);
      watches_[index(l[1].bound ^ 1)].push_back({1 - l[1].value, w.clause, l[0]});
      --kept;
      moved = true;
      break;
    }
    if (moved) continue;
    if (!set(l[0], Reason{Reason::clause, static_cast<std::int32_t>(w.clause), 0})) {
      for (++k; k < list.size(); ++k) list[kept++] = list[k];
      fine = false;
    }
  }
  list.resize(kept);
  return fine;
}

// Do the newest bounds follow from themselves through arcs? Then the conditions on that ring cannot hold together,
// whatever the bounds: false, without climbing through the whole domain.
bool Engine::ring() {
  std::vector<std::int32_t> path;
  std::vector<Literal> conditions;
  auto position = static_cast<std::int32_t>(trail_.size()) - 1;
  while (position >= 0) {
    const Entry& e = trail_[index(position)];
    const auto seen = std::find(path.begin(), path.end(), e.bound);
    if (seen != path.end()) {
      conflict_.assign(conditions.begin() + (seen - path.begin()), conditions.end());
      std::erase(conflict_, kAlways);
      return false;
    }
    if (e.reason.kind != Reason::arc) return true;
    const Arc& a = arcs_[index(e.reason.id)][index(e.reason.data)];
    path.push_back(e.bound);
    conditions.push_back(a.condition);
    position = since({e.reason.id, e.value - a.weight});
  }
  return true;
}

bool Engine::propagate() {
  if (refuted_) return false;
  bool fine = true;
  const auto span = static_cast<std::size_t>(4 * variables() + 64);
  std::size_t look_at = trail_.size() + span;
  while (fine) {
    if (head_ < trail_.size()) {
      if (trail_.size() > look_at) {  // much for one decision: arcs may chase each other
        look_at += span;
        if (!(fine = ring())) break;
      }
      const Entry e = trail_[head_++];
      if (++propagations % kPause == 0 && stop && stop()) {
        interrupted_ = true;
        break;
      }
      const int old = e.previous >= 0 ? trail_[index(e.previous)].value : kUnneeded;
      for (const std::int32_t p : wakes_[index(e.bound)]) {
        if (queued_[index(p)]) continue;
        queued_[index(p)] = 1;
        (priority_[index(p)] == Priority::late ? late_queue_ : queue_).push_back(p);
      }
      fine = visit_arcs(e) && visit_clauses(e, old);
      continue;
    }
    std::vector<std::int32_t>& queue = queue_.empty() ? late_queue_ : queue_;
    if (queue.empty()) return true;
    const std::int32_t p = queue.front();
    queue.erase(queue.begin());
    queued_[index(p)] = 0;
    fine = propagators_[index(p)]->propagate(*this, p);
  }
  for (std::vector<std::int32_t>* queue : {&queue_, &late_queue_}) {
    for (const std::int32_t p : *queue) queued_[index(p)] = 0;
    queue->clear();
  }
  head_ = trail_.size();
  if (level() == 0 && !interrupted_) refuted_ = true;
  return false;
}

void Engine::decide(Literal l) {
  levels_.push_back(trail_.size());
  listed_at_.push_back(listed_.size());
  set(l, Reason{});
}

void Engine::back_to(int target) {
  if (level() <= target) return;
  const std::size_t keep = levels_[index(target)];
  while (trail_.size() > keep) {
    const Entry& e = trail_.back();
    last_[index(e.bound)] = e.previous;
    value_[index(e.bound)] = e.previous >= 0 ? trail_[index(e.previous)].value : root_[index(e.bound)];
    trail_.pop_back();
  }
  listed_.resize(listed_at_[index(target)]);
  levels_.resize(index(target));
  listed_at_.resize(index(target));
  head_ = trail_.size();
  focus_.restore(target);
}

bool Engine::assert_root(Literal l) {
  back_to(0);
  if (!set(l, Reason{})) refuted_ = true;
  return !refuted_;
}

}  // namespace tackcloth::calendar::proof
