// Working a plan off when waiting times turn out otherwise, against starts worked out by hand.
#include "calendar/turnout.h"

#include <gtest/gtest.h>

namespace tackcloth::calendar {
namespace {

// One pair of hands, there from 0 to 100 and from 200 to 300. Coat (10), wait 60, coat (10), wait 60, coat (10).
Model three_coats() {
  Model m;
  m.resources.push_back({"hands", 1, {{0, 100}, {200, 300}}});
  for (int i = 0; i < 3; ++i) {
    Activity a;
    a.name = "coat " + std::to_string(i + 1);
    a.duration = 10;
    a.demands = {{0, 1}};
    m.activities.push_back(a);
  }
  for (int i = 0; i < 2; ++i) {
    Precedence p;
    p.from = i;
    p.to = i + 1;
    p.min_lag.value = {60};
    m.precedences.push_back(p);
  }
  return m;
}

TEST(WorkingOff, AsPlannedGivesThePlan) {
  const Model m = three_coats();
  const Outcome planned = solve(m, {});
  ASSERT_EQ(planned.status, Status::optimal);
  WorkingOff off(m, planned.best);
  EXPECT_EQ(off.run({{1, 1}, {1, 1, 1}}).start, planned.best.start);
  EXPECT_EQ(planned.best.start, (std::vector<Tick>{0, 70, 200}));
}

TEST(WorkingOff, DriesSoonerIsTakenUpSooner) {
  const Model m = three_coats();
  const Outcome planned = solve(m, {});
  WorkingOff off(m, planned.best);
  // 30 instead of 60: 10 + 30 = 40, 50 + 30 = 80, all on the first day.
  EXPECT_EQ(off.run({{0.5, 0.5}, {1, 1, 1}}).start, (std::vector<Tick>{0, 40, 80}));
}

TEST(WorkingOff, DriesLaterSlipsToTheNextDay) {
  const Model m = three_coats();
  const Outcome planned = solve(m, {});
  WorkingOff off(m, planned.best);
  // 84 instead of 60: the second coat would begin at 94 and not be done by 100; it begins at 200, the third at 294
  // would end at 304: no window is left.
  EXPECT_TRUE(off.run({{1.4, 1.4}, {1, 1, 1}}).start.empty());
  // 75: 85 to 95, then 170 -> 200.
  EXPECT_EQ(off.run({{1.25, 1.25}, {1, 1, 1}}).start, (std::vector<Tick>{0, 85, 200}));
}

TEST(WorkingOff, RunsAreIndependent) {
  const Model m = three_coats();
  const Outcome planned = solve(m, {});
  WorkingOff off(m, planned.best);
  const auto first = off.run({{1.25, 1.25}, {1, 1, 1}}).start;
  off.run({{0.1, 0.1}, {1, 1, 1}});
  EXPECT_EQ(off.run({{1.25, 1.25}, {1, 1, 1}}).start, first);
  EXPECT_TRUE(off.run({{1}, {1, 1, 1}}).start.empty());
}

}  // namespace
}  // namespace tackcloth::calendar
