#include "brute.h"

#include <gtest/gtest.h>

#include <bit>
#include <random>

#include "cutting/check.h"
#include "cutting/strip.h"

namespace tackcloth::cutting {
namespace {

struct Tally {
  int proven = 0, best = 0;
};

Tally against_brute_force(int cases, bool guillotine, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  const auto between = [&](int low, int high) {
    return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
  };
  Tally tally;
  for (int k = 0; k < cases; ++k) {
    const int width = between(3, 8), count = between(1, guillotine ? 5 : 6), gap = k % 5 == 0 ? 1 : 0;
    const bool turns = k % 2 == 1;
    std::vector<Part> parts;
    std::vector<brute::Rect> rects;
    for (int i = 0; i < count; ++i) {
      Part part;
      part.id = std::to_string(i);
      part.width = between(1, std::min(width, 5));
      part.height = between(1, 5);
      part.may_turn = turns;
      parts.push_back(part);
      // A gap between neighbours is the same as larger parts on a wider strip.
      rects.push_back({static_cast<int>(part.width) + gap, static_cast<int>(part.height) + gap});
    }
    const Strip strip{width, gap, guillotine};
    Options options;
    options.seed = static_cast<std::uint64_t>(k) + 1;
    options.max_layouts = 3000;
    const auto outcome = lay_out(parts, strip, options);
    EXPECT_TRUE(outcome.has_value());
    if (!outcome) continue;
    const auto wrong = faults(parts, strip, outcome->layout);
    EXPECT_TRUE(wrong.empty()) << k << ": " << (wrong.empty() ? "" : wrong.front());
    const int least = (guillotine ? brute::Saw(width + gap, rects, turns).least_height()
                                  : brute::Grid(width + gap, rects, turns).least_height()) -
                      gap;
    EXPECT_GE(outcome->layout.height, least) << k;
    EXPECT_LE(outcome->lower_bound, least) << k;
    EXPECT_LE(lower_bound(parts, strip), least) << k;
    if (outcome->proven) {
      EXPECT_EQ(outcome->layout.height, least) << k;
      EXPECT_EQ(outcome->lower_bound, least) << k;
    }
    tally.proven += outcome->proven;
    tally.best += outcome->layout.height == least;
  }
  return tally;
}

TEST(BruteForce, TwoThousandSmallLayoutsAreTheLeast) {
  const Tally tally = against_brute_force(2000, false, 7);
  EXPECT_EQ(tally.proven, 2000);
  EXPECT_EQ(tally.best, 2000);
}

TEST(BruteForce, CutsFromEdgeToEdge) {
  const Tally tally = against_brute_force(500, true, 11);
  EXPECT_EQ(tally.proven, 500);
  EXPECT_EQ(tally.best, 500);
}

}  // namespace
}  // namespace tackcloth::cutting
