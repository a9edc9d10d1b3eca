// Orders made as time goes by: every expected order is worked out in the comment beside it.
#include "calendar/dispatch.h"

#include <gtest/gtest.h>

#include "calendar/solve.h"

namespace tackcloth::calendar {
namespace {

Activity work(Tick duration, int members = 1) {
  Activity a;
  a.duration = duration;
  a.pool_demands = {{0, members}};
  return a;
}

// One person, an hour in every hundred ticks.
Model hours() {
  Model m;
  Resource person{"hands", 1, {}};
  for (Tick t = 0; t < 4000; t += 100) person.windows.push_back({t, t + 60});
  m.resources = {person};
  m.pools = {{"people", {0}}};
  return m;
}

std::vector<int> order(const Model& m, const std::vector<Wanted>& wanted, const Policy& policy,
                       const std::atomic<bool>* cancel = nullptr) {
  Problem p(m);
  EXPECT_EQ(prepare(p), "");
  Builder b(p);
  return dispatch(b, p, wanted, {}, policy, cancel);
}

TEST(Dispatch, WhatPressesMostGoesFirst) {
  Model m = hours();
  m.activities = {work(50), work(40), work(20)};
  // Latest starts 1000 - 50, 600 - 40, 800 - 20.
  EXPECT_EQ(order(m, {{0, 1000, 1}, {1, 600, 1}, {2, 800, 1}}, {1, 0, 0}), (std::vector{1, 2, 0}));
}

TEST(Dispatch, AnHourIsFilledUnlessTheWorkIsShortOfTime) {
  Model m = hours();
  m.activities = {work(50), work(40), work(20)};
  const std::vector<Wanted> wanted{{0, 300, 1}, {1, 1000, 1}, {2, 1000, 1}};
  Policy policy{1, 0, 0};
  EXPECT_EQ(order(m, wanted, policy).front(), 0);  // 50 of 60 ticks, 10 left unused
  policy.fill = true;
  EXPECT_EQ(order(m, wanted, policy), (std::vector{1, 2, 0}));  // 40 + 20
  policy.calm = 251;                                            // the first has a slack of 300 - 50 = 250
  EXPECT_EQ(order(m, wanted, policy).front(), 0);
}

TEST(Dispatch, WorkForTwoTakesTheTimeWhenTwoAreThere) {
  Model m = hours();
  Resource helper{"helper", 1, {{0, 60}, {700, 760}}};
  m.resources.push_back(helper);
  m.pools[0].members = {0, 1};
  m.activities = {work(60), work(60, 2)};
  // The first is wanted sooner, but the helper is there now and then not before 700.
  const std::vector<Wanted> wanted{{0, 500, 1}, {1, 3000, 1}};
  EXPECT_EQ(order(m, wanted, {1, 0, 0}), (std::vector{1, 0}));
}

TEST(Dispatch, StockForTwoIsLaidInFirst) {
  Model m = hours();
  Resource helper{"helper", 1, {{700, 760}}};
  m.resources.push_back(helper);
  m.pools[0].members = {0, 1};
  m.activities = {work(60), work(60), work(60, 2)};
  Precedence q;
  q.from = 1;
  q.to = 2;
  m.precedences = {q};
  const std::vector<Wanted> wanted{{0, 500, 1}, {2, 3000, 1}};
  EXPECT_EQ(order(m, wanted, {1, 0, 0}).front(), 0);
  EXPECT_EQ(order(m, wanted, {1, 0, 60}).front(), 1);     // leads up to work for two
  EXPECT_EQ(order(m, wanted, {1, 1000, 60}).front(), 0);  // unless the other is short of time
}

TEST(Dispatch, CancelledGivesNoOrder) {
  Model m = hours();
  m.activities = {work(50)};
  const std::atomic<bool> cancel{true};
  EXPECT_TRUE(order(m, {}, {1, 0, 0}, &cancel).empty());
}

// Works of a quarter to three quarters of an hour that fill every hour exactly, in chains of three with drying between,
// each promised well after the end: the earliest finish keeps the hours full, and full hours are its bound.
TEST(Dispatch, LaxPromisesDoNotKeepTheHoursEmpty) {
  Model m = hours();
  std::uint64_t state = 5;
  const auto roll = [&state](int below) {
    state = state * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<Tick>((state >> 33) % static_cast<std::uint64_t>(below));
  };
  for (int hour = 0; hour < 30; ++hour) {
    const Tick a = 15 + roll(11), b = 15 + roll(11);
    for (const Tick d : {a, b, 60 - a - b}) m.activities.push_back(work(d));
  }
  for (int chain = 0; chain < 30; ++chain) {
    for (int k = 0; k < 2; ++k) {
      Precedence q;
      q.from = chain + 30 * k;
      q.to = q.from + 30;
      q.min_lag.value = {90};
      m.precedences.push_back(q);
    }
    m.promises.push_back({chain + 60, 700 + 100 * chain, 1});
  }
  Options o;
  o.max_schedules = 600;
  const Outcome out = solve(m, o);
  EXPECT_TRUE(violations(m, out.best).empty());
  EXPECT_EQ(out.best.cost.lateness, 0);
  EXPECT_LE(out.best.cost.finish, out.finish_lower_bound + 100) << "one hour more than all hours full";
  o.threads = 2;
  EXPECT_EQ(solve(m, o).best.start, out.best.start);
}

}  // namespace
}  // namespace tackcloth::calendar
