#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

#include "sample_catalog.h"

namespace tackcloth::materials {
namespace {

Use film(const std::string& id, const std::string& piece, double area_m2, double wet_um, double transfer = 1,
         double absorbed = 0) {
  return {id, piece, area_m2, wet_um, transfer, absorbed, 0};
}
Use pieces(const std::string& id, const std::string& piece, double amount) { return {id, piece, 0, 0, 1, 0, amount}; }

// The handbook figure: one US gallon covers 1604 ft² at 1 mil wet (paint trade's theoretical coverage at 100 % solids).
TEST(SpreadingRate, OneGallonCovers1604SquareFeetAtOneMil) {
  EXPECT_NEAR(spreading_rate_ft2_gal(1), 1604, 0.5);
  EXPECT_NEAR(spreading_rate_ft2_gal(4), 401, 0.1);
}

// The two systems agree: factors of NIST SP 811 (2008), appendix B (ft² = 0.09290304 m², gal = 3.785412 l, mil = 25.4
// µm).
TEST(SpreadingRate, MetricAndUsAgree) {
  for (const double mil : {0.5, 1.0, 3.0, 6.0})
    EXPECT_NEAR(spreading_rate_m2_l(mil * 25.4), spreading_rate_ft2_gal(mil) * 0.09290304 / 3.785412, 1e-5);
}

TEST(SpreadingRate, LabelCoverageGivesTheFilmBack) {
  EXPECT_DOUBLE_EQ(wet_um_from_coverage(10), 100);
  EXPECT_DOUBLE_EQ(spreading_rate_m2_l(wet_um_from_coverage(12.3)), 12.3);
}

TEST(Takeoff, FilmWithLossAndAbsorbency) {
  const auto needs = takeoff({film("varnish", "a", 2, 100, 0.8, 0.25)}, sample_catalog());
  ASSERT_TRUE(needs.has_value());
  ASSERT_EQ(needs->size(), 1u);
  EXPECT_DOUBLE_EQ(needs->front().expected, 2 * 0.1 * 1.25 / 0.8);
  EXPECT_EQ(needs->front().unit, "l");
  EXPECT_GT(needs->front().for_90_percent, needs->front().expected);
}

TEST(Takeoff, SumsByProductAndPiece) {
  const auto needs =
      takeoff({film("varnish", "a", 1, 100, 1, 0), pieces("tape", "a", 12), film("varnish", "b", 2, 100, 1, 0),
               film("varnish", "a", 1, 50, 1, 0), pieces("P120", "b", 3)},
              sample_catalog());
  ASSERT_TRUE(needs.has_value());
  ASSERT_EQ(needs->size(), 3u);
  const Need& varnish = needs->front();
  EXPECT_NEAR(varnish.expected, 0.35, 1e-12);
  ASSERT_EQ(varnish.by_piece.size(), 2u);
  EXPECT_NEAR(varnish.by_piece[0].second, 0.15, 1e-12);
  EXPECT_NEAR(varnish.by_piece[1].second, 0.2, 1e-12);
  EXPECT_DOUBLE_EQ(needs->at(1).for_90_percent, 12);
  EXPECT_EQ(needs->at(2).unit, "sheet");
}

// The 90 % quantity against a simulation of the spread as it is described in the header, drawn as log-normals.
TEST(Takeoff, NinetyPercentQuantityCoversNineInTen) {
  std::vector<Use> uses;
  for (const double area : {0.4, 1.1, 0.7}) uses.push_back(film("varnish", "", area, 80, 0.95, 0));
  const auto needs = takeoff(uses, sample_catalog());
  ASSERT_TRUE(needs.has_value());
  std::mt19937_64 random(7);
  const auto factor = [&](double cv) {
    const double sigma = std::sqrt(std::log1p(cv * cv));
    return std::lognormal_distribution<double>(-sigma * sigma / 2, sigma)(random);
  };
  int enough = 0;
  constexpr int kJobs = 40'000;
  for (int job = 0; job < kJobs; ++job) {
    const double hand = factor(kHandCv);
    double used = 0;
    for (const Use& use : uses) used += hand * factor(kCoatCv) * use.area_m2 * use.wet_um * 1e-3 / use.transfer;
    enough += used <= needs->front().for_90_percent;
  }
  EXPECT_NEAR(static_cast<double>(enough) / kJobs, 0.9, 0.01);
}

TEST(Takeoff, ManyCoatsNeedLessReserveThanOne) {
  const Use coat = film("varnish", "", 1, 100);
  const auto one = takeoff({coat}, sample_catalog());
  const auto eight = takeoff(std::vector<Use>(8, coat), sample_catalog());
  EXPECT_LT(eight->front().for_90_percent / eight->front().expected,
            one->front().for_90_percent / one->front().expected);
}

TEST(Takeoff, EveryMistakeIsNamed) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const auto needs = takeoff({film("varnihs", "", 1, 50, 0.95, 0), film("varnish", "desk", -1, 50, 0.95, 0),
                              film("varnish", "", 1, nan, 0.95, 0), film("varnish", "", 1, 50, 0, 0),
                              film("varnish", "", 1, 50, 0.95, -0.1), film("tape", "", 1, 50, 0.95, 0)},
                             sample_catalog());
  ASSERT_FALSE(needs.has_value());
  ASSERT_EQ(needs.error().size(), 6u);
  EXPECT_NE(needs.error()[1].what.find("desk"), std::string::npos);
  for (const Problem& problem : needs.error()) {
    EXPECT_FALSE(problem.expected.empty());
    EXPECT_FALSE(problem.remedy.empty());
  }
}

TEST(Takeoff, NothingUsedIsNothingNeeded) {
  EXPECT_TRUE(takeoff({}, sample_catalog())->empty());
  EXPECT_DOUBLE_EQ(takeoff({film("varnish", "", 0, 0, 0.95, 0)}, sample_catalog())->front().for_90_percent, 0);
}

TEST(AbrasiveSheets, WholeSheetsUp) {
  const catalog::Abrasive sheet = sample_catalog().abrasives.front();
  EXPECT_EQ(abrasive_sheets(0, sheet), 0);
  EXPECT_EQ(abrasive_sheets(0.1, sheet), 1);
  EXPECT_EQ(abrasive_sheets(1.2, sheet), 3);
  EXPECT_EQ(abrasive_sheets(1.21, sheet), 4);
  EXPECT_EQ(abrasive_sheets(1.2, sheet, 2.0), 6);
  EXPECT_EQ(abrasive_sheets(std::numeric_limits<double>::quiet_NaN(), sheet), 0);
}

}  // namespace
}  // namespace tackcloth::materials
