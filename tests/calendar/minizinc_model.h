// Small models of the calendar as MiniZinc text: one constraint model, one data file a model. The constraints are
// written down from model.h's contract with time functions and windows as tables over ticks; nothing of the library is
// used.
#pragma once

#include <algorithm>
#include <sstream>
#include <string>
#include <vector>

#include "calendar/model.h"

namespace tackcloth::calendar::minizinc {

// MiniZinc language with the standard library's `cumulative`. The objective weighs the four parts so that the earlier
// part always counts more.
inline const char* const kConstraints = R"(include "cumulative.mzn";
int: n; int: H; int: T; int: R; int: P; int: Q;
array[1..n] of int: dur; array[1..n] of int: release; array[1..n] of int: group; array[1..n] of int: previous;
array[1..n, 0..T] of int: tail_at;
array[1..n, 1..R] of int: use; array[1..n, 1..R] of int: hold; array[1..n, 1..R] of int: may; array[1..n] of int: people;
array[1..R] of int: capacity; array[1..R, 0..T] of int: open_until;
array[1..P] of int: before; array[1..P] of int: after; array[1..P] of int: kind; array[1..P] of int: extra;
array[1..P, 0..T] of int: least; array[1..P, 0..T] of int: most;
array[1..Q] of int: promised; array[1..Q] of int: due; array[1..Q] of int: weight;

array[1..n] of var 0..H: s;
array[1..n] of var 0..T: e;
array[1..n] of var 0..T: d;
array[1..n] of var 0..T: tail;
array[1..n] of var 0..T: ready;
array[1..P] of var 0..1: late;
array[1..n, 1..R] of var 0..1: takes;
constraint forall(i in 1..n)(
  d[i] = dur[i] + sum(k in 1..P where after[k] = i /\ kind[k] = 2)(extra[k] * late[k]) /\
  e[i] = s[i] + d[i] /\ tail[i] = tail_at[i, e[i]] /\ ready[i] = e[i] + tail[i] /\ s[i] >= release[i] /\
  sum(r in 1..R)(takes[i, r]) = people[i] /\
  forall(r in 1..R)(takes[i, r] <= may[i, r] /\ (takes[i, r] = 1 -> e[i] <= open_until[r, s[i]])) /\
  forall(r in 1..R where use[i, r] > 0)(e[i] <= open_until[r, s[i]]) /\
  forall(r in 1..R where hold[i, r] > 0)(ready[i] <= open_until[r, s[i]]));
constraint forall(k in 1..P)(
  s[after[k]] >= e[before[k]] + least[k, e[before[k]]] /\
  (if kind[k] = 0 then late[k] = 0
   elseif kind[k] = 1 then late[k] = 0 /\ s[after[k]] <= e[before[k]] + most[k, e[before[k]]]
   else (late[k] = 1 <-> s[after[k]] > e[before[k]] + most[k, e[before[k]]]) endif));
constraint forall(r in 1..R)(
  cumulative(s ++ s, d ++ ready_after, [use[i, r] + takes[i, r] | i in 1..n] ++ [hold[i, r] | i in 1..n], capacity[r]));
array[1..n] of var 0..T: ready_after;
constraint forall(i in 1..n)(ready_after[i] = d[i] + tail[i]);

var 0..9999: lateness = sum(k in 1..Q)(weight[k] * max(0, ready[promised[k]] - due[k]));
var 0..T: finish = max(ready);
var 0..n: visits = sum(i in 1..n where group[i] >= 0)(bool2int(
  not exists(j in 1..n where j != i /\ group[j] = group[i])(
    (s[j] < s[i] \/ (s[j] = s[i] /\ j < i)) /\ e[j] >= s[i])));
var 0..n: moved = sum(i in 1..n where previous[i] >= 0)(bool2int(s[i] != previous[i]));
solve :: int_search(s, smallest, indomain_min) minimize ((lateness * (T + 1) + finish) * 10 + visits) * 10 + moved;
output ["plan \(lateness) \(finish) \(visits) \(moved)\n"];
)";

inline Tick value(const TimeFunction& f, Tick t) {
  Tick v = f.value[0];
  for (std::size_t k = 0; k < f.at.size(); ++k) {
    if (f.at[k] <= t) v = f.value[k];
  }
  return v;
}

