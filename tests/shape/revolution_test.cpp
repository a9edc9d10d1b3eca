// Surfaces of revolution against their closed forms (Pappus; handbook mensuration).
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "shape/shape.h"

namespace tackcloth::shape {
namespace {

TEST(Revolution, CylinderConeAndFrustum) {
  EXPECT_NEAR(*revolution_area_mm2(0, 20, {{500, 20}}), 2 * std::numbers::pi * 20 * 500, 1e-8);
  EXPECT_NEAR(*revolution_area_mm2(0, 0, {{40, 30}}), std::numbers::pi * 30 * 50, 1e-9);  // slant 50: 3-4-5
  EXPECT_NEAR(*revolution_area_mm2(0, 19, {{450, 12}}), cone_frustum_area_mm2(19, 12, 450), 1e-9);
  EXPECT_NEAR(cone_frustum_area_mm2(30, 0, 40), std::numbers::pi * 30 * 50, 1e-9);
}

TEST(Revolution, SphereAndItsZones) {
  const double r = 45;
  // From pole to pole along the outside: to the left of travel, so the bulge is negative.
  EXPECT_NEAR(*revolution_area_mm2(-r, 0, {{r, 0, -1}}), 4 * std::numbers::pi * r * r, 1e-8);
  // Archimedes: a zone of a sphere has the area of the cylinder around it, 2 pi r h.
  for (const double low : {-45.0, -20.0, 0.0, 13.0})
    EXPECT_NEAR(*revolution_area_between_mm2(-r, 0, {{r, 0, -1}}, low, low + 30), 2 * std::numbers::pi * r * 30, 1e-7);
  EXPECT_NEAR(profile_radius_mm(-r, 0, {{r, 0, -1}}, 27), 36, 1e-9);  // 27-36-45
}

// Half of a torus' outside and inside: Pappus with the centroid of a half circle, 2 rho / pi from its centre.
TEST(Revolution, TorusParts) {
  const double distance = 30, rho = 8;
  const double arc = std::numbers::pi * rho, centroid = 2 * rho / std::numbers::pi;
  EXPECT_NEAR(*revolution_area_mm2(-rho, distance, {{rho, distance, -1}}),
              2 * std::numbers::pi * (distance + centroid) * arc, 1e-8);
  EXPECT_NEAR(*revolution_area_mm2(-rho, distance, {{rho, distance, 1}}),
              2 * std::numbers::pi * (distance - centroid) * arc, 1e-8);
}

TEST(Revolution, RandomProfilesAgreeWithThinSlices) {
  std::mt19937 random(19);
  std::uniform_real_distribution<double> step(20, 120), radius(12, 40), bow(-0.3, 0.3);
  for (int round = 0; round < 50; ++round) {
    std::vector<ProfileEdge> profile;
    double z = 0;
    const double r0 = radius(random);
    Outline open;
    for (int i = 0; i < 6; ++i) {
      z += step(random);
      profile.push_back({z, radius(random), bow(random)});
      open.edges.push_back({{profile.back().z, profile.back().r}, profile.back().bulge});
    }
    // Flattened finely and summed as frustums; the outline is closed by a straight way back, which is left out.
    open.edges.push_back({{0, r0}, 0});
    const auto points = flatten(open, 1e-5);
    double sum = 0;
    Point from{0, r0};
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
      sum += cone_frustum_area_mm2(from.y, points[i].y, points[i].x - from.x);
      from = points[i];
    }
    const auto area = revolution_area_mm2(0, r0, profile);
    ASSERT_TRUE(area);
    EXPECT_NEAR(*area, sum, 1e-6 * sum);
    // Bands add up to the whole.
    const double cut = z * 0.37;
    EXPECT_NEAR(*revolution_area_between_mm2(0, r0, profile, -1e3, cut) +
                    *revolution_area_between_mm2(0, r0, profile, cut, 1e4),
                *area, 1e-6 * sum);
  }
}

TEST(Revolution, RefusesWhatCannotBeTurned) {
  EXPECT_FALSE(revolution_area_mm2(0, 20, {}));
  EXPECT_FALSE(revolution_area_mm2(0, 20, {{100, -5}}));
  EXPECT_FALSE(revolution_area_mm2(0, 5, {{100, 5, 1}}));  // hollow deeper than the axis
  EXPECT_FALSE(revolution_area_mm2(0, std::nan(""), {{100, 5}}));
}

}  // namespace
}  // namespace tackcloth::shape
