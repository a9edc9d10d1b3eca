// Edge finding on the timetable: worked examples, and every bound and every reason against enumeration.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <functional>
#include <optional>

#include "calendar/proof_energy.h"
#include "random_model.h"

namespace tackcloth::calendar::proof {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

struct Work {
  int low, high, length, usage;
};

// The tasks' start variables are 0, 1, ... in the order given.
struct Case {
  Engine engine;
  Case(const std::vector<Work>& work, int capacity, bool energy, bool timetable = true,
       const std::vector<Standing>& standing = {}) {
    std::vector<Task> tasks;
    for (const Work& w : work) tasks.push_back({engine.add_variable(w.low, w.high), -1, w.length, w.usage, kAlways});
    if (timetable) Cumulative::add(engine, tasks, capacity, standing);
    if (energy) Energy::add(engine, tasks, capacity, standing, false);
  }
};

// Capacity 2. Three tasks of length 2, one unit each, inside [0, 4): 6 of the 8 units there. A fourth of length 3, one
// unit, that may start from 1: started at 1 it does 3 ticks before 4, and 6 + 3 = 9 > 8. It may do at most
// (8 - 6) / 1 = 2, so it starts at 4 - 2 = 2 or later. No task must run anywhere (latest starts 2 >= earliest ends 2;
// 10 >= 4), so the timetable is empty.
TEST(Energy, EdgeFindingPushesWhereTheTimetableIsEmpty) {
  const std::vector<Work> work{{0, 2, 2, 1}, {0, 2, 2, 1}, {0, 2, 2, 1}, {1, 10, 3, 1}};
  Case alone(work, 2, false);
  ASSERT_TRUE(alone.engine.propagate());
  EXPECT_EQ(alone.engine.low(3), 1);
  Case both(work, 2, true);
  ASSERT_TRUE(both.engine.propagate());
  EXPECT_EQ(both.engine.low(3), 2);
}

// The same with time turned round, 14 - end for a start: the fourth, in [1, 13) of [0, 14), ends by 12 at the latest.
TEST(Energy, EdgeFindingPushesEnds) {
  const std::vector<Work> work{{10, 12, 2, 1}, {10, 12, 2, 1}, {10, 12, 2, 1}, {1, 10, 3, 1}};
  Case alone(work, 2, false);
  ASSERT_TRUE(alone.engine.propagate());
  EXPECT_EQ(alone.engine.high(3), 10);
  Case both(work, 2, true);
  ASSERT_TRUE(both.engine.propagate());
  EXPECT_EQ(both.engine.high(3), 12 - 3);
}

// Timetable edge finding proper: a part that must run counts although its task reaches beyond the window. Capacity 2.
// Task 0: start 0 or 1, length 7: runs on [1, 7) for sure and can end at 8. Tasks 1 and 2 of length 2 inside [1, 6):
// 4 units; the timetable has 5 there, 9 of 10 in all. Task 3, length 4, from 2: of it 1 unit fits before 6, so it
// starts at 5 or later. The timetable alone is at 1 of 2 everywhere and lets all pass.
TEST(Energy, PartsThatMustRunCountBesideWholeTasks) {
  const std::vector<Work> work{{0, 1, 7, 1}, {1, 4, 2, 1}, {1, 4, 2, 1}, {2, 20, 4, 1}};
  Case alone(work, 2, false);
  ASSERT_TRUE(alone.engine.propagate());
  EXPECT_EQ(alone.engine.low(3), 2);
  Case both(work, 2, true);
  ASSERT_TRUE(both.engine.propagate());
  EXPECT_EQ(both.engine.low(3), 5);
}

// Too much for a window: five tasks of length 3, one unit, in [0, 7) on two units ask 15 of 14. Each can start up to 4
// and ends at 3 at the earliest: the timetable is empty.
TEST(Energy, TooMuchWorkForAWindowIsADeadEnd) {
  const std::vector<Work> work(5, Work{0, 4, 3, 1});
  Case alone(work, 2, false);
  EXPECT_TRUE(alone.engine.propagate());
  Case both(work, 2, true);
  EXPECT_FALSE(both.engine.propagate());
  EXPECT_TRUE(both.engine.refuted());
  Case four({work.begin(), work.end() - 1}, 2, true);
  EXPECT_TRUE(four.engine.propagate());
}

// Closed time takes capacity: the same four tasks do not fit when one unit is away on [2, 5): 12 of 14 - 3.
TEST(Energy, StandingUseCounts) {
  const std::vector<Work> work(4, Work{0, 4, 3, 1});
  Case alone(work, 2, false, true, {{2, 5, 1}});
  EXPECT_TRUE(alone.engine.propagate());
  Case both(work, 2, true, true, {{2, 5, 1}});
  EXPECT_FALSE(both.engine.propagate());
}

// Small resources with tasks of fixed and of open length, some that may stay away, and time that is taken; every
// assignment is listed.
class Listing {
 public:
  static constexpr int kLast = 7;  // latest start

