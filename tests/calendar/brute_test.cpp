// The solver against exhaustive enumeration on small random models.
#include "brute.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "calendar/solve.h"
#include "random_model.h"

namespace tackcloth::calendar {
namespace {

brute::Key key_of(const Cost& c) { return {c.lateness, c.finish, c.visits, c.moved}; }

// On tiny models the search has to meet the optimum; every bound and every claim of proof has to hold.
TEST(Brute, SameOptimumOnSmallRandomModels) {
  int feasible = 0, same = 0, found = 0;
  constexpr int kModels = 600;
  for (std::uint64_t seed = 1; seed <= kModels; ++seed) {
    constexpr int kHorizon = 16;
    const Model m = brute::random_model(seed, 4, 40);
    const auto best = brute::Enumeration(m, kHorizon).best();
    Options o;
    o.max_schedules = 400;
    const Outcome out = solve(m, o);
    if (out.status == Status::infeasible) {
      EXPECT_FALSE(best.has_value()) << "seed " << seed << ": " << out.explanation;
      continue;
    }
    if (!best) continue;  // only later than the enumeration looks
    ++feasible;
    EXPECT_LE(out.finish_lower_bound, std::get<1>(*best)) << "seed " << seed;
    EXPECT_LE(out.lateness_lower_bound, std::get<0>(*best)) << "seed " << seed;
    if (out.status == Status::unknown) continue;
    ++found;
    EXPECT_THAT(violations(m, out.best), testing::IsEmpty()) << "seed " << seed;
    if (out.best.cost.finish <= kHorizon) {
      EXPECT_GE(key_of(out.best.cost), *best) << "seed " << seed;
    }
    if (out.status == Status::optimal) {
      EXPECT_EQ(key_of(out.best.cost), *best) << "seed " << seed;
    }
    same += key_of(out.best.cost) == *best;
  }
  RecordProperty("feasible", feasible);
  RecordProperty("same", same);
  RecordProperty("found", found);
  std::cout << "feasible " << feasible << ", schedule found " << found << ", same optimum " << same << "\n";
  EXPECT_GT(feasible, kModels / 2);
  EXPECT_GE(found, feasible * 98 / 100);
  EXPECT_GE(same, feasible * 97 / 100);
}

}  // namespace
}  // namespace tackcloth::calendar
