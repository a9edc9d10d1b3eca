// Recoloured against rendered again. The bounds are for pairs whose scene and light were never used for tuning.
#include "truth.h"

#include <algorithm>
#include <cstdio>
#include <cstdlib>

namespace tackcloth::picture {
namespace {

struct Scores {
  std::vector<double> told, given, guessed, naive;
};

double median(std::vector<double> v) {
  std::sort(v.begin(), v.end());
  return (v[(v.size() - 1) / 2] + v[v.size() / 2]) / 2;
}

double worst(const std::vector<double>& v) { return *std::max_element(v.begin(), v.end()); }

Scores scores(bool held_out) {
  Scores all;
  for (const auto& pair : pairs()) {
    if (pair.held_out != held_out) continue;
    const Score s = score(pair, held_out ? 1 : 7, std::getenv("TACKCLOTH_PICTURES") != nullptr);
    std::printf("%-42s told %5.2f  colour only %5.2f  nothing %5.2f  hue swap %5.2f\n", pair.name.c_str(), s.told,
                s.given, s.guessed, s.naive);
    all.told.push_back(s.told);
    all.given.push_back(s.given);
    all.guessed.push_back(s.guessed);
    all.naive.push_back(s.naive);
  }
  for (const auto& [name, v] :
       {std::pair{"told", &all.told}, {"colour only", &all.given}, {"nothing", &all.guessed}, {"hue swap", &all.naive}})
    std::printf("%-12s median %.2f worst %.2f\n", name, median(*v), worst(*v));
  return all;
}

TEST(Truth, TuningPairs) {
  const Scores all = scores(false);
  EXPECT_LE(median(all.told), 3);
}

TEST(Truth, HeldOutPairs) {
  const Scores all = scores(true);
  ASSERT_GE(all.told.size(), 8u);
  EXPECT_LE(median(all.told), 3);
  EXPECT_LE(worst(all.told), 6);
  // Without the sheen, and without any knowledge of what is there, it may be off by more; docs/picture.md says by how
  // much.
  EXPECT_LE(median(all.given), 3);
  EXPECT_LE(median(all.guessed), 5);
  // The hue swap loses on every pair, and by far in the middle.
  for (std::size_t i = 0; i < all.told.size(); ++i) EXPECT_LT(all.told[i], all.naive[i]) << i;
  EXPECT_LT(4 * median(all.told), median(all.naive));
}

}  // namespace
}  // namespace tackcloth::picture
