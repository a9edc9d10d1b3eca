// A room that follows the weather of days as a forecast tells them.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "world.h"

namespace tackcloth {
namespace {

using ::testing::HasSubstr;

class ToldWeather : public testing::Example {
 protected:
  // `days` from the plan's start on, all alike; the example's own weather is taken away.
  Result<plan::Plan> with(int days, double low_c, double high_c, double rh) {
    job_.shop.weather_file.clear();
    job_.shop.outdoors.clear();
    const auto first = std::chrono::floor<std::chrono::days>(*job_.start);
    for (int d = 0; d < days; ++d) job_.shop.outdoors.push_back({first + std::chrono::days(d), low_c, high_c, rh});
    world_.weather.emplace();
    world_.weather->days = job_.shop.outdoors;
    plan::Options options;
    options.odds = false;
    options.schedules = 40;
    auto made = plan::make_plan(job_, world_, options);
    if (!made) return tl::unexpected(made.error().front());
    return *made;
  }
  static bool says(const plan::Plan& plan, const std::string& rule) {
    return std::any_of(plan.findings.begin(), plan.findings.end(), [&](const auto& f) { return f.rule == rule; });
  }
  // When the last coat of the piece that stands in the garage is dry.
  Instant garage(const plan::Plan& plan) const {
    for (std::size_t p = 0; p < job_.pieces.size(); ++p)
      if (job_.pieces[p].room == "garage") return plan.pieces[p].finish;
    ADD_FAILURE() << "no piece in the garage";
    return {};
  }
};

TEST_F(ToldWeather, IsPlannedWithAndSaysThatItGoesOn) {
  const auto mild = with(5, 12, 22, 0.6);
  ASSERT_TRUE(mild) << to_text(mild.error());
  EXPECT_TRUE(says(*mild, "weather-goes-on"));
  const auto whole = with(200, 12, 22, 0.6);
  ASSERT_TRUE(whole);
  EXPECT_FALSE(says(*whole, "weather-goes-on"));
  EXPECT_EQ(garage(*whole), garage(*mild)) << "the last day goes on: the same days, told once or to the end";
}

TEST_F(ToldWeather, WithAFileBeyondTheDaysNothingGoesOn) {
  world_.weather->days = {{std::chrono::floor<std::chrono::days>(*job_.start), 12, 22, 0.6}};
  plan::Options options;
  options.odds = false;
  options.schedules = 40;
  const auto plan = plan::make_plan(job_, world_, options);
  ASSERT_TRUE(plan) << to_text(plan.error().front());
  EXPECT_FALSE(says(*plan, "weather-goes-on"));
}

TEST_F(ToldWeather, ColdAndDampDaysMakeTheGarageWait) {
  const auto mild = with(5, 14, 24, 0.5), cold = with(5, 7, 13, 0.8);
  ASSERT_TRUE(mild) << to_text(mild.error());
  ASSERT_TRUE(cold) << to_text(cold.error());
  EXPECT_GT(garage(*cold), garage(*mild));
}

TEST_F(ToldWeather, WithoutAnyTheProblemSaysWhatToTell) {
  job_.shop.outdoors.clear();
  job_.shop.weather_file.clear();
  world_.weather.reset();
  const auto plan = plan::make_plan(job_, world_, {});
  ASSERT_FALSE(plan);
  EXPECT_THAT(plan.error().front().remedy, HasSubstr("coming days"));
}

}  // namespace
}  // namespace tackcloth
