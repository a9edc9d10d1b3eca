// The example over a typical weather year (EPW, read in place): plans differ as the season does.
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>

#include "world.h"

namespace tackcloth {
namespace {

TEST(Season, AWinterGarageIsSlowerThanASummerOne) {
  const char* data = std::getenv("TACKCLOTH_DATA");
  const std::string root = data ? data : std::string(TACKCLOTH_SOURCE_DIR) + "/../shared/data";
  const std::string file = root + "/weather/po_valley_45n_8e_tmy.epw";
  if (!std::filesystem::exists(file)) GTEST_SKIP() << "no weather year at " << file;
  const auto& real = testing::real_world();
  ASSERT_TRUE(real.problems.empty());
  auto job = job::read_job(std::string(TACKCLOTH_SOURCE_DIR) + "/examples/spring.toml", real.catalog);
  ASSERT_TRUE(job) << to_text(job.error().front());
  for (auto& order : job->pieces) order.arrives.reset();
  auto weather = climate::read_epw(file);
  ASSERT_TRUE(weather) << to_text(weather.error());
  plan::World world = real.world();
  world.weather = *weather;
  const auto days_for_the_stool = [&](const char* start) {
    plan::Options options;
    options.start = *parse_instant(start);
    const auto plan = plan::make_plan(*job, world, options);
    EXPECT_TRUE(plan.has_value()) << start;
    if (!plan) return 0.0;
    for (const auto& piece : plan->pieces)
      if (piece.id == "stool") return hours_between(plan->start, piece.finish) / 24;
    return 0.0;
  };
  const double january = days_for_the_stool("2027-01-05T17:00"), july = days_for_the_stool("2027-07-05T17:00");
  EXPECT_GT(july, 0);
  EXPECT_GT(january, july * 1.5);
}

}  // namespace
}  // namespace tackcloth
