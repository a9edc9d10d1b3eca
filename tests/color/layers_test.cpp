#include <cmath>

#include "color/kubelka_munk.h"
#include "support.h"

namespace tackcloth::color {
namespace {

// The textbook form (Kubelka 1948, equation 21), which overflows and divides by 0 at the limits.
double textbook(double k, double s, double ground) {
  const double a = 1 + k / s, b = std::sqrt(a * a - 1), coth = 1 / std::tanh(b * s);
  return (1 - ground * (a - b * coth)) / (a - ground + b * coth);
}

TEST(KubelkaMunk, TheTextbookForm) {
  for (const double k : {0.001, 0.1, 1.0, 3.0})
    for (const double s : {0.01, 0.3, 2.0, 8.0})
      for (const double g : {0.0, 0.2, 0.7, 1.0}) EXPECT_NEAR(reflectance_over({k, s}, g), textbook(k, s, g), 1e-12);
}

TEST(KubelkaMunk, Limits) {
  for (const double g : {0.0, 0.3, 1.0}) {
    EXPECT_NEAR(reflectance_over({0, 0}, g), g, 0);                         // no film
    EXPECT_NEAR(reflectance_over({0.7, 0}, g), g * std::exp(-1.4), 1e-15);  // Beer-Lambert, twice
    EXPECT_NEAR(reflectance_over({0, 2.5}, g), ((1 - g) * 2.5 + g) / ((1 - g) * 2.5 + 1), 1e-14);  // no absorption
    EXPECT_NEAR(reflectance_over({50, 200}, g), opaque_reflectance(0.25), 1e-12);                  // opaque
    EXPECT_NEAR(reflectance_over({1e6, 1e6}, g), opaque_reflectance(1), 1e-9);                     // and no overflow
    // Thin: R = g + S (1-g)^2 - 2 K g to first order.
    EXPECT_NEAR(reflectance_over({2e-5, 3e-5}, g), g + 3e-5 * (1 - g) * (1 - g) - 4e-5 * g, 1e-8);
  }
  // Over an ideal black, and between black and white (Kubelka 1948, equation 9): Rw = R0 + T^2 / (1 - R0).
  const Layer layer{0.4, 1.7};
  const double r0 = reflectance_over(layer, 0), t = transmittance(layer);
  EXPECT_NEAR(reflectance_over(layer, 1), r0 + t * t / (1 - r0), 1e-12);
  EXPECT_NEAR(reflectance_over(layer, 0.37), r0 + t * t * 0.37 / (1 - 0.37 * r0), 1e-12);
  // Energy: without absorption R0 + T = 1.
  EXPECT_NEAR(reflectance_over({0, 3}, 0) + transmittance({0, 3}), 1, 1e-12);
}

TEST(KubelkaMunk, TwoThinCoatsAreOneThick) {
  const double once = reflectance_over({0.2, 0.9}, 0.1);
  EXPECT_NEAR(reflectance_over({0.2, 0.9}, once), reflectance_over({0.4, 1.8}, 0.1), 1e-12);
}

TEST(KubelkaMunk, KOverSBothWays) {
  for (const double r : {0.01, 0.2, 0.5, 0.99}) EXPECT_NEAR(opaque_reflectance(k_over_s(r)), r, 1e-12);
  EXPECT_NEAR(k_over_s(0.5), 0.25, 0);
  EXPECT_GT(k_over_s(0), 1e5);
  EXPECT_EQ(k_over_s(1), 0);
}

TEST(Saunderson, RoundTrip) {
  for (const bool included : {false, true})
    for (const double n : {1.33, 1.5, 1.6})
      for (double r = 0; r <= 1; r += 0.05) {
        const Surface s = surface_of(n, included);
        EXPECT_NEAR(internal_from_measured(measured_from_internal(r, s), s), r, 1e-12);
      }
  // A perfect diffuser under a film loses only what the surface throws back before: 1 - k1 (+ k1).
  EXPECT_NEAR(measured_from_internal(1.0, Surface{0.04, 0.6, false}), 0.96, 1e-12);
  EXPECT_NEAR(measured_from_internal(1.0, Surface{0.04, 0.6, true}), 1, 1e-12);
  EXPECT_NEAR(measured_from_internal(0.0, Surface{0.04, 0.6, true}), 0.04, 1e-12);
}

// Orchard 1969 (J. Opt. Soc. Am. 59, 1584): diffuse light inside a medium of n = 1.5 is thrown back by 0.596; outside
// by 0.092 (Duntley 1942).
TEST(Saunderson, SurfaceOfAnIndex) {
  const Surface s = surface_of(1.5);
  EXPECT_NEAR(s.k1, 0.04, 1e-12);
  EXPECT_NEAR(s.k2, 0.596, 1e-3);
  EXPECT_NEAR(1 - (1 - s.k2) * 2.25, 0.092, 1e-3);
}

// Walsh's closed form against the integral of Fresnel's equations over the half sphere.
TEST(Saunderson, DiffuseSurfaceByIntegral) {
  for (const double n : {1.33, 1.45, 1.6}) {
    double sum = 0;
    constexpr int kSteps = 20000;
    for (int i = 0; i < kSteps; ++i) {
      const double s2 = (i + 0.5) / kSteps, c = std::sqrt(1 - s2), t = std::sqrt(1 - s2 / n / n);
      const double rs = (c - n * t) / (c + n * t), rp = (n * c - t) / (n * c + t);
      sum += (rs * rs + rp * rp) / 2 / kSteps;
    }
    EXPECT_NEAR(1 - (1 - surface_of(n).k2) * n * n, sum, 1e-4) << n;
  }
}

}  // namespace
}  // namespace tackcloth::color
