// Zones as they are written by hand, against closed forms, and what is told when they do not fit.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "job/job.h"
#include "sample.h"

namespace tackcloth::job {
namespace {

using testing::changed;
using ::testing::HasSubstr;
using testing::small_catalog;

constexpr double kPi = std::numbers::pi;
// In place of the half circle of the sample, on two faces of 680 x 410 mm.
const std::string kOld = R"(form = "half_circle"
center_x = "34 cm"
base_y = "0 cm"
radius = "19 cm"
opens = "up"
)";

// Area of one face's zone, m²; NaN when the file is refused.
double area_of(const std::string& geometry) {
  const auto job = parse_job(changed(kOld, geometry), "job.toml", small_catalog());
  if (!job) ADD_FAILURE() << to_text(job.error().front());
  return job ? job->pieces[0].piece.parts[0].zones[0].area_m2 / 2 : std::nan("");
}

// The first complaint, checked to have a place and a remedy.
std::string told(const std::string& geometry) {
  const auto job = parse_job(changed(kOld, geometry), "job.toml", small_catalog());
  if (job) return "not refused";
  const Problem& problem = job.error().front();
  EXPECT_EQ(problem.file, "job.toml");
  EXPECT_GT(problem.line, 60);
  EXPECT_FALSE(problem.expected.empty());
  EXPECT_FALSE(problem.remedy.empty());
  return problem.what;
}

TEST(Zones, Rounded) {
  EXPECT_NEAR(area_of("form = \"rounded\"\nleft = \"10 cm\"\nbottom = \"5 cm\"\nwidth = \"40 cm\"\nheight = \"30 cm\"\n"
                      "corner_radius = \"40 mm\"\n"),
              0.12 - (4 - kPi) * 0.04 * 0.04, 1e-12);
  EXPECT_NEAR(area_of("form = \"rounded\"\nleft = \"0 cm\"\nbottom = \"0 cm\"\nwidth = \"40 cm\"\nheight = \"15 cm\"\n"
                      "corner_radius = \"0 mm\"\nmirror = \"both\"\n"),
              0.68 * 0.30, 1e-12);
  EXPECT_THAT(told("form = \"rounded\"\nleft = \"0 cm\"\nbottom = \"5 cm\"\nwidth = \"40 cm\"\nheight = \"30 cm\"\n"
                   "corner_radius = \"16 cm\"\n"),
              HasSubstr("half the shorter side"));
  EXPECT_THAT(told("form = \"rounded\"\nleft = \"0 cm\"\nbottom = \"5 cm\"\nwidth = \"40 cm\"\nheight = \"30 cm\"\n"),
              HasSubstr("'corner_radius' is missing"));
  EXPECT_THAT(told("form = \"rounded\"\nleft = \"40 cm\"\nbottom = \"5 cm\"\nwidth = \"40 cm\"\nheight = \"30 cm\"\n"
                   "corner_radius = \"1 cm\"\n"),
              HasSubstr("leaves face"));
}

TEST(Zones, StripeThroughTwoPointsOrAtAnAngle) {
  EXPECT_NEAR(
      area_of("form = \"stripe\"\nthrough = [[\"0 cm\", \"10 cm\"], [\"68 cm\", \"10 cm\"]]\nwidth = \"3 cm\"\n"),
      0.68 * 0.03, 1e-9);
  EXPECT_NEAR(area_of("form = \"stripe\"\nthrough = [[\"34 cm\", 205]]\nangle = 45\nwidth = \"3 cm\"\n"),
              0.41 * 0.03 * std::sqrt(2.0), 1e-7);
  EXPECT_NEAR(area_of("form = \"stripe\"\nthrough = [[0, 0], [410, 410]]\nwidth = \"3 cm\"\n"),
              // cut by the left bottom corner: a corner triangle of legs w / √2 is missing on either side of the line
              0.41 * 0.03 * std::sqrt(2.0) - 0.03 * 0.03 / 4, 1e-7);
  // Joined with its image: a cross, the middle counted once.
  EXPECT_NEAR(
      area_of("form = \"stripe\"\nthrough = [[340, 205]]\nangle = 45\nwidth = \"3 cm\"\nmirror = \"left_right\"\n"),
      2 * 0.41 * 0.03 * std::sqrt(2.0) - 0.0009, 1e-7);
  EXPECT_THAT(told("form = \"stripe\"\nthrough = [[340, 205]]\nwidth = \"3 cm\"\n"), HasSubstr("which way"));
  EXPECT_THAT(told("form = \"stripe\"\nthrough = [[1, 2], [340, 205]]\nangle = 3\nwidth = \"3 cm\"\n"),
              HasSubstr("given twice"));
  EXPECT_THAT(told("form = \"stripe\"\nthrough = [[1, 2], [1, 2]]\nwidth = \"3 cm\"\n"), HasSubstr("no line"));
  EXPECT_THAT(told("form = \"stripe\"\nthrough = [[1, 2], [1, 20], [5, 5]]\nwidth = \"3 cm\"\n"), HasSubstr("no line"));
  EXPECT_THAT(told("form = \"stripe\"\nthrough = [[1, 1e9]]\nangle = 3\nwidth = \"3 cm\"\n"),
              HasSubstr("out of reach"));
  EXPECT_THAT(told("form = \"stripe\"\nwidth = \"3 cm\"\n"), HasSubstr("'through' is missing"));
  EXPECT_THAT(told("form = \"stripe\"\nthrough = [[0, \"50 cm\"]]\nangle = 0\nwidth = \"3 cm\"\n"),
              HasSubstr("does not cross"));
}

TEST(Zones, Border) {
  EXPECT_NEAR(area_of("form = \"border\"\nwidth = \"5 cm\"\n"), 0.68 * 0.41 - 0.58 * 0.31, 1e-9);
  EXPECT_NEAR(area_of("form = \"border\"\nfrom_edge = \"20 mm\"\nwidth = \"8 mm\"\n"), 0.64 * 0.37 - 0.624 * 0.354,
              1e-9);
  EXPECT_THAT(told("form = \"border\"\nwidth = \"21 cm\"\n"), HasSubstr("closes in the middle"));
  EXPECT_THAT(told("form = \"border\"\nwidth = \"2 cm\"\nmirror = \"both\"\n"), HasSubstr("says nothing about"));
}

TEST(Zones, BorderTapeRunsOnBothSidesInsideTheFace) {
  const auto job = parse_job(changed(kOld, "form = \"border\"\nfrom_edge = \"20 mm\"\nwidth = \"8 mm\"\n"), "job.toml",
                             small_catalog());
  ASSERT_TRUE(job);
  EXPECT_NEAR(job->pieces[0].piece.parts[0].zones[0].tape_mm, 2 * 2 * (640 + 370 + 624 + 354), 1e-3);
}

TEST(Zones, ArchByRiseOrRadius) {
  const std::string arch =
      "form = \"arch\"\nleft = \"4 cm\"\nbottom = \"0 cm\"\nwidth = \"60 cm\"\nspring_height = \"20 cm\"\n";
  EXPECT_NEAR(area_of(arch + "radius = \"545 mm\"\n"), area_of(arch + "rise = \"9 cm\"\n"), 1e-12);
  EXPECT_THAT(told(arch), HasSubstr("'rise' is missing"));
  EXPECT_THAT(told(arch + "radius = \"20 cm\"\n"), HasSubstr("less than half the chord"));
  EXPECT_THAT(told(arch + "radius = \"545 mm\"\nrise = \"9 cm\"\n"), HasSubstr("given twice"));
}

TEST(Zones, PolygonWithArcs) {
  EXPECT_NEAR(area_of("form = \"polygon\"\npoints = [[100, 100], [300, 100], [300, 200, \"5 cm\"], [100, 200]]\n"),
              0.02 + kPi * 0.05 * 0.05 / 2, 1e-12);
  EXPECT_NEAR(area_of("form = \"polygon\"\npoints = [[100, 100], [100, 200], [300, 200], [300, 100, -50]]\n"),
              0.02 - kPi * 0.05 * 0.05 / 2, 1e-12);
  EXPECT_THAT(told("form = \"polygon\"\npoints = [[100, 100], [300, 100], [300, 200, \"6 cm\"]]\n"),
              HasSubstr("more than half its side"));
  EXPECT_THAT(told("form = \"polygon\"\npoints = [[100, 100], [300, 100], [300, 200, 1, 2]]\n"),
              HasSubstr("another form"));
  EXPECT_THAT(told("form = \"polygon\"\npoints = [[100, 100], [300, 300], [300, 100], [100, 300]]\n"),
              HasSubstr("cross"));
}

TEST(Zones, MirrorOfADrawnForm) {
  const std::string disc = "form = \"circle\"\ncenter_x = \"10 cm\"\ncenter_y = \"10 cm\"\nradius = \"4 cm\"\n";
  EXPECT_NEAR(area_of(disc + "mirror = \"left_right\"\n"), 2 * kPi * 0.0016, 1e-10);
  EXPECT_NEAR(area_of(disc + "mirror = \"both\"\n"), 4 * kPi * 0.0016, 1e-10);
  EXPECT_THAT(told(disc + "mirror = \"sideways\"\n"), HasSubstr("sideways"));
}

// A painted tip goes all around a leg: there is no middle to mirror it about.
TEST(Zones, NothingIsMirroredOnALeg) {
  const auto job = parse_job(changed("from_foot = \"0 cm\"", "mirror = \"both\"\nfrom_foot = \"0 cm\""), "job.toml",
                             small_catalog());
  ASSERT_FALSE(job.has_value());
  EXPECT_THAT(job.error().front().what, HasSubstr("cannot be mirrored"));
}

}  // namespace
}  // namespace tackcloth::job
