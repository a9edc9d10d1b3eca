// The plan obeys every constraint: generated jobs, an independent checker.
#include <gtest/gtest.h>

#include <cstdlib>

#include "../sanitized.h"
#include "job_maker.h"
#include "plan_checker.h"
#include "world.h"

namespace tackcloth {
namespace {

using testing::JobMaker;
using testing::kSanitized;
using testing::PlanChecker;
using testing::real_world;

TEST(PlanProperty, HoldsOverGeneratedJobs) {
  ASSERT_TRUE(real_world().problems.empty()) << to_text(real_world().problems.front());
  constexpr int kJobs = kSanitized ? 50 : 1000;
  int planned = 0, late = 0;
  for (int seed = 1; seed <= kJobs; ++seed) {
    const job::Job job = JobMaker(static_cast<std::uint64_t>(seed)).make(3);
    plan::Options options;
    options.odds = seed % 20 == 0;  // they cost more than the plan itself
    options.schedules = 12;
    options.prefer = seed % 2 ? finish::Prefer::fastest : finish::Prefer::cheapest;
    const auto plan = plan::make_plan(job, real_world().world(), options);
    ASSERT_TRUE(plan.has_value()) << "seed " << seed << ": " << to_text(plan.error().front());
    const auto violations = PlanChecker(job, *plan, real_world().catalog).violations();
    ASSERT_TRUE(violations.empty()) << "seed " << seed << ": " << violations.size()
                                    << " of them, first: " << violations.front();
    ++planned;
    for (const auto& piece : plan->pieces) late += piece.late;
  }
  EXPECT_EQ(planned, kJobs);
  EXPECT_GT(late, 0) << "no job was ever late: the generator asks too little";
}

TEST(PlanProperty, SameSeedSamePlan) {
  ASSERT_TRUE(real_world().problems.empty());
  const job::Job job = JobMaker(7).make(3);
  const auto a = plan::make_plan(job, real_world().world(), {});
  plan::Options threads;
  threads.threads = 2;
  const auto b = plan::make_plan(job, real_world().world(), threads);
  ASSERT_TRUE(a && b);
  EXPECT_EQ(plan::to_json(*a), plan::to_json(*b));
}

// A piece that comes five months from now is planned; one that comes after the longest look ahead is told.
TEST(PlanProperty, APieceThatComesLate) {
  ASSERT_TRUE(real_world().problems.empty());
  job::Job job = JobMaker(7).make(1);
  job.pieces.resize(1);
  job.pieces[0].due.reset();
  const auto arrives = [&](int days) { job.pieces[0].arrives = *job.start + std::chrono::hours(24 * days); };
  arrives(150);
  const auto plan = plan::make_plan(job, real_world().world(), {});
  ASSERT_TRUE(plan) << to_text(plan.error().front());
  EXPECT_GE(plan->pieces[0].schedule.front().start, *job.pieces[0].arrives);
  EXPECT_TRUE(PlanChecker(job, *plan, real_world().catalog).violations().empty());
  arrives(400);
  const auto too_far = plan::make_plan(job, real_world().world(), {});
  ASSERT_FALSE(too_far);
  EXPECT_NE(too_far.error().front().what.find("no calendar holds"), std::string::npos);
}

TEST(PlanProperty, CheckerSeesPlantedFaults) {
  ASSERT_TRUE(real_world().problems.empty());
  const job::Job job = JobMaker(7).make(3);
  const auto good = plan::make_plan(job, real_world().world(), {});
  ASSERT_TRUE(good);
  const auto faults = [&](auto&& spoil) {
    plan::Plan bad = *good;
    spoil(bad);
    return PlanChecker(job, bad, real_world().catalog).violations().size();
  };
  EXPECT_EQ(faults([](plan::Plan&) {}), 0u);
  EXPECT_GT(faults([](plan::Plan& p) { p.pieces[0].schedule.back().turns.back().start -= std::chrono::hours(12); }),
            0u);
  EXPECT_GT(faults([](plan::Plan& p) { p.pieces[0].finish += Minutes(1); }), 0u);
  EXPECT_GT(faults([](plan::Plan& p) { p.cost.materials.minor += 1; }), 0u);
  EXPECT_GT(faults([](plan::Plan& p) { p.pieces[0].schedule[1].start = p.start - Minutes(60); }), 0u);
  EXPECT_GT(faults([](plan::Plan& p) { p.lower_bound = p.finish + Minutes(5); }), 0u);
}

}  // namespace
}  // namespace tackcloth
