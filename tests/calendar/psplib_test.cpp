// A few of PSPLIB's instances (Kolisch & Sprecher 1997), read in place, beside their best known makespans.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>

#include "../../bench/psplib_read.h"
#include "calendar/bound.h"
#include "calendar/solve.h"

namespace tackcloth::calendar {
namespace {

std::string data() {
  const char* set = std::getenv("TACKCLOTH_DATA");
  return (set ? std::string(set) : std::string(TACKCLOTH_SOURCE_DIR) + "/../shared/data") + "/psplib/";
}

// Lower and upper end of the best known value; -1 for unsat.
std::map<std::string, std::pair<int, int>> best_known(const std::string& set) {
  std::map<std::string, std::pair<int, int>> known;
  std::ifstream file(data() + set + ".best.csv");
  std::string line;
  while (std::getline(file, line)) {
    const auto comma = line.find(','), dots = line.find("..");
    if (comma == std::string::npos) continue;
    const int low = line.compare(comma + 1, 5, "unsat") == 0 ? -1 : std::atoi(line.c_str() + comma + 1);
    known[line.substr(0, comma)] = {low, dots == std::string::npos ? low : std::atoi(line.c_str() + dots + 2)};
  }
  return known;
}

TEST(Psplib, SmallProjectsComeWithinAPercentOfTheOptimum) {
  const auto known = best_known("j30");
  if (known.empty()) GTEST_SKIP() << "no PSPLIB data under " << data();
  double sum = 0, best = 0;
  for (const char* name : {"j301_1.sm", "j305_1.sm", "j309_1.sm", "j3013_1.sm", "j3029_1.sm", "j3045_1.sm"}) {
    const auto m = psplib::read_sm(data() + "j30/" + name);
    ASSERT_TRUE(m.has_value()) << name;
    ASSERT_EQ(m->activities.size(), 32u);
    Options o;
    o.max_schedules = 5000;
    const Outcome out = solve(*m, o);
    EXPECT_THAT(violations(*m, out.best), testing::IsEmpty());
    const auto [low, high] = known.at(name);
    EXPECT_GE(out.best.cost.finish, low) << name;
    EXPECT_LE(out.finish_lower_bound, high) << name;
    if (out.status == Status::optimal) {
      EXPECT_EQ(out.best.cost.finish, high) << name;
    }
    sum += static_cast<double>(out.best.cost.finish);
    best += high;
  }
  EXPECT_LE(sum, best * 1.01);
}

TEST(Psplib, LargeProjectsHoldAndStayAboveTheKnownBounds) {
  const auto known = best_known("j120");
  if (known.empty()) GTEST_SKIP() << "no PSPLIB data under " << data();
  for (const char* name : {"j1201_1.sm", "j12011_1.sm", "j12036_1.sm"}) {
    const auto m = psplib::read_sm(data() + "j120/" + name);
    ASSERT_TRUE(m.has_value()) << name;
    Options one, two;
    one.max_schedules = two.max_schedules = 600;
    two.threads = 2;
    const Outcome out = solve(*m, one);
    EXPECT_THAT(violations(*m, out.best), testing::IsEmpty());
    EXPECT_LE(out.schedules, 600);
    EXPECT_GE(out.best.cost.finish, known.at(name).first);
    EXPECT_LE(static_cast<double>(out.best.cost.finish), 1.12 * known.at(name).second) << name;
    EXPECT_EQ(solve(*m, two).best.start, out.best.start) << "another answer with two threads";
  }
}

TEST(Psplib, MaximumLagsHoldOrAreRefused) {
  const auto known = best_known("rcpsp_max_ubo50");
  if (known.empty()) GTEST_SKIP() << "no PSPLIB data under " << data();
  int found = 0;
  for (int k = 1; k <= 45; k += 4) {
    const std::string name = "psp" + std::to_string(k) + ".sch";
    const auto m = psplib::read_sch(data() + "rcpsp_max_ubo50/" + name);
    ASSERT_TRUE(m.has_value()) << name;
    ASSERT_EQ(m->activities.size(), 52u);
    Options o;
    o.max_schedules = 200;
    const Outcome out = solve(*m, o);
    const auto [low, high] = known.at(name);
    if (out.status == Status::infeasible) {
      EXPECT_EQ(low, -1) << name << ": " << out.explanation;
    }
    if (out.status != Status::optimal && out.status != Status::feasible) continue;
    ++found;
    EXPECT_THAT(violations(*m, out.best), testing::IsEmpty()) << name;
    EXPECT_NE(low, -1) << name;
    EXPECT_GE(out.best.cost.finish, low) << name;
    EXPECT_LE(out.finish_lower_bound, high) << name;
  }
  EXPECT_GE(found, 5);
}

}  // namespace
}  // namespace tackcloth::calendar
