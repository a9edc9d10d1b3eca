#include "color/estimate.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "color/css.h"
#include "color/difference.h"
#include "color/metamerism.h"
#include "color/spectrum_csv.h"
#include "support.h"

namespace tackcloth::color {
namespace {

TEST(Estimate, ExactSmoothAndWithinBounds) {
  const Viewer d50 = standard_viewer();
  std::mt19937 random(7);
  std::uniform_int_distribution<int> byte(2, 253);
  for (int i = 0; i < 200; ++i) {
    char hex[8];
    std::snprintf(hex, sizeof hex, "#%02x%02x%02x", byte(random), byte(random), byte(random));
    const Lab lab = *parse_color(hex);
    const auto r = estimate_reflectance(lab, d50);
    ASSERT_TRUE(r.has_value()) << hex;
    EXPECT_LT(difference_1976(d50.lab(*r), lab), 1e-6) << hex;
    for (const double v : r->values) {
      EXPECT_GE(v, 0);
      EXPECT_LE(v, 1);
    }
  }
}

TEST(Estimate, EveryCornerOfSrgb) {
  const Viewer d50 = standard_viewer();
  for (const char* hex :
       {"#000000", "#ffffff", "#808080", "#ff0000", "#00ff00", "#0000ff", "#ffff00", "#00ffff", "#ff00ff"}) {
    const Lab lab = *parse_color(hex);
    const auto r = estimate_reflectance(lab, d50);
    ASSERT_TRUE(r.has_value()) << hex;
    EXPECT_LT(difference_1976(d50.lab(*r), lab), 1e-6) << hex;
  }
}

TEST(Estimate, KeepsTheShapeItIsTold) {
  const Viewer d50 = standard_viewer();
  Spectrum like;
  for (std::size_t i = 0; i < kSamples; ++i) like[i] = 0.3 + 0.2 * std::sin(static_cast<double>(i) / 4);
  const auto same = estimate_reflectance(d50.lab(like), d50, &like);
  ASSERT_TRUE(same.has_value());
  for (std::size_t i = 0; i < kSamples; ++i) EXPECT_NEAR((*same)[i], like[i], 1e-6);
  Lab other = d50.lab(like);
  other.l += 5;
  const auto lighter = estimate_reflectance(other, d50, &like);
  ASSERT_TRUE(lighter.has_value());
  EXPECT_LT(difference_1976(d50.lab(*lighter), other), 1e-6);
}

TEST(Estimate, ImpossibleColoursAreRefused) {
  for (const Lab& lab :
       {Lab{99, 80, 0}, Lab{5, 0, 120}, Lab{50, 500, 0}, Lab{-1, 0, 0}, Lab{50, NAN, 0}, Lab{101, 0, 0}})
    EXPECT_FALSE(estimate_reflectance(lab, standard_viewer()).has_value()) << to_css(lab);
}

TEST(Metamerism, PairsThatMatchAndPart) {
  const Viewer d65(*light_named("D65")), a(*light_named("A"));
  const Spectrum one = Spectrum::flat(0.3);
  EXPECT_EQ(metamerism(one, one, d65, a).de00, 0);
  // The estimate has its Lab under D65 exactly: no correction is needed, and all kinds agree.
  Spectrum wavy;
  for (std::size_t i = 0; i < kSamples; ++i) wavy[i] = 0.3 + 0.1 * std::sin(static_cast<double>(i) / 3);
  const Spectrum twin = *estimate_reflectance(d65.lab(wavy), d65);
  const auto none = metamerism(wavy, twin, d65, a, Correction::none);
  EXPECT_LT(none.de00_at_reference, 1e-6);
  EXPECT_GT(none.de00, 0.5);
  for (const Correction c : {Correction::additive, Correction::multiplicative})
    EXPECT_NEAR(metamerism(wavy, twin, d65, a, c).de00, none.de00, 1e-5);
  // The multiplicative one takes away a plain difference of lightness.
  Spectrum darker = wavy;
  for (double& v : darker.values) v *= 0.9;
  EXPECT_NEAR(metamerism(wavy, darker, d65, a, Correction::multiplicative).de00, 0, 1e-9);
  EXPECT_GT(metamerism(wavy, darker, d65, a, Correction::none).de00, 1);
}

// The 24 measured patches: what the estimate from Lab alone is worth under another light.
TEST(Estimate, OnMeasuredPatches) {
  const auto samples = read_reflectance_file((shared_data() / "colour/colorchecker_24_reflectance.csv").string());
  if (!samples) GTEST_SKIP() << "shared/data/colour is not here: the estimate was NOT checked on measured patches";
  ASSERT_EQ(samples->size(), 24u);
  const Viewer d65(*light_named("D65")), a(*light_named("A"));
  std::vector<double> apart;
  for (const auto& sample : *samples) {
    const auto guess = estimate_reflectance(d65.lab(sample.reflectance), d65);
    ASSERT_TRUE(guess.has_value()) << sample.name;
    EXPECT_LT(difference_2000(d65.lab(*guess), d65.lab(sample.reflectance)), 1e-6);
    apart.push_back(metamerism(sample.reflectance, *guess, d65, a).de00);
  }
  std::sort(apart.begin(), apart.end());
  RecordProperty("median_de00_under_a", std::to_string(apart[12]));
  EXPECT_LT(apart[12], 1.5);
  EXPECT_LT(apart.back(), 6);
}

}  // namespace
}  // namespace tackcloth::color
