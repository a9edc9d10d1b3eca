#include "calendar/proof_links.h"

#include <algorithm>

namespace tackcloth::calendar::proof {

Link::Link(int x, int target, int slope, std::vector<Piece> pieces, Literal condition)
    : x_(x), target_(target), slope_(slope), pieces_(std::move(pieces)), condition_(condition) {}

void Link::add(Engine& e, int x, int target, int slope, std::vector<Piece> pieces, Literal condition) {
  std::vector<int> bounds{2 * x, 2 * x + 1, target ^ 1};
  if (condition != kAlways) bounds.push_back(condition.bound);
  e.add_propagator(std::make_unique<Link>(x, target, slope, std::move(pieces), condition), bounds);
}

bool Link::conclude(Engine& e, Literal l, std::vector<Literal> premises) const {
  if (condition_ != kAlways) premises.push_back(condition_);
  return e.set(l, premises);
}

std::size_t Link::piece_of(int x) const {
  const auto k =
      std::upper_bound(pieces_.begin() + 1, pieces_.end(), x, [](int v, const Piece& p) { return v < p.from; });
  return static_cast<std::size_t>(k - pieces_.begin()) - 1;
}

// Keeps x where F(x) is within the reach of the target.
bool Link::narrow(Engine& e) {
  const auto most = [&] {  // the target can reach no more than this
    const int y = target_ / 2;
    return target_ % 2 == 0 ? e.high(y) : -e.low(y);
  };
  // What the target forbids at the lower end of x.
  for (std::size_t k = piece_of(e.low(x_)); k < pieces_.size();) {
    const int low = e.low(x_), cap = most();
    const int begin = std::max(low, from(k));
    if (begin > e.high(x_)) break;
    const int end = std::min(to(k), kFar);
    int next = begin;  // the first x >= begin of this piece with F(x) <= cap
    if (value(k, begin) > cap) next = slope_ > 0 ? end + 1 : std::max(begin, pieces_[k].plus - cap);
    if (next == begin) break;
    // How far down the same holds.
    std::size_t j = k;
    int since = begin;
    for (;;) {
      const int edge = slope_ > 0 ? std::max(from(j), cap - pieces_[j].plus + 1) : from(j);
      if (slope_ < 0 && value(j, std::min(since, to(j))) <= cap) break;
      since = std::min(since, edge);
      if (edge > from(j) || j == 0) break;
      --j;
      if (value(j, to(j)) <= cap) break;
    }
    next = std::min(next, end + 1);
    if (!conclude(e, at_least(x_, next), {at_least(x_, since), Literal{target_ ^ 1, -cap}})) return false;
    if (next <= end) break;
    ++k;
  }
  // And at the upper end.
  for (std::size_t k = piece_of(e.high(x_));; --k) {
    const int high = e.high(x_), cap = most();
    const int end = std::min(high, to(k)), begin = std::max(e.low(x_), from(k));
    if (value(k, end) <= cap) break;
    // slope 1: F falls towards the beginning of the piece; slope -1: it rises.
    int next = slope_ > 0 ? cap - pieces_[k].plus : begin - 1;
    next = std::max(next, begin - 1);
    if (!conclude(e, at_most(x_, next), {at_most(x_, end), Literal{target_ ^ 1, -cap}})) return false;
    if (next >= begin || k == 0 || begin <= e.low(x_)) break;
  }
  return true;
}

bool Link::propagate(Engine& e, int) {
  if (condition_ != kAlways && e.is_false(condition_)) return true;
  const bool holds = condition_ == kAlways || e.is_true(condition_);
  if (holds && !narrow(e)) return false;
  // What x asks of the target.
  const int low = e.low(x_), high = e.high(x_);
  const std::size_t first = piece_of(low), last = piece_of(high);
  int least_value = kFar;
  for (std::size_t k = first; k <= last; ++k) {
    least_value = std::min(least_value, least(k, std::max(low, from(k)), std::min(high, to(k))));
  }
  const Literal asked{target_, least_value};
  if (e.is_true(asked) || (!holds && !e.is_false(asked))) return true;
  int reach = slope_ > 0 ? kFar : high;  // up to here F stays at least as large
  if (slope_ > 0) {
    for (std::size_t k = last; k < pieces_.size(); ++k) {
      const int begin = std::max(high, from(k));
      if (value(k, begin) < least_value) {
        reach = begin - 1;
        break;
      }
    }
    reach = std::max(reach, high);
  }
  std::vector<Literal> premises;
  premises.push_back(at_least(x_, slope_ > 0 ? low : from(first)));
  if (reach < kFar) premises.push_back(at_most(x_, reach));
  if (holds) return conclude(e, asked, std::move(premises));
  premises.push_back(negated(asked));
  return e.set(negated(condition_), premises);
}

Closed::Closed(int x, std::shared_ptr<const std::vector<Stretch>> closed, std::vector<Literal> conditions)
    : x_(x), closed_(std::move(closed)), conditions_(std::move(conditions)) {}

void Closed::add(Engine& e, int x, std::shared_ptr<const std::vector<Stretch>> closed,
                 std::vector<Literal> conditions) {
  if (closed->empty()) return;
  std::vector<int> bounds{2 * x, 2 * x + 1};
  for (const Literal c : conditions) bounds.push_back(c.bound);
  e.add_propagator(std::make_unique<Closed>(x, std::move(closed), std::move(conditions)), bounds);
}

const Closed::Stretch* Closed::holding(int value) const {
  auto k =
      std::upper_bound(closed_->begin(), closed_->end(), value, [](int v, const Stretch& s) { return v < s.from; });
  if (k == closed_->begin()) return nullptr;
  --k;
  return value < k->to ? &*k : nullptr;
}

bool Closed::propagate(Engine& e, int) {
  int open = -1;
  for (std::size_t k = 0; k < conditions_.size(); ++k) {
    if (e.is_true(conditions_[k])) continue;
    if (e.is_false(conditions_[k]) || open >= 0) return true;
    open = static_cast<int>(k);
  }
  if (open >= 0) {
    const Stretch* s = holding(e.low(x_));
    if (!s || e.high(x_) >= s->to) return true;
    const Literal last = conditions_[static_cast<std::size_t>(open)];
    std::vector<Literal> premises{at_least(x_, s->from), at_most(x_, s->to - 1)};
    for (const Literal c : conditions_) {
      if (!(c == last)) premises.push_back(c);
    }
    return e.set(negated(last), premises);
  }
  std::vector<Literal> premises = conditions_;
  premises.emplace_back();
  if (const Stretch* s = holding(e.low(x_))) {
    premises.back() = at_least(x_, s->from);
    if (!e.set(at_least(x_, s->to), premises)) return false;
  }
  if (const Stretch* s = holding(e.high(x_))) {
    premises.back() = at_most(x_, s->to - 1);
    if (!e.set(at_most(x_, s->from - 1), premises)) return false;
  }
  return true;
}

void Sum::add(Engine& e, int total, std::vector<Term> terms, int plus) {
  std::vector<int> bounds{total ^ 1};
  for (const Term& t : terms) bounds.push_back(t.bound);
  e.add_propagator(std::make_unique<Sum>(total, std::move(terms), plus), bounds);
}

bool Sum::propagate(Engine& e, int) {
  const auto value = [&](int bound) { return bound % 2 == 0 ? e.low(bound / 2) : -e.high(bound / 2); };
  std::int64_t sum = plus_;
  for (const Term& t : terms_) sum += t.weight * value(t.bound);
  const std::int64_t most = -value(total_ ^ 1);
  const Literal within{total_ ^ 1, static_cast<int>(-most)};
  if (sum > most) {  // lower values would do as well: give back what is not needed
    std::int64_t spare = sum - most - 1;
    std::vector<Literal> reasons{within};
    for (const Term& t : terms_) {
      const int now = value(t.bound);
      const auto less = std::min<std::int64_t>(spare / t.weight, now - e.before(t.bound, 0));
      spare -= less * t.weight;
      reasons.push_back({t.bound, now - static_cast<int>(less)});
    }
    return e.fail(std::move(reasons));
  }
  const auto premises_but = [&](int bound) {
    std::vector<Literal> out;
    for (const Term& t : terms_) {
      if (t.bound != bound) out.push_back({t.bound, value(t.bound)});
    }
    return out;
  };
  if (sum > value(total_) && !e.set({total_, static_cast<int>(sum)}, premises_but(-1))) return false;
  for (const Term& t : terms_) {
    const std::int64_t room = (most - sum) / t.weight + value(t.bound);
    if (room >= -value(t.bound ^ 1)) continue;
    std::vector<Literal> premises = premises_but(t.bound);
    premises.push_back(within);
    if (!e.set({t.bound ^ 1, static_cast<int>(-room)}, premises)) return false;
  }
  return true;
}

}  // namespace tackcloth::calendar::proof