// The data for `kConstraints`; starts up to `horizon`. At most one pool demand an activity.
inline std::string data(const Model& m, int horizon) {
  const Tick last = 2 * horizon;
  const auto n = m.activities.size(), resources = m.resources.size();
  std::ostringstream out;
  const auto row = [&](const char* name, std::size_t count, auto&& item) {
    out << name << " = [";
    for (std::size_t i = 0; i < count; ++i) out << (i ? "," : "") << item(i);
    out << "];\n";
  };
  const auto table = [&](const char* name, std::size_t rows, std::size_t columns, int from, auto&& item) {
    out << name << " = array2d(1.." << rows << "," << from << ".." << from + static_cast<int>(columns) - 1 << ",[";
    for (std::size_t i = 0; i < rows; ++i) {
      for (std::size_t k = 0; k < columns; ++k) out << (i + k ? "," : "") << item(i, k);
    }
    out << "]);\n";
  };
  const auto ticks = static_cast<std::size_t>(last + 1);
  out << "n = " << n << "; H = " << horizon << "; T = " << last << "; R = " << resources
      << "; P = " << m.precedences.size() << "; Q = " << m.promises.size() << ";\n";
  const auto& a = m.activities;
  row("dur", n, [&](std::size_t i) { return a[i].duration; });
  row("release", n, [&](std::size_t i) { return std::max<Tick>(0, a[i].release); });
  row("group", n, [&](std::size_t i) { return a[i].visit_group; });
  row("previous", n, [&](std::size_t i) { return m.previous_start.empty() ? -1 : m.previous_start[i]; });
  table("tail_at", n, ticks, 0, [&](std::size_t i, std::size_t t) { return value(a[i].tail, static_cast<Tick>(t)); });
  const auto amount = [](const std::vector<Demand>& demands, std::size_t r) {
    int sum = 0;
    for (const Demand& d : demands) sum += d.resource == static_cast<int>(r) ? d.amount : 0;
    return sum;
  };
  table("use", n, resources, 1, [&](std::size_t i, std::size_t r) { return amount(a[i].demands, r); });
  table("hold", n, resources, 1, [&](std::size_t i, std::size_t r) { return amount(a[i].tail_demands, r); });
  table("may", n, resources, 1, [&](std::size_t i, std::size_t r) {
    if (a[i].pool_demands.empty()) return 0;
    const auto& pool = m.pools[static_cast<std::size_t>(a[i].pool_demands[0].pool)].members;
    return std::find(pool.begin(), pool.end(), static_cast<int>(r)) == pool.end() ? 0 : 1;
  });
  row("people", n, [&](std::size_t i) { return a[i].pool_demands.empty() ? 0 : a[i].pool_demands[0].members; });
  row("capacity", resources, [&](std::size_t r) { return m.resources[r].capacity; });
  table("open_until", resources, ticks, 0, [&](std::size_t r, std::size_t t) {
    const auto& windows = m.resources[r].windows;
    if (windows.empty()) return last;
    Tick until = static_cast<Tick>(t);  // tick by tick while one of the windows is open
    while (
        std::any_of(windows.begin(), windows.end(), [&](const Window& w) { return w.from <= until && until < w.to; }))
      ++until;
    return std::min(until, last);
  });
  const auto& q = m.precedences;
  row("before", q.size(), [&](std::size_t k) { return q[k].from + 1; });
  row("after", q.size(), [&](std::size_t k) { return q[k].to + 1; });
  row("kind", q.size(), [&](std::size_t k) { return !q[k].max_lag ? 0 : q[k].late_extra < 0 ? 1 : 2; });
  row("extra", q.size(), [&](std::size_t k) { return std::max<Tick>(0, q[k].late_extra); });
  table("least", q.size(), ticks, 0,
        [&](std::size_t k, std::size_t t) { return value(q[k].min_lag, static_cast<Tick>(t)); });
  table("most", q.size(), ticks, 0, [&](std::size_t k, std::size_t t) {
    return q[k].max_lag ? value(*q[k].max_lag, static_cast<Tick>(t)) : Tick{0};
  });
  row("promised", m.promises.size(), [&](std::size_t k) { return m.promises[k].activity + 1; });
  row("due", m.promises.size(), [&](std::size_t k) { return m.promises[k].due; });
  row("weight", m.promises.size(), [&](std::size_t k) { return m.promises[k].weight; });
  return out.str();
}

}  // namespace tackcloth::calendar::minizinc
