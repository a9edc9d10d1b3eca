#include <gtest/gtest.h>

#include "job_maker.h"
#include "plan/plan.h"
#include "world.h"

namespace tackcloth {
namespace {

TEST(PlanJson, RoundTrips) {
  ASSERT_TRUE(testing::real_world().problems.empty());
  const auto plan = plan::make_plan(testing::JobMaker(3).make(2), testing::real_world().world(), {});
  ASSERT_TRUE(plan);
  const std::string once = plan::to_json(*plan);
  const auto back = plan::from_json(once);
  ASSERT_TRUE(back) << to_text(back.error());
  EXPECT_EQ(plan::to_json(*back), once);
}

TEST(PlanJson, RefusesOtherText) {
  EXPECT_FALSE(plan::from_json(""));
  EXPECT_FALSE(plan::from_json("{\"schema\": 1}"));
  EXPECT_FALSE(plan::from_json("{\"schema\": 99}"));
}

}  // namespace
}  // namespace tackcloth
