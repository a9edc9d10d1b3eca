// Workshop models by hand: each expected number is worked out in the comment beside it.
#include "calendar/solve.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>

namespace tackcloth::calendar {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

Activity work(const std::string& name, Tick duration, int pool = -1) {
  Activity a;
  a.name = name;
  a.duration = duration;
  if (pool >= 0) a.pool_demands = {{pool, 1}};
  return a;
}

Precedence after(int from, int to, Tick lag = 0) {
  Precedence p;
  p.from = from;
  p.to = to;
  p.min_lag.value = {lag};
  return p;
}

// One person: evenings 18:00-21:00 of every day, in minutes.
Model evenings(int days = 30) {
  Model m;
  Resource person{"hands", 1, {}};
  for (int d = 0; d < days; ++d) person.windows.push_back({d * 1440 + 1080, d * 1440 + 1260});
  m.resources.push_back(person);
  m.pools.push_back({"people", {0}});
  return m;
}

Outcome solved(const Model& m, std::int64_t schedules = 400) {
  Options o;
  o.max_schedules = schedules;
  Outcome out = solve(m, o);
  if (out.status == Status::optimal || out.status == Status::feasible) {
    EXPECT_THAT(violations(m, out.best), IsEmpty());
  }
  return out;
}

TEST(Solve, WorkWaitsForTheEveningAndDryingRunsThroughTheNight) {
  Model m = evenings();
  m.activities = {work("coat", 60, 0), work("sand", 60, 0)};
  m.precedences = {after(0, 1, 12 * 60)};
  const Outcome out = solved(m);
  ASSERT_EQ(out.status, Status::optimal);
  EXPECT_EQ(out.best.start[0], 1080);         // 18:00
  EXPECT_EQ(out.best.start[1], 1440 + 1080);  // dry at 07:00, hands at 18:00 the next day
  EXPECT_EQ(out.finish_lower_bound, out.best.cost.finish);
  const auto chain = why(m, out.best, 1);
  ASSERT_FALSE(chain.empty());
  EXPECT_THAT(chain[0], HasSubstr("outside working hours"));
}

TEST(Solve, AnEmptyModelIsSolved) {
  const Outcome out = solved(Model{});
  EXPECT_EQ(out.status, Status::optimal);
  EXPECT_EQ(out.best.cost.finish, 0);
}

TEST(Solve, RestingPlaceIsHeldThroughTheTail) {
  Model m;
  m.resources = {{"rack", 1, {}}};
  Activity a = work("coat A", 10), b = work("coat B", 10);
  a.tail.value = {100};
  b.tail.value = {50};
  a.tail_demands = b.tail_demands = {{0, 1}};
  m.activities = {a, b};
  const Outcome out = solved(m);
  ASSERT_EQ(out.status, Status::optimal);
  EXPECT_EQ(out.best.cost.finish, 170);  // 10 + 100, then 10 + 50 on the one place
}

TEST(Solve, TailThatShortensLetsWaitingPay) {
  Model m;
  Activity a = work("coat", 10);
  a.tail.at = {0, 40};
  a.tail.value = {200, 20};  // ends before 40: 200 of drying; from 40 on: 20
  m.activities = {a};
  const Outcome out = solved(m);
  EXPECT_EQ(out.best.cost.finish, 60);  // ends at 40, ready at 60
  EXPECT_EQ(out.finish_lower_bound, 60);
}

TEST(Solve, LateRecoatAddsItsScuff) {
  Model m = evenings();
  m.activities = {work("first", 60, 0), work("second", 60, 0)};
  Precedence p = after(0, 1, 60);
  p.max_lag = TimeFunction{{}, {90}};
  p.late_extra = 30;
  m.precedences = {p};
  m.resources[0].windows = {{0, 100}, {400, 600}};  // no room on the first evening: 60 + 60 lag + 60 > 100
  const Outcome out = solved(m);
  EXPECT_EQ(out.best.duration[1], 90);
  EXPECT_EQ(out.best.cost.finish, 490);
}

TEST(Solve, HardMaximumLagPullsTheFirstCoatLater) {
  Model m = evenings();
  m.activities = {work("first", 60, 0), work("second", 60, 0)};
  Precedence p = after(0, 1, 60);
  p.max_lag = TimeFunction{{}, {90}};
  m.precedences = {p};
  m.resources[0].windows = {{0, 100}, {400, 600}};
  const Outcome out = solved(m);
  ASSERT_EQ(out.status, Status::optimal) << out.explanation;
  EXPECT_EQ(out.best.start[0], 400);
  EXPECT_EQ(out.best.start[1], 520);
}

TEST(Solve, TwoPairsOfHandsNeedBothPeople) {
  Model m;
  m.resources = {{"owner", 1, {{0, 100}, {200, 300}}}, {"helper", 1, {{250, 300}}}};
  m.pools = {{"people", {0, 1}}, {"skilled", {0}}};
  Activity lift = work("lift", 20);
  lift.pool_demands = {{0, 1}, {1, 1}};
  m.activities = {lift, work("spray", 30, 1)};
  const Outcome out = solved(m);
  EXPECT_EQ(out.best.start[0], 250);
  EXPECT_EQ(out.best.start[1], 0);
  EXPECT_EQ(out.best.members[0], (std::vector<int>{1, 0}));
}

TEST(Solve, MatchingFindsSeatsThatGreedyWouldMiss) {
  Model m;
  m.resources = {{"a", 1, {}}, {"b", 1, {}}, {"c", 1, {}}};
  m.pools = {{"ab", {0, 1}}, {"ac", {0, 2}}, {"a", {0}}};
  Activity x = work("x", 5);
  x.pool_demands = {{0, 1}, {1, 1}, {2, 1}};
  m.activities = {x};
  const Outcome out = solved(m);
  ASSERT_EQ(out.status, Status::optimal);
  EXPECT_EQ(out.best.members[0], (std::vector<int>{1, 2, 0}));
}

TEST(Solve, PromisesComeBeforeFinish) {
  Model m;
  m.resources = {{"hands", 1, {}}};
  for (int k = 0; k < 3; ++k) {
    m.activities.push_back(work("piece " + std::to_string(k), 10));
    m.activities.back().demands = {{0, 1}};
  }
  m.promises = {{2, 10, 5}, {1, 20, 3}, {0, 25, 1}};
  const Outcome out = solved(m);
  EXPECT_EQ(out.best.cost.lateness, 5);  // by due date: 10, 20, 30 against 25, weight 1
  EXPECT_EQ(out.best.start[2], 0);
}

TEST(Solve, FactsStayAndTheRestFollows) {
  Model m = evenings();
  m.activities = {work("done", 300, 0), work("next", 60, 0)};
  m.activities[0].fixed_start = 30;  // in the night, longer than any window: it happened
  m.precedences = {after(0, 1, 60)};
  m.previous_start = {0, 1080};
  const Outcome out = solved(m);
  EXPECT_EQ(out.best.start[0], 30);
  EXPECT_EQ(out.best.start[1], 1080);
  EXPECT_EQ(out.best.cost.moved, 1);
}

TEST(Solve, VisitsAreJoinedWhenTheFinishAllows) {
  Model m;
  m.resources = {{"hands", 1, {}}};
  m.activities = {work("a", 10), work("long", 100), work("b", 10)};
  m.activities[0].visit_group = m.activities[2].visit_group = 1;
  m.activities[2].release = 50;
  const Outcome out = solved(m);
  EXPECT_EQ(out.best.cost.finish, 100);
  EXPECT_EQ(out.best.cost.visits, 1);
}

TEST(Refuse, RingIsShown) {
  Model m;
  m.activities = {work("strip", 1), work("sand", 1), work("seal", 1)};
  m.precedences = {after(0, 1), after(1, 2), after(2, 0)};
  const Outcome out = solve(m, {});
  EXPECT_EQ(out.status, Status::infeasible);
  EXPECT_THAT(out.explanation, HasSubstr("'strip' → 'sand' → 'seal' → 'strip'"));
}

TEST(Refuse, ContradictoryLagsAreShown) {
  Model m;
  m.activities = {work("a", 10), work("b", 10), work("c", 10)};
  m.precedences = {after(0, 1, 50), after(1, 2, 50), after(0, 2, 0)};
  m.precedences[2].max_lag = TimeFunction{{}, {60}};
  const Outcome out = solve(m, {});
  EXPECT_EQ(out.status, Status::infeasible);
  EXPECT_THAT(out.explanation, HasSubstr("contradict"));
  EXPECT_THAT(out.explanation, HasSubstr("'a' → 'b' → 'c'"));
}

TEST(Refuse, LongerThanAnyWindow) {
  Model m = evenings();
  m.activities = {work("strip the wardrobe", 181, 0)};
  const Outcome out = solve(m, {});
  EXPECT_EQ(out.status, Status::infeasible);
  EXPECT_THAT(out.explanation, HasSubstr("strip the wardrobe"));
  EXPECT_THAT(out.explanation, HasSubstr("180"));
  EXPECT_THAT(out.explanation, HasSubstr("split"));
}

TEST(Refuse, NobodyWithTheSkill) {
  Model m;
  m.pools = {{"sprayers", {}}};
  m.activities = {work("spray", 10, 0)};
  const Outcome out = solve(m, {});
  EXPECT_EQ(out.status, Status::infeasible);
  EXPECT_THAT(out.explanation, HasSubstr("nobody"));
}

TEST(Refuse, TooMuchOfAResourceAndMalformedNumbers) {
  Model m;
  m.resources = {{"rack", 2, {}}};
  m.activities = {work("coat", 10)};
  m.activities[0].demands = {{0, 3}};
  EXPECT_THAT(solve(m, {}).explanation, HasSubstr("needs 3 of 'rack', there are 2"));
  m.activities[0].demands = {{7, 1}};
  EXPECT_THAT(solve(m, {}).explanation, HasSubstr("does not exist"));
  m.activities[0].demands.clear();
  m.activities[0].duration = -1;
  EXPECT_EQ(solve(m, {}).status, Status::infeasible);
}

TEST(Refuse, AMillionHoursOfLagRunsOutOfWindowsButDoesNotHang) {
  Model m = evenings();
  m.activities = {work("a", 10, 0), work("b", 10, 0)};
  m.precedences = {after(0, 1, 60'000'000)};
  const Outcome out = solve(m, {});
  EXPECT_EQ(out.status, Status::infeasible);
  EXPECT_THAT(out.explanation, HasSubstr("'b'"));
  m.resources[0].windows.clear();
  EXPECT_EQ(solved(m).best.cost.finish, 60'000'020);
}

TEST(Refuse, PinnedTooEarly) {
  Model m;
  m.activities = {work("a", 100), work("b", 10)};
  m.activities[1].fixed_start = 50;
  m.precedences = {after(0, 1)};
  const Outcome out = solve(m, {});
  EXPECT_EQ(out.status, Status::infeasible);
  EXPECT_THAT(out.explanation, HasSubstr("pinned"));
}

// Five pieces of twenty steps, evenings and one weekend day, two places: drying lags of 1 to 24 h.
Model workshop(int pieces, int steps) {
  Model m = evenings(400);
  m.resources.push_back({"places", 3, {}});
  for (int p = 0; p < pieces; ++p) {
    for (int s = 0; s < steps; ++s) {
      const int i = static_cast<int>(m.activities.size());
      Activity a = work("P" + std::to_string(p) + "-" + std::to_string(s), 15 + (p * 7 + s * 13) % 60, 0);
      a.visit_group = p;
      if (s % 3 == 2) {
        a.tail.value = {60 * (1 + (s * 5 + p) % 24)};
        a.tail_demands = {{1, 1}};
      }
      m.activities.push_back(a);
      if (s > 0) m.precedences.push_back(after(i - 1, i, s % 3 == 0 ? 60 * (1 + ((s - 1) * 5 + p) % 24) : 0));
    }
    m.promises.push_back({static_cast<int>(m.activities.size()) - 1, (10 + 3 * p) * 1440, 1});
  }
  return m;
}

TEST(Solve, SameAnswerForAnyNumberOfThreads) {
  const Model m = workshop(4, 15);
  Options one, three;
  one.max_schedules = three.max_schedules = 200;
  three.threads = 3;
  const Outcome a = solve(m, one), b = solve(m, three);
  EXPECT_THAT(violations(m, a.best), IsEmpty());
  EXPECT_EQ(a.best.start, b.best.start);
  EXPECT_EQ(a.schedules, b.schedules);
  EXPECT_LE(a.schedules, 200);
}

TEST(Solve, CallbackOnlyEverImprovesAndCancelStops) {
  const Model m = workshop(4, 15);
  std::atomic<bool> cancel{false};
  Options o;
  o.max_schedules = 100'000'000;
  o.cancel = &cancel;
  std::vector<Cost> seen;
  o.on_better = [&](const Outcome& out) {
    seen.push_back(out.best.cost);
    cancel = true;
  };
  const Outcome out = solve(m, o);
  ASSERT_FALSE(seen.empty());
  EXPECT_TRUE(std::is_sorted(seen.rbegin(), seen.rend()));
  EXPECT_LT(out.schedules, 1000);
  EXPECT_THAT(violations(m, out.best), IsEmpty());
}

TEST(Solve, EveryStepOfAWorkshopPlanHasAChainOfReasons) {
  const Model m = workshop(3, 12);
  const Outcome out = solved(m, 100);
  for (int i = 0; i < static_cast<int>(m.activities.size()); ++i) {
    EXPECT_THAT(why(m, out.best, i), testing::Not(IsEmpty()));
  }
  EXPECT_THAT(why(m, out.best, -1), IsEmpty());
  EXPECT_THAT(why(m, out.best, 10'000), IsEmpty());
}

}  // namespace
}  // namespace tackcloth::calendar
