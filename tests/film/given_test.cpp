// One coat that has been looked at. The cut-off normal's quantiles are worked by hand from a table of the normal.
#include <gtest/gtest.h>

#include <cmath>

#include "film/calibrate.h"

namespace tackcloth::film {
namespace {

// Log-normal with median 4 h and sigma 0.3 for touch, the same spread at 8 h for scuff and the rest.
Readiness expected() {
  const double tenth = std::exp(1.2815515655446004 * 0.3);
  Readiness r;
  r.by_need.fill({8 / tenth, 8, 8 * tenth});
  r.by_need[static_cast<std::size_t>(Need::touch)] = {4 / tenth, 4, 4 * tenth};
  return r;
}

TEST(Given, NothingSeenChangesNothing) {
  const Readiness before = expected(), after = given(before, {});
  for (std::size_t n = 0; n < kNeeds; ++n) {
    EXPECT_EQ(before.by_need[n].p10, after.by_need[n].p10);
    EXPECT_EQ(before.by_need[n].p90, after.by_need[n].p90);
  }
}

// Tacky at its median hour: the slower half is left. Its P50 is the 75 %, its P90 the 95 % point of the whole:
// z = 0.67449 and 1.64485 (Abramowitz & Stegun, table 26.5, from memory).
TEST(Given, StillTackyAtTheMedianLeavesTheSlowHalf) {
  const Readiness r = given(expected(), {{4, Seen::tacky}});
  EXPECT_NEAR(r[Need::scuff].p50, 8 * std::exp(0.3 * 0.67449), 1e-3);
  EXPECT_NEAR(r[Need::scuff].p90, 8 * std::exp(0.3 * 1.64485), 1e-3);
  EXPECT_NEAR(r[Need::recoat_same].p90, r[Need::scuff].p90, 1e-9);
}

TEST(Given, DryAtTheMedianLeavesTheQuickHalf) {
  const Readiness r = given(expected(), {{4, Seen::dry}});
  EXPECT_NEAR(r[Need::scuff].p50, 8 * std::exp(-0.3 * 0.67449), 1e-3);
  EXPECT_LT(r[Need::scuff].p90, 8);
}

TEST(Given, ReadyUnderTheBlockMeansReadyNow) {
  const Readiness r = given(expected(), {{7, Seen::sands_to_powder}});
  EXPECT_LE(r[Need::recoat_same].p90, 7);
}

TEST(Given, LaterSeenTackyIsNeverSoonerReady) {
  double before = 0;
  for (double hours = 0.5; hours < 60; hours *= 1.3) {
    const Readiness r = given(expected(), {{hours, Seen::tacky}});
    EXPECT_GE(r[Need::recoat_same].p90, before);
    EXPECT_GE(r[Need::touch].p50, hours + 0.5);
    EXPECT_LE(r[Need::touch].p10, r[Need::touch].p50);
    EXPECT_LE(r[Need::touch].p50, r[Need::touch].p90);
    EXPECT_TRUE(std::isfinite(r[Need::use].p90));
    before = r[Need::recoat_same].p90;
  }
}

TEST(Given, OfTwoThatCannotBothBeTrueTheLaterTimeIsBelieved) {
  const Readiness both = given(expected(), {{3, Seen::dry}, {6, Seen::tacky}});
  const Readiness one = given(expected(), {{6, Seen::tacky}});
  EXPECT_EQ(both[Need::scuff].p90, one[Need::scuff].p90);
}

TEST(Given, NeverStaysNever) {
  Readiness r = expected();
  r.by_need.fill({kNever, kNever, kNever});
  EXPECT_EQ(given(r, {{5, Seen::dry}})[Need::touch].p90, kNever);
}

TEST(Given, WordsReadBack) {
  for (Seen s : {Seen::tacky, Seen::soft, Seen::dry, Seen::sands_to_powder}) EXPECT_EQ(seen_of(to_text(s)), s);
  EXPECT_FALSE(seen_of("wet"));
}

}  // namespace
}  // namespace tackcloth::film
