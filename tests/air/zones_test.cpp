// Box models against their analytic solutions (mass balances of well-mixed rooms: AIHA, Mathematical Models for
// Estimating Occupational Exposure to Chemicals, one and two box models; the formulas are re-derived here).
#include "air/zones.h"

#include <gtest/gtest.h>

#include <cmath>

namespace tackcloth::air {
namespace {

PerZone run(const Zones& zones, PerZone c, double e0, double e1, double hours, int steps, PerZone* integral = nullptr) {
  const auto step = zones.step(hours / steps);
  PerZone total{};
  for (int i = 0; i < steps; ++i) {
    PerZone area;
    const double a = std::lerp(e0, e1, double(i) / steps), b = std::lerp(e0, e1, double(i + 1) / steps);
    c = zones.advance(step, c, {a, 0, 0}, {b, 0, 0}, area);
    for (int z = 0; z < zones.count(); ++z) total[z] += area[z];
  }
  if (integral) *integral = total;
  return c;
}

TEST(OneZone, StepOfEmission) {
  const Zones zone(1, {40}, {20}, {});
  for (double t : {0.01, 0.5, 2.0, 8.0, 50.0})
    EXPECT_NEAR(run(zone, {}, 30, 30, t, 1)[0], 30.0 / 20 * (1 - std::exp(-20.0 / 40 * t)), 1e-12) << t;
}

TEST(OneZone, Decay) {
  const Zones zone(1, {40}, {20}, {});
  for (double t : {0.01, 0.5, 2.0, 8.0, 50.0}) {
    PerZone area;
    EXPECT_NEAR(run(zone, {3}, 0, 0, t, 1, &area)[0], 3 * std::exp(-0.5 * t), 1e-12);
    EXPECT_NEAR(area[0], 3 * (1 - std::exp(-0.5 * t)) / 0.5, 1e-12);
  }
}

TEST(OneZone, RisingEmission) {
  // C' = (k t)/V - a C from rest: C = k/(V a²) (a t - 1 + e^(-a t)).
  const Zones zone(1, {40}, {20}, {});
  const double a = 0.5, t = 3, k = 10;
  EXPECT_NEAR(run(zone, {}, 0, k * t, t, 1)[0], k / (40 * a * a) * (a * t - 1 + std::exp(-a * t)), 1e-12);
}

TEST(OneZone, ClosedRoomKeepsEverything) {
  const Zones zone(1, {40}, {0}, {});
  PerZone area;
  EXPECT_NEAR(run(zone, {}, 30, 30, 4, 3, &area)[0], 3, 1e-12);
  EXPECT_NEAR(area[0], 30.0 / 40 * 8, 1e-12);
}

// Two zones, emission E in the first, from rest: eigenvalues of the 2x2 system by the quadratic formula, the steady
// state C2 = E/Q, C1 = E/Q + E/beta, and the two constants from C(0) = 0 and C1'(0) = E/V1.
TEST(TwoZones, StepAndDecay) {
  const double v1 = 8, v2 = 32, beta = 300, q = 20, e = 25;
  std::array<PerZone, kMostZones> flow{};
  flow[0][1] = flow[1][0] = beta;
  const Zones zones(2, {v1, v2}, {0, q}, flow);
  const double trace = -(beta / v1 + (beta + q) / v2), det = beta * q / (v1 * v2);
  const double root = std::sqrt(trace * trace - 4 * det), l1 = (trace + root) / 2, l2 = (trace - root) / 2;
  const double s1 = e / q + e / beta, s2 = e / q;
  // a + b = -s1 (starts at zero); l1 a + l2 b = e / v1 (first slope).
  const double b = (e / v1 + l1 * s1) / (l2 - l1), a = -s1 - b;
  for (double t : {0.001, 0.02, 0.1, 1.0, 5.0, 40.0}) {
    const PerZone c = run(zones, {}, e, e, t, 1);
    const double c1 = s1 + a * std::exp(l1 * t) + b * std::exp(l2 * t);
    const double slope = l1 * a * std::exp(l1 * t) + l2 * b * std::exp(l2 * t);
    const double c2 = (v1 * slope + beta * c1 - e) / beta;
    EXPECT_NEAR(c[0], c1, 1e-6 * s1) << t;
    EXPECT_NEAR(c[1], c2, 1e-6 * s1) << t;
    // One long step and many short ones are the same.
    const PerZone many = run(zones, {}, e, e, t, 37);
    EXPECT_NEAR(many[0], c[0], 1e-12);
    EXPECT_NEAR(many[1], c[1], 1e-12);
  }
  // Long after: the steady state.
  const PerZone steady = run(zones, {}, e, e, 500, 1);
  EXPECT_NEAR(steady[0], s1, 1e-9);
  EXPECT_NEAR(steady[1], s2, 1e-9);
}

// A puff in the first of two zones: with the eigenvalues l1 > l2 (both negative) the second zone holds
// k (e^(l1 t) - e^(l2 t)) with k = beta C0 / (V2 (l1 - l2)), highest at t = ln(l2 / l1) / (l1 - l2).
TEST(TwoZones, PuffAndTimeToThePeakOfTheOtherZone) {
  const double v1 = 8, v2 = 32, c0 = 5;
  for (double beta : {20.0, 120.0, 300.0})
    for (double q : {5.0, 20.0, 400.0}) {
      std::array<PerZone, kMostZones> flow{};
      flow[0][1] = flow[1][0] = beta;
      const Zones zones(2, {v1, v2}, {0, q}, flow);
      const double trace = -(beta / v1 + (beta + q) / v2), det = beta * q / (v1 * v2);
      const double root = std::sqrt(trace * trace - 4 * det), l1 = (trace + root) / 2, l2 = (trace - root) / 2;
      const double k = beta * c0 / (v2 * (l1 - l2)), peak_h = std::log(l2 / l1) / (l1 - l2);
      const auto exact = [&](double t) { return k * (std::exp(l1 * t) - std::exp(l2 * t)); };
      const auto here = [&](double t) { return run(zones, {c0}, 0, 0, t, 3)[1]; };
      for (double t : {0.001, 0.01, 0.1, 0.5, 3.0}) EXPECT_NEAR(here(t), exact(t), 1e-6 * c0) << beta << " " << q;
      EXPECT_NEAR(here(peak_h), exact(peak_h), 1e-9 * c0);
      EXPECT_LT(here(peak_h * 0.999), here(peak_h));
      EXPECT_LT(here(peak_h * 1.001), here(peak_h));
      // Nothing is lost: what is still there and what has left through the second zone.
      PerZone area;
      const PerZone c = run(zones, {c0}, 0, 0, 2, 40, &area);
      EXPECT_NEAR(v1 * c[0] + v2 * c[1] + q * area[1], v1 * c0, 1e-8 * v1 * c0);
    }
}

// A third zone: what enters is what leaves plus what is still there.
TEST(ThreeZones, MassCloses) {
  std::array<PerZone, kMostZones> flow{};
  flow[0][1] = flow[1][0] = 150;
  flow[1][2] = flow[2][1] = 40;
  const PerZone volume{6, 40, 250}, out{0, 12, 80};
  const Zones zones(3, volume, out, flow);
  PerZone c{}, total{};
  double given = 0;
  for (int i = 0; i < 500; ++i) {
    const double h = 0.001 * (i % 50 + 1), e0 = 20.0 * (i % 7), e1 = 10.0 * (i % 5);
    PerZone area;
    c = zones.advance(zones.step(h), c, {e0, 0, 0}, {e1, 0, 0}, area);
    given += h * (e0 + e1) / 2;
    for (int z = 0; z < 3; ++z) total[z] += area[z];
  }
  double held = 0, left = 0;
  for (int z = 0; z < 3; ++z) held += volume[z] * c[z], left += out[z] * total[z];
  EXPECT_NEAR((held + left) / given, 1, 1e-8);
}

}  // namespace
}  // namespace tackcloth::air
