// The checker must see every kind of breach: a sound schedule is spoiled in one place at a time.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "calendar/solve.h"
#include "random_model.h"

namespace tackcloth::calendar {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;

struct Case {
  Model m;
  Solution s;
};

// a [0,10) by member 0, place until 30; b [20,30) by member 0, at most 20 after a; c [30,40) takes the booth.
Case sound() {
  Case c;
  c.m.resources = {{"owner", 1, {{0, 100}}}, {"place", 1, {}}, {"booth", 2, {{25, 50}}}, {"other", 1, {}}};
  c.m.pools = {{"people", {0}}};
  Activity a, b, d;
  a.duration = b.duration = d.duration = 10;
  a.pool_demands = b.pool_demands = {{0, 1}};
  a.tail.value = {20};
  a.tail_demands = {{1, 1}};
  d.demands = {{2, 2}};
  d.tail_demands = {{1, 1}};
  c.m.activities = {a, b, d};
  Precedence p;
  p.from = 0;
  p.to = 1;
  p.min_lag.value = {10};
  p.max_lag = TimeFunction{{}, {20}};
  c.m.precedences = {p};
  c.m.promises = {{2, 35, 2}};
  c.s.start = {0, 20, 30};
  c.s.duration = {10, 10, 10};
  c.s.members = {{0}, {0}, {}};
  c.s.cost = {10, 40, 0, 0};
  return c;
}

TEST(Check, AcceptsASoundSchedule) {
  const Case c = sound();
  EXPECT_THAT(violations(c.m, c.s), IsEmpty());
}

TEST(Check, SeesEveryBreach) {
  const auto spoiled = [](auto&& change) {
    Case c = sound();
    change(c);
    return violations(c.m, c.s);
  };
  EXPECT_THAT(spoiled([](Case& c) { c.s.start[1] = 19; }), Contains(HasSubstr("before 20")));
  EXPECT_THAT(spoiled([](Case& c) { c.s.start[1] = 31; }), Contains(HasSubstr("later than 30")));
  EXPECT_THAT(spoiled([](Case& c) { c.s.start[2] = 29; }), Contains(HasSubstr("'place' is used 2")));
  EXPECT_THAT(spoiled([](Case& c) { c.s.start[2] = 41; }), Contains(HasSubstr("outside its windows")));
  EXPECT_THAT(spoiled([](Case& c) { c.m.resources[2].capacity = 1; }), Contains(HasSubstr("'booth' is used 2")));
  EXPECT_THAT(spoiled([](Case& c) { c.s.start[1] = 5; }), Contains(HasSubstr("'owner' is used 2")));
  EXPECT_THAT(spoiled([](Case& c) { c.s.members[1] = {3}; }), Contains(HasSubstr("not in pool")));
  EXPECT_THAT(spoiled([](Case& c) { c.s.members[1] = {}; }), Contains(HasSubstr("has 0 members")));
  EXPECT_THAT(spoiled([](Case& c) { c.s.duration[0] = 9; }), Contains(HasSubstr("lasts 9")));
  EXPECT_THAT(spoiled([](Case& c) { c.m.activities[1].release = 21; }), Contains(HasSubstr("before its release")));
  EXPECT_THAT(spoiled([](Case& c) { c.m.activities[2].fixed_start = 31; }), Contains(HasSubstr("not at 31")));
  EXPECT_THAT(spoiled([](Case& c) { c.m.precedences[0].late_extra = 5, c.s.start[1] = 31; }),
              Contains(HasSubstr("lasts 10, not 15")));
  EXPECT_THAT(spoiled([](Case& c) { c.s.cost.lateness = 0; }), Contains(HasSubstr("lateness")));
  EXPECT_THAT(spoiled([](Case& c) { c.s.cost.finish = 39; }), Contains(HasSubstr("finish")));
  EXPECT_THAT(spoiled([](Case& c) { c.s.cost.visits = 1; }), Contains(HasSubstr("visits")));
  EXPECT_THAT(spoiled([](Case& c) { c.m.previous_start = {1, -1, 30}; }), Contains(HasSubstr("moved")));
  EXPECT_THAT(spoiled([](Case& c) { c.s.start.pop_back(); }), Contains(HasSubstr("2 starts")));
}

TEST(Check, RandomModelsOfTenActivitiesHold) {
  int built = 0;
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    const Model m = brute::random_model(seed, 10, 200);
    Options o;
    o.max_schedules = 60;
    const Outcome out = solve(m, o);
    if (out.status == Status::infeasible || out.status == Status::unknown) continue;
    ++built;
    EXPECT_THAT(violations(m, out.best), IsEmpty()) << "seed " << seed;
    for (int i = 0; i < 10; ++i) EXPECT_FALSE(why(m, out.best, i).empty());
  }
  EXPECT_GT(built, 150);
}

}  // namespace
}  // namespace tackcloth::calendar