  explicit Listing(std::uint64_t seed) : dice_(seed) {
    const int n = dice_.roll(3, 5);
    capacity_ = dice_.roll(1, 3);
    for (int i = 0; i < n; ++i) {
      Task t;
      const int low = dice_.roll(0, 4);
      t.start = variable(low, std::min(kLast, low + dice_.roll(0, 4)));
      t.usage = dice_.roll(1, capacity_);
      t.length = dice_.roll(1, 4);
      if (i > 0 && dice_.one_in(6)) {
        t.end = variable(engine.low(t.start) + t.length, engine.high(t.start) + t.length + 1);
        engine.add_arc(t.start, t.end, t.length);
        engine.add_arc(t.end, t.start, -(t.length + 1));
      }
      if (i > 0 && dice_.one_in(6)) t.presence = at_least(variable(0, 1), 1);
      tasks_.push_back(t);
    }
    if (dice_.one_in(3)) standing_.push_back({dice_.roll(0, 5), 0, dice_.roll(1, capacity_)});
    for (Standing& s : standing_) s.to = s.from + dice_.roll(1, 3);
    values_.resize(at(engine.variables()));
    list(0);
    Energy::add(engine, tasks_, capacity_, standing_, false);
  }

  int variable(int low, int high) { return engine.add_variable(low, high); }
  bool holds(const std::vector<int>& values, Literal l) const {
    const int v = values[at(l.bound / 2)];
    return (l.bound & 1 ? -v : v) >= l.value;
  }
  // Does `claim` (nothing: a contradiction) follow from `premises` in every assignment?
  bool follows(const std::vector<Literal>& premises, std::optional<Literal> claim) const {
    return std::none_of(all.begin(), all.end(), [&](const std::vector<int>& v) {
      return std::all_of(premises.begin(), premises.end(), [&](Literal l) { return holds(v, l); }) &&
             !(claim && holds(v, *claim));
    });
  }

  Engine engine;
  std::vector<std::vector<int>> all;  // that the resource allows
  brute::Dice& dice() { return dice_; }
  int tasks() const { return static_cast<int>(tasks_.size()); }
  const Task& task(int i) const { return tasks_[at(i)]; }

 private:
  void list(int x) {
    if (x < engine.variables()) {
      for (int v = engine.low(x); v <= engine.high(x); ++v) {
        values_[at(x)] = v;
        list(x + 1);
      }
      return;
    }
    std::array<int, 16> used{};
    for (const Standing& s : standing_) {
      for (int w = s.from; w < s.to; ++w) used[at(w)] += s.usage;
    }
    for (const Task& t : tasks_) {
      const int from = values_[at(t.start)];
      const int to = t.end >= 0 ? values_[at(t.end)] : from + t.length;
      if (t.end >= 0 && (to < from + t.length || to > from + t.length + 1)) return;
      if (t.presence != kAlways && !holds(values_, t.presence)) continue;
      for (int w = from; w < to; ++w) {
        if ((used[at(w)] += t.usage) > capacity_) return;
      }
    }
    all.push_back(values_);
  }

  brute::Dice dice_;
  int capacity_ = 1;
  std::vector<Task> tasks_;
  std::vector<Standing> standing_;
  std::vector<int> values_;
};

// The propagator by itself, after random decisions: no start that some assignment has is lost, a dead end is one, and
// each reason implies what it explains in every assignment, whatever was decided.
TEST(Energy, LosesNothingAndGivesReasonsThatHold) {
  int raised = 0, lowered = 0, dead = 0, weaker = 0;
  for (std::uint64_t seed = 1; seed <= 10'000; ++seed) {
    Listing c(seed);
    Engine& e = c.engine;
    if (!e.propagate()) {
      EXPECT_TRUE(c.all.empty()) << "seed " << seed;
      continue;
    }
    std::vector<Literal> decided;
    for (int step = 0; step < 6; ++step) {
      const int x = c.dice().roll(0, e.variables() - 1);
      if (e.fixed(x)) continue;
      const int middle = c.dice().roll(e.low(x), e.high(x) - 1);
      const Literal l = c.dice().one_in(2) ? at_most(x, middle) : at_least(x, middle + 1);
      std::vector<int> low, high;
      for (int y = 0; y < e.variables(); ++y) {
        low.push_back(e.low(y));
        high.push_back(e.high(y));
      }
      e.decide(l);
      decided.push_back(l);
      const bool fine = e.propagate();
      if (!fine) {
        ++dead;
        EXPECT_TRUE(c.follows(e.dead_end(), {})) << "seed " << seed;
        EXPECT_TRUE(c.follows(decided, {})) << "seed " << seed;
        break;
      }
      for (int i = 0; i < c.tasks(); ++i) {
        const Task& t = c.task(i);
        if (t.end >= 0 || t.start == x) continue;  // arcs move those too; x was decided
        const int y = t.start;
        for (int v = low[at(y)] + 1; v <= e.low(y); ++v) {
          const Literal claim = at_least(y, v);
          ++raised;
          weaker += v < e.low(y);
          EXPECT_TRUE(c.follows(decided, claim)) << "seed " << seed;
          EXPECT_TRUE(c.follows(e.why(claim), claim)) << "seed " << seed;
        }
        for (int v = high[at(y)] - 1; v >= e.high(y); --v) {
          const Literal claim = at_most(y, v);
          ++lowered;
          weaker += v > e.high(y);
          EXPECT_TRUE(c.follows(decided, claim)) << "seed " << seed;
          EXPECT_TRUE(c.follows(e.why(claim), claim)) << "seed " << seed;
        }
      }
    }
  }
  std::cout << "raised " << raised << ", lowered " << lowered << ", asked for less than reached " << weaker
            << ", dead ends " << dead << "\n";
  EXPECT_GT(raised, 1000);
  EXPECT_GT(lowered, 1000);
  EXPECT_GT(weaker, 500);
  EXPECT_GT(dead, 400);
}

}  // namespace
}  // namespace tackcloth::calendar::proof
