#include "calendar/proof_model.h"

#include <algorithm>
#include <set>

#include "calendar/at.h"
#include "calendar/builder.h"
#include "calendar/proof_encoder.h"
#include "calendar/ticks.h"

namespace tackcloth::calendar::proof {
namespace {

// Beyond this many activities the closure and the pairs cost more than they give.
constexpr int kMostForPairs = 150;
constexpr int kMostOpen = 2000;
constexpr int kNoPath = -(1 << 30);

constexpr std::size_t kMostSums = 16;  // different lengths of one activity

// The same function of a moment counted one tick later.
TimeFunction shifted(TimeFunction f) {
  for (Tick& t : f.at) ++t;
  return f;
}

int small(Tick t) { return static_cast<int>(std::clamp<Tick>(t, -kFar, kFar)); }

}  // namespace

std::optional<Tick> horizon_of(const Problem& p) {
  const Model& m = *p.model;
  Tick base = 0, busy = 0;
  const auto last_change = [](const TimeFunction& f) { return constant(f) ? Tick{0} : f.at.back(); };
  for (const Resource& r : m.resources) {
    for (const Window& w : r.windows) base = std::max(base, w.to);
  }
  for (int i = 0; i < p.size; ++i) {
    const Activity& a = m.activities[at(i)];
    base = std::max({base, a.release, last_change(a.tail)});
    if (a.fixed_start) base = std::max(base, *a.fixed_start + a.duration + highest(a.tail));
    Tick longest = a.duration;
    for (const int k : p.in[at(i)]) longest += std::max<Tick>(0, m.precedences[at(k)].late_extra);
    Tick wait = highest(a.tail);
    for (const int k : p.out[at(i)]) {
      const Precedence& q = m.precedences[at(k)];
      base = std::max(base, last_change(q.min_lag));
      if (q.max_lag) base = std::max(base, last_change(*q.max_lag));
      wait = std::max(wait, highest(q.min_lag));
    }
    busy = plus(busy, std::max<Tick>(0, longest + wait));
  }
  const Tick horizon = plus(base, busy);
  if (horizon >= kFar / 2) return std::nullopt;
  return horizon;
}

Encoder::Encoder(const Problem& p, const Cost& bound, const Cost& ceiling, int stage, Tick horizon, bool edge_finding)
    : p_(p),
      m_(*p.model),
      bound_(bound),
      ceiling_(ceiling),
      stage_(stage),
      horizon_(small(horizon)),
      edge_finding_(edge_finding) {
  e_.engine = std::make_unique<Engine>();
}

std::optional<Encoding> Encoder::run() {
  longer_.resize(at(p_.size));
  late_.assign(m_.precedences.size(), -1);
  slot_.assign(at(p_.size), -1);
  for (int i = 0; i < p_.size; ++i) {
    if (m_.activities[at(i)].fixed_start) continue;
    slot_[at(i)] = open_count();
    open_.push_back(i);
  }
  if (open_count() > kMostOpen) return std::nullopt;
  if (open_count() <= kMostForPairs) path_.assign(open_.size() * open_.size(), kNoPath);
  for (int i = 0; i < p_.size; ++i) {
    const Activity& a = m_.activities[at(i)];
    const int low = small(p_.earliest[at(i)]);
    e_.start.push_back(e_.engine->add_variable(low, a.fixed_start ? low : std::max(low, horizon_)));
  }
  // Variables of the objective come early: where nothing else decides, the first open variable goes to its least value.
  if (stage_ >= 0 && !m_.promises.empty()) {
    if (ceiling_.lateness >= kFar / 2) return std::nullopt;
    e_.objective[0] = e_.engine->add_variable(small(bound_.lateness), small(ceiling_.lateness));
  }
  e_.objective[1] = e_.engine->add_variable(small(bound_.finish), std::min(horizon_, small(ceiling_.finish)));
  if (stage_ >= 2) e_.objective[2] = e_.engine->add_variable(small(bound_.visits), small(ceiling_.visits));
  if (stage_ >= 3) e_.objective[3] = e_.engine->add_variable(0, small(ceiling_.moved));
  for (int i = 0; i < p_.size; ++i) {
    if (p_.cancelled() || !times(i)) return std::nullopt;
  }
  for (int i = 0; i < p_.size; ++i) {
    if (p_.cancelled() || !tail(i)) return std::nullopt;
  }
  for (int k = 0; k < static_cast<int>(m_.precedences.size()); ++k) {
    if (p_.cancelled() || !lag(k)) return std::nullopt;
  }
  if (!objective()) return std::nullopt;
  if (!path_.empty()) pairs();
  if (p_.cancelled() || !places()) return std::nullopt;
  return std::optional<Encoding>(std::move(e_));
}

// The end of the hands-on time; soft maximum lags may lengthen it.
bool Encoder::times(int i) {
  const Activity& a = m_.activities[at(i)];
  e_.end.push_back({e_.start[at(i)], small(a.duration)});
  if (a.fixed_start) return true;
  Longer& longer = longer_[at(i)];
  std::vector<Sum::Term> up, down;
  std::set<Tick> sums{0};
  for (const int k : p_.in[at(i)]) {
    const Precedence& q = m_.precedences[at(k)];
    if (!q.max_lag || q.late_extra <= 0) continue;  // late at no cost is no constraint
    late_[at(k)] = e_.engine->add_variable(0, 1);
    up.push_back({2 * late_[at(k)], q.late_extra});
    down.push_back({2 * late_[at(k)] + 1, q.late_extra});
    for (const Tick s : std::set<Tick>(sums)) sums.insert(s + q.late_extra);
    if (sums.size() > kMostSums || *sums.rbegin() > kFar / 2) return false;
  }
  if (up.empty()) return true;
  for (const Tick s : sums) {
    if (s > 0) longer.values.push_back(small(s));
  }
  const int begin = e_.start[at(i)], d = small(a.duration), most = longer.values.back();
  longer.by = e_.engine->add_variable(0, most);
  const int end = e_.engine->add_variable(e_.engine->low(begin) + d, e_.engine->high(begin) + d + most);
  Sum::add(*e_.engine, 2 * longer.by, up);
  Sum::add(*e_.engine, 2 * longer.by + 1, down);
  Sum::add(*e_.engine, 2 * end, {{2 * begin, 1}, {2 * longer.by, 1}}, d);
  Sum::add(*e_.engine, 2 * end + 1, {{2 * begin + 1, 1}, {2 * longer.by + 1, 1}}, -d);
  e_.engine->add_arc(begin, end, d);
  e_.engine->add_arc(end, begin, -(d + most));
  e_.end.back() = {end, 0};
  return true;
}

// A variable of its own for variable + constant.
Moment Encoder::as_variable(Moment m) {
  if (m.plus == 0) return m;
  const int v = e_.engine->add_variable(e_.engine->low(m.variable) + m.plus, e_.engine->high(m.variable) + m.plus);
  e_.engine->add_arc(m.variable, v, m.plus);
  e_.engine->add_arc(v, m.variable, -m.plus);
  return {v, 0};
}

// y >= x + lag(x) (least) or y <= x + lag(x).
bool Encoder::after(Moment x, Moment y, const TimeFunction& lag, bool least, Literal condition) {
  const auto far = [](Tick t) { return t < -kFar / 2 || t > kFar / 2; };
  if (constant(lag)) {
    const Tick w = x.plus + lag.value.front() - y.plus;
    if (!least && w > kFar / 2) return true;
    if (far(w)) return false;
    if (least) {
      e_.engine->add_arc(x.variable, y.variable, small(w), condition);
    } else {
      e_.engine->add_arc(y.variable, x.variable, small(-w), condition);
    }
    return true;
  }
  std::vector<Link::Piece> pieces;
  // Only the pieces that x can reach.
  const Tick low = Tick{e_.engine->low(x.variable)} + x.plus, high = Tick{e_.engine->high(x.variable)} + x.plus;
  const auto first = std::upper_bound(lag.at.begin() + 1, lag.at.end(), low) - lag.at.begin() - 1;
  for (auto k = static_cast<std::size_t>(first); k < lag.value.size() && (pieces.empty() || lag.at[k] <= high); ++k) {
    Tick w = lag.value[k] + x.plus - y.plus;
    if (!least) w = std::min<Tick>(w, kFar / 2);
    if (far(w) || far(lag.at[k])) return false;
    pieces.push_back({small(lag.at[k] - x.plus), small(least ? w : -w)});
  }
  const int target = least ? 2 * y.variable : 2 * y.variable + 1;
  Link::add(*e_.engine, x.variable, target, least ? 1 : -1, std::move(pieces), condition);
  return true;
}

bool Encoder::tail(int i) {
  const Activity& a = m_.activities[at(i)];
  const Moment end = e_.end[at(i)];
  if (constant(a.tail)) {
    const Tick t = end.plus + a.tail.value.front();
    if (t > kFar / 2) return false;
    e_.clear.push_back({end.variable, small(t)});
  } else {
    const int clear = e_.engine->add_variable(e_.engine->low(end.variable) + end.plus + small(lowest(a.tail)),
                                              e_.engine->high(end.variable) + end.plus + small(highest(a.tail)));
    e_.clear.push_back({clear, 0});
    if (!after(end, {clear, 0}, a.tail, true) || !after(end, {clear, 0}, a.tail, false)) return false;
  }
  e_.engine->add_arc(e_.clear.back().variable, e_.objective[1], e_.clear.back().plus);
  return true;
}

void Encoder::arc(int i, int j, int weight) {
  e_.engine->add_arc(e_.start[at(i)], e_.start[at(j)], weight);
  lengthen(i, j, weight);
}

void Encoder::lengthen(int i, int j, Tick weight) {
  if (path_.empty() || slot(i) < 0 || slot(j) < 0 || weight < -kFar / 2) return;
  path(i, j) = std::max(path(i, j), small(weight));
}

bool Encoder::lag(int k) {
  const Precedence& q = m_.precedences[at(k)];
  if (m_.activities[at(q.from)].fixed_start && m_.activities[at(q.to)].fixed_start) return true;
  if (q.from == q.to) {
    // Its own start against its own end: prepare() has refused what cannot be; a hard maximum lag below 0 likewise.
    return constant(q.min_lag) && !q.max_lag;
  }
  const Moment from = e_.end[at(q.from)], to{e_.start[at(q.to)], 0};
  if (!after(from, to, q.min_lag, true)) return false;
  lengthen(q.from, q.to, m_.activities[at(q.from)].duration + lowest(q.min_lag));
  if (!q.max_lag) return true;
  if (!p_.hard[at(k)]) return soft_lag(k);
  if (!after(from, to, *q.max_lag, false)) return false;
  if (rigid(q.from)) lengthen(q.to, q.from, -(m_.activities[at(q.from)].duration + highest(*q.max_lag)));
  return true;
}

bool Encoder::soft_lag(int k) {
  const Precedence& q = m_.precedences[at(k)];
  const int late = late_[at(k)];
  if (late < 0) return true;
  const Moment end = e_.end[at(q.from)], start{e_.start[at(q.to)], 0};
  if (lowest(*q.max_lag) > kFar / 4) {  // never late
    e_.engine->add_clause({at_most(late, 0)});
    return true;
  }
  if (highest(*q.max_lag) > kFar / 4) return false;
  return after(end, start, *q.max_lag, false, at_most(late, 0)) &&
         after({end.variable, end.plus + 1}, start, shifted(*q.max_lag), true, at_least(late, 1));
}

void Encoder::close() {
  for (const int k : open_) {
    for (const int i : open_) {
      const int ik = path(i, k);
      if (ik == kNoPath) continue;
      for (const int j : open_) {
        if (path(k, j) != kNoPath) path(i, j) = std::clamp(std::max(path(i, j), ik + path(k, j)), -kFar, kFar);
      }
    }
  }
}

// They cannot run at the same time.
bool Encoder::exclude(int i, int j) const {
  const Activity &x = m_.activities[at(i)], &y = m_.activities[at(j)];
  if (x.duration == 0 || y.duration == 0 || (x.fixed_start && y.fixed_start)) return false;
  for (const Demand& a : p_.hands_on[at(i)]) {
    for (const Demand& b : p_.hands_on[at(j)]) {
      if (a.resource == b.resource && a.amount + b.amount > m_.resources[at(a.resource)].capacity) return true;
    }
  }
  for (const PoolDemand& a : x.pool_demands) {
    for (const PoolDemand& b : y.pool_demands) {
      const auto &s = m_.pools[at(a.pool)].members, &t = m_.pools[at(b.pool)].members;
      std::set<int> both(s.begin(), s.end());
      both.insert(t.begin(), t.end());
      if (static_cast<std::size_t>(a.members + b.members) > both.size()) return true;
    }
  }
  return false;
}

// Work that cannot overlap is in one order or the other: a Boolean each pair (Schutt et al. 2011, 2013). The longest
// paths (start to start) settle many of them beforehand.
void Encoder::pairs() {
  const auto length = [&](int i) { return small(m_.activities[at(i)].duration); };
  close();
  for (bool found = true; found && !p_.cancelled();) {
    found = false;
    for (const int i : open_) {
      for (const int j : open_) {
        if (i == j || path(i, j) == kNoPath || path(i, j) >= length(i)) continue;
        if (path(i, j) + length(j) <= 0 || !exclude(i, j)) continue;  // else j before i is impossible
        arc(i, j, length(i));
        found = true;
      }
    }
    if (found) close();
    for (const int i : open_) {
      if (path(i, i) > 0) {
        e_.engine->add_clause({});
        return;
      }
    }
  }
  for (const int i : open_) {
    for (const int j : open_) {
      if (j <= i) continue;
      if (path(i, j) >= length(i) || path(j, i) >= length(j) || !exclude(i, j)) continue;
      const int order = e_.engine->add_variable(0, 1);
      const Moment x = e_.end[at(i)], y = e_.end[at(j)];
      e_.engine->add_arc(x.variable, e_.start[at(j)], x.plus, at_least(order, 1));
      e_.engine->add_arc(y.variable, e_.start[at(i)], y.plus, at_most(order, 0));
    }
  }
}

bool Encoder::objective() {
  if (e_.objective[0] >= 0) {
    std::vector<Sum::Term> terms;
    for (const Promise& q : m_.promises) {
      if (q.weight == 0) continue;
      const Moment clear = e_.clear[at(q.activity)];
      const Tick less = clear.plus - q.due;
      if (less > kFar / 2 || less < -kFar / 2) return false;
      const int late = e_.engine->add_variable(0, kFar / 2);
      e_.engine->add_arc(clear.variable, late, small(less));
      terms.push_back({2 * late, q.weight});
    }
    if (!terms.empty()) Sum::add(*e_.engine, 2 * e_.objective[0], std::move(terms));
  }
  if (stage_ >= 2) visits();
  if (stage_ >= 3) moved();
  return true;
}

// An activity that joins no other of its group opens a visit: it starts after every end of those that began before it.
void Encoder::visits() {
  std::vector<Sum::Term> terms;
  for (int i = 0; i < p_.size; ++i) {
    const Activity& a = m_.activities[at(i)];
    if (a.visit_group < 0 || a.duration == 0) continue;
    const int apart = e_.engine->add_variable(0, 1);
    std::vector<Literal> joins{at_least(apart, 1)};
    for (int j = 0; j < p_.size; ++j) {
      const Activity& b = m_.activities[at(j)];
      if (j == i || b.visit_group != a.visit_group || b.duration == 0) continue;
      const int join = e_.engine->add_variable(0, 1);
      const Moment end = e_.end[at(j)];
      e_.engine->add_arc(e_.start[at(j)], e_.start[at(i)], j > i ? 1 : 0, at_least(join, 1));
      e_.engine->add_arc(e_.start[at(i)], end.variable, -end.plus, at_least(join, 1));
      joins.push_back(at_least(join, 1));
    }
    e_.engine->add_clause(std::move(joins));
    terms.push_back({2 * apart, 1});
  }
  if (!terms.empty()) Sum::add(*e_.engine, 2 * e_.objective[2], std::move(terms));
}

void Encoder::moved() {
  std::vector<Sum::Term> terms;
  for (std::size_t i = 0; i < m_.previous_start.size(); ++i) {
    const Tick then = m_.previous_start[i];
    if (then < 0) continue;
    const int moved = e_.engine->add_variable(0, 1);
    e_.engine->add_clause({at_least(moved, 1), at_most(e_.start[i], small(then))});
    e_.engine->add_clause({at_least(moved, 1), at_least(e_.start[i], small(then))});
    terms.push_back({2 * moved, 1});
  }
  if (!terms.empty()) Sum::add(*e_.engine, 2 * e_.objective[3], std::move(terms));
}

std::optional<Encoding> encode(const Problem& p, const Cost& bound, const Cost& ceiling, int stage, Tick horizon,
                               bool edge_finding) {
  return Encoder(p, bound, ceiling, stage, horizon, edge_finding).run();
}

}  // namespace tackcloth::calendar::proof
