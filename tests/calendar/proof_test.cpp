// The exact search: what it proves holds against enumeration and published optima, and it stops when told.
#include "calendar/proof.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdlib>
#include <filesystem>

#include "../../bench/psplib_read.h"
#include "brute.h"
#include "calendar/bound.h"
#include "calendar/proof_cumulative.h"
#include "calendar/proof_links.h"
#include "calendar/solve.h"
#include "random_model.h"

namespace tackcloth::calendar {
namespace {

brute::Key key_of(const Cost& c) { return {c.lateness, c.finish, c.visits, c.moved}; }

struct Proven {
  ProofOutcome outcome;
  bool refused = false;  // before any search
};

Proven proven(const Model& m, std::int64_t conflicts = 100'000, bool edge_finding = false) {
  Proven p;
  Problem problem(m);
  p.refused = !prepare(problem).empty();
  if (p.refused) return p;
  ProofLimits limits;
  limits.conflicts = conflicts;
  limits.edge_finding = edge_finding;
  p.outcome = prove(problem, lower_bound(problem), nullptr, limits);
  return p;
}

Activity on(int resource, Tick duration, int amount = 1) {
  Activity a;
  a.duration = duration;
  a.demands = {{resource, amount}};
  return a;
}

Precedence lag(int from, int to, Tick least, std::optional<Tick> most = {}) {
  Precedence p;
  p.from = from;
  p.to = to;
  p.min_lag.value = {least};
  if (most) p.max_lag = TimeFunction{{}, {*most}};
  return p;
}

// Alone, without any plan to start from: windows, people, tails and lags that follow the hour, extra work when late,
// promises, visits and moves.
TEST(Proof, SameOptimumAsEnumerationOn2000RandomModels) {
  constexpr int kModels = 2000, kHorizon = 16;
  int optimal = 0, same = 0, feasible = 0, refuted = 0;
  for (std::uint64_t seed = 10'001; seed <= 10'000 + kModels; ++seed) {
    const Model m = brute::random_model(seed, 4, 40);
    const auto best = brute::Enumeration(m, kHorizon).best();
    feasible += best.has_value();
    const Proven p = proven(m);
    if (p.refused || p.outcome.proof == Proof::infeasible) {
      ++refuted;
      EXPECT_FALSE(best.has_value()) << "seed " << seed;
      continue;
    }
    ASSERT_EQ(p.outcome.proof, Proof::optimal) << "seed " << seed;
    ++optimal;
    EXPECT_THAT(violations(m, p.outcome.best), testing::IsEmpty()) << "seed " << seed;
    // The enumeration tries every start up to its horizon; a plan that uses later ones may only be better.
    const auto& start = p.outcome.best.start;
    if (std::all_of(start.begin(), start.end(), [](Tick t) { return t <= kHorizon; })) {
      ASSERT_TRUE(best.has_value()) << "seed " << seed;
      EXPECT_EQ(key_of(p.outcome.best.cost), *best) << "seed " << seed;
      ++same;
    } else if (best) {
      EXPECT_LT(key_of(p.outcome.best.cost), *best) << "seed " << seed;
    }
  }
  std::cout << "feasible within the horizon " << feasible << ", optimal " << optimal << ", refuted " << refuted
            << ", same optimum " << same << "\n";
  EXPECT_GT(same, kModels * 4 / 5);
  EXPECT_GE(optimal, feasible);
}

// The same models and more activities, with edge finding: same answer, part by part.
TEST(Proof, EdgeFindingChangesNoAnswer) {
  int compared = 0;
  for (std::uint64_t seed = 20'001; seed <= 20'600; ++seed) {
    const Model m = brute::random_model(seed, 6, 40);
    const Proven without = proven(m), with = proven(m, 100'000, true);
    ASSERT_EQ(with.refused, without.refused) << "seed " << seed;
    if (with.refused) continue;
    ASSERT_EQ(with.outcome.proof, without.outcome.proof) << "seed " << seed;
    if (with.outcome.proof != Proof::optimal) continue;
    EXPECT_EQ(with.outcome.best.cost, without.outcome.best.cost) << "seed " << seed;
    EXPECT_THAT(violations(m, with.outcome.best), testing::IsEmpty()) << "seed " << seed;
    ++compared;
  }
  EXPECT_GT(compared, 300);
}

// An activity pinned where the best plan has it changes nothing; pinned elsewhere it can only cost.
TEST(Proof, FactsHoldAndTheRestStaysBest) {
  int same = 0, worse = 0;
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    Model m = brute::random_model(seed, 5, 40);
    const Proven free = proven(m);
    if (free.refused || free.outcome.proof != Proof::optimal) continue;
    const auto k = static_cast<std::size_t>(seed % 5);
    Activity& a = m.activities[k];
    const bool chosen = std::all_of(a.pool_demands.begin(), a.pool_demands.end(), [&](const PoolDemand& d) {
      return d.members == static_cast<int>(m.pools[static_cast<std::size_t>(d.pool)].members.size());
    });
    const bool soft = std::any_of(m.precedences.begin(), m.precedences.end(),
                                  [&](const Precedence& p) { return p.to == static_cast<int>(k) && p.late_extra > 0; });
    if (!chosen || soft) continue;  // a fact whose people or length are open
    a.fixed_start = free.outcome.best.start[k];
    const Proven pinned = proven(m);
    ASSERT_FALSE(pinned.refused) << "seed " << seed;
    ASSERT_EQ(pinned.outcome.proof, Proof::optimal) << "seed " << seed;
    EXPECT_EQ(pinned.outcome.best.cost, free.outcome.best.cost) << "seed " << seed;
    ++same;
    m.activities[k].fixed_start = free.outcome.best.start[k] + 7;
    const Proven later = proven(m);
    if (later.refused || later.outcome.proof != Proof::optimal) continue;
    EXPECT_THAT(violations(m, later.outcome.best), testing::IsEmpty()) << "seed " << seed;
    ++worse;
  }
  EXPECT_GT(same, 100);
  EXPECT_GT(worse, 50);
}

// Part by part on a bench of several pieces: never worse, never a broken constraint, the same answer every time.
TEST(Proof, WindowsImproveAPlan) {
  Model m;
  Resource hands{"hands", 1, {}};
  for (int d = 0; d < 120; ++d) hands.windows.push_back({d * 1440 + 1080, d * 1440 + 1260});
  m.resources = {hands, {"places", 2, {}}};
  m.pools = {{"people", {0}}};
  for (int p = 0; p < 8; ++p) {
    for (int s = 0; s < 12; ++s) {
      const int i = static_cast<int>(m.activities.size());
      Activity a;
      a.duration = 15 + (p * 7 + s * 13) % 60;
      a.pool_demands = {{0, 1}};
      if (s % 3 == 2) {
        a.tail.value = {60 * (1 + (s * 5 + p) % 24)};
        a.tail_demands = {{1, 1}};
      }
      m.activities.push_back(a);
      if (s > 0) m.precedences.push_back(lag(i - 1, i, s % 3 == 0 ? 60 * (1 + ((s - 1) * 5 + p) % 24) : 0));
    }
    m.promises.push_back({static_cast<int>(m.activities.size()) - 1, (6 + 2 * p) * 1440, 1 + p % 3});
  }
  Options o;
  o.max_schedules = 1;
  const Outcome first = solve(m, o);
  ASSERT_EQ(first.status, Status::feasible);
  Problem problem(m);
  ASSERT_TRUE(prepare(problem).empty());
  ProofLimits limits;
  limits.conflicts = 3000;
  Solution one = first.best, two = first.best;
  EXPECT_TRUE(improve_windows(problem, one, limits));
  improve_windows(problem, two, limits);
  EXPECT_LT(one.cost, first.best.cost);
  EXPECT_EQ(one.start, two.start);
  EXPECT_THAT(violations(m, one), testing::IsEmpty());
}

// solve() itself with an exact budget: every model of the enumeration at its optimum.
TEST(Proof, SolveClosesSmallModels) {
  for (std::uint64_t seed = 1; seed <= 200; ++seed) {
    const Model m = brute::random_model(seed, 5, 40);
    Options o;
    o.max_schedules = 20;
    o.proof_conflicts = 50'000;
    const Outcome out = solve(m, o);
    ASSERT_TRUE(out.status == Status::optimal || out.status == Status::infeasible) << "seed " << seed;
    if (out.status == Status::optimal) {
      EXPECT_THAT(violations(m, out.best), testing::IsEmpty()) << "seed " << seed;
      EXPECT_EQ(out.gap_percent, 0) << "seed " << seed;
    } else {
      EXPECT_FALSE(out.explanation.empty());
    }
    Options two = o;
    two.threads = 2;
    EXPECT_EQ(solve(m, two).best.start, out.best.start) << "another answer with two threads";
  }
}

// A link y >= f(x), conditional and not, against trying every pair of values.
TEST(Proof, LinksAndSumsLeaveExactlyTheAllowedPairs) {
  brute::Dice dice(7);
  for (int round = 0; round < 300; ++round) {
    std::vector<proof::Link::Piece> pieces{{0, dice.roll(-3, 8)}};
    while (dice.one_in(2)) pieces.push_back({pieces.back().from + dice.roll(1, 4), dice.roll(-3, 8)});
    const int slope = dice.one_in(2) ? 1 : -1;
    const bool conditional = dice.one_in(2);
    const auto f = [&](int x) {
      int plus = pieces[0].plus;
      for (const auto& p : pieces) plus = p.from <= x ? p.plus : plus;
      return slope * x + plus;
    };
    for (int x = 0; x <= 9; ++x) {
      for (int y = 0; y <= 9; ++y) {
        for (int c = 0; c <= 1; ++c) {
          proof::Engine e;
          const int vx = e.add_variable(0, 9), vy = e.add_variable(0, 9), vc = e.add_variable(0, 1);
          proof::Link::add(e, vx, 2 * vy, slope, pieces, conditional ? proof::at_least(vc, 1) : proof::kAlways);
          bool fine = e.propagate();
          const int order[3] = {dice.roll(0, 2), 0, 0};
          for (int k = 0; k < 3 && fine; ++k) {
            const int which = (order[0] + k) % 3;
            const int v = which == 0 ? vx : which == 1 ? vy : vc, to = which == 0 ? x : which == 1 ? y : c;
            fine = e.assert_root(proof::at_least(v, to)) && e.propagate() && e.assert_root(proof::at_most(v, to)) &&
                   e.propagate();
          }
          EXPECT_EQ(fine, (conditional && c == 0) || y >= f(x)) << "x " << x << " y " << y << " round " << round;
        }
      }
    }
  }
}

std::string data() {
  const char* set = std::getenv("TACKCLOTH_DATA");
  return (set ? std::string(set) : std::string(TACKCLOTH_SOURCE_DIR) + "/../shared/data") + "/psplib/";
}

// Optima of PSPLIB's own list (j30: Demeulemeester & Herroelen 1997; ubo50 as published with the instances).
TEST(Proof, PublishedOptima) {
  if (!std::filesystem::exists(data() + "j30/j301_1.sm")) GTEST_SKIP() << "no PSPLIB data under " << data();
  for (const auto& [name, optimum] : {std::pair{"j301_1.sm", 43}, {"j301_2.sm", 47}, {"j3017_1.sm", 64}}) {
    const auto m = psplib::read_sm(data() + "j30/" + name);
    ASSERT_TRUE(m.has_value()) << name;
    const Proven p = proven(*m);
    ASSERT_EQ(p.outcome.proof, Proof::optimal) << name;
    EXPECT_EQ(p.outcome.best.cost.finish, optimum) << name;
    EXPECT_THAT(violations(*m, p.outcome.best), testing::IsEmpty()) << name;
    const Proven with = proven(*m, 100'000, true);
    ASSERT_EQ(with.outcome.proof, Proof::optimal) << name;
    EXPECT_EQ(with.outcome.best.cost.finish, optimum) << name;
  }
  for (const char* name : {"psp1.sch", "psp2.sch", "psp5.sch", "psp39.sch"}) {
    const auto m = psplib::read_sch(data() + "rcpsp_max_ubo50/" + name);
    ASSERT_TRUE(m.has_value()) << name;
    EXPECT_EQ(proven(*m).outcome.proof, Proof::infeasible) << name;
    EXPECT_EQ(proven(*m, 100'000, true).outcome.proof, Proof::infeasible) << name;
  }
}

// Three pieces that must each follow its first coat within 10 ticks on a single place: only the places contradict.
TEST(Proof, SaysWhenNoOrderOfTheWorkFits) {
  Model m;
  m.resources = {{"bench", 1, {}}};
  for (int k = 0; k < 4; ++k) m.activities.push_back(on(0, 20));
  for (int k = 1; k < 4; ++k) m.precedences.push_back(lag(0, k, 0, 30));
  Options o;
  o.max_schedules = 20;
  o.proof_conflicts = 10'000;
  const Outcome out = solve(m, o);
  EXPECT_EQ(out.status, Status::infeasible);
  EXPECT_THAT(out.explanation, testing::HasSubstr("no schedule exists"));
  m.precedences.pop_back();  // two may follow in time, the third when it likes
  EXPECT_EQ(solve(m, o).status, Status::optimal);
}

// Lags of 10^6 hours in seconds are beyond its numbers, in minutes within them; neither hangs.
TEST(Proof, MillionsOfHoursAreSolvedOrDeclined) {
  Model m;
  m.resources = {{"bench", 1, {}}};
  for (int k = 0; k < 6; ++k) m.activities.push_back(on(0, 30 + k));
  m.precedences = {lag(0, 1, 60'000'000), lag(2, 3, 59'999'990, 60'000'000)};
  const Proven minutes = proven(m);
  ASSERT_EQ(minutes.outcome.proof, Proof::optimal);
  EXPECT_THAT(violations(m, minutes.outcome.best), testing::IsEmpty());
  // 0 and 2 first in either order, 1 and 3 last: work of at least 30 before, the lag, then 31 and 33 at the end.
  EXPECT_EQ(minutes.outcome.best.cost.finish, 60'000'000 + 32 + 30 + 31);
  m.precedences[0].min_lag.value = {3'600'000'000};
  EXPECT_EQ(proven(m).outcome.proof, Proof::declined);
  Options o;
  o.max_schedules = 50;
  o.proof_conflicts = 1000;
  EXPECT_EQ(solve(m, o).best.cost.finish, 3'600'000'000 + 30 + 31);
}

// A ring of orders over a domain of 10^8 ticks: each step of the ring adds a few ticks, so it must be seen as a ring.
TEST(Proof, RingsOverAWideDomainAreSeen) {
  proof::Engine e;
  const int n = 4;
  std::vector<int> x, b;
  for (int k = 0; k < n; ++k) x.push_back(e.add_variable(0, 100'000'000));
  for (int k = 0; k < n; ++k) {
    b.push_back(e.add_variable(0, 1));
    e.add_arc(x[static_cast<std::size_t>(k)], x[static_cast<std::size_t>((k + 1) % n)], 1,
              proof::at_least(b.back(), 1));
  }
  ASSERT_TRUE(e.propagate());
  for (int k = 0; k < n; ++k) {
    e.decide(proof::at_least(b[static_cast<std::size_t>(k)], 1));
    if (!e.propagate()) break;
  }
  EXPECT_LT(e.propagations, 10'000);
  ASSERT_TRUE(e.learn());
  EXPECT_EQ(e.low(b.back()), 0);
  EXPECT_EQ(e.high(b.back()), 0);
}

// Sixty pieces of work on two scarce resources: far more than a few hundred dead ends.
Model crowded() {
  brute::Dice dice(11);
  Model m;
  m.resources = {{"a", 10, {}}, {"b", 10, {}}};
  for (int i = 0; i < 60; ++i) {
    Activity a = on(0, dice.roll(1, 10), dice.roll(1, 9));
    a.demands.push_back({1, dice.roll(1, 9)});
    m.activities.push_back(a);
    if (i > 4) m.precedences.push_back(lag(dice.roll(0, i - 1), i, 0));
  }
  return m;
}

TEST(Proof, CancelAndOtherStopsAreHeard) {
  const Model m = crowded();
  Problem problem(m);
  ASSERT_TRUE(prepare(problem).empty());
  ProofLimits limits;
  limits.conflicts = 1'000'000'000;
  int asked = 0;
  limits.stopped = [&] { return ++asked > 3; };
  const ProofOutcome out = prove(problem, lower_bound(problem), nullptr, limits);
  EXPECT_EQ(out.proof, Proof::gave_up);
  EXPECT_EQ(asked, 4);
  EXPECT_LT(out.conflicts, 1000);
  std::atomic<bool> cancel{true};
  limits.stopped = nullptr;
  limits.cancel = &cancel;
  EXPECT_EQ(prove(problem, lower_bound(problem), nullptr, limits).proof, Proof::gave_up);
  Options o;
  o.max_schedules = 1'000'000'000;
  o.proof_conflicts = 1'000'000'000;
  o.cancel = &cancel;
  EXPECT_NE(solve(m, o).status, Status::optimal);
}

// Both searches at once, as with a clock and two threads; small models are closed long before the time is up.
TEST(Proof, SideBySideClosesSmallModels) {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    const Model m = brute::random_model(seed, 5, 40);
    Options o;
    o.max_schedules = 500;
    o.threads = 2;
    o.max_seconds = 60;
    o.now_seconds = [] {
      return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
    };
    std::vector<Cost> seen;
    o.on_better = [&](const Outcome& out) { seen.push_back(out.best.cost); };
    const Outcome out = solve(m, o);
    ASSERT_TRUE(out.status == Status::optimal || out.status == Status::infeasible) << "seed " << seed;
    EXPECT_TRUE(std::is_sorted(seen.rbegin(), seen.rend())) << "seed " << seed;
    if (out.status == Status::infeasible) continue;
    EXPECT_THAT(violations(m, out.best), testing::IsEmpty()) << "seed " << seed;
    const Proven alone = proven(m);
    ASSERT_EQ(alone.outcome.proof, Proof::optimal);
    EXPECT_EQ(out.best.cost, alone.outcome.best.cost) << "seed " << seed;
  }
}

}  // namespace
}  // namespace tackcloth::calendar
