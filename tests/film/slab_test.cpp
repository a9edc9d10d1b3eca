// Diffusion on the moving grid against the textbook's series, against itself on finer grids, and against an independent
// explicit solution where D depends on what is left.
#include "film/slab.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>

namespace tackcloth::film {
namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr double kSolids_m = 20e-6;
constexpr double kD = 1e-12;

// Constant D, one part, u = 1 at the start, steps even; `take_m_s` at the face.
struct Outcome {
  double left = 0;  // share of the part still in the film
  double gone = 0;
  std::vector<double> profile, place;  // u, and xi / S of the cells' middles
};
Outcome constant_d(int cells, double stretch, int steps, double seconds, double take_m_s, double ramp = 1) {
  Slab slab(kSolids_m, 1, cells, stretch, {kD, 0, true});
  slab.fill(0, 1);
  const FaceTake take{{take_m_s}};
  const double start = slab.volume_m(0);
  Outcome run;
  std::vector<double> gone;
  // Steps that grow by the same ratio: the start is steep.
  double dt = seconds * (ramp > 1 ? (ramp - 1) / (std::pow(ramp, steps) - 1) : 1.0 / steps);
  for (int n = 0; n < steps; ++n, dt *= ramp) {
    slab.half(dt, take);
    slab.full(dt, take, gone);
    slab.accept();
    run.gone += gone[0] / start;
  }
  run.left = slab.volume_m(0) / start;
  double below = 0;
  for (int k = 0; k < cells; ++k) {
    run.place.push_back((below + 0.5 * slab.cell_m(k)) / kSolids_m);
    run.profile.push_back(slab.ratio(0, k));
    below += slab.cell_m(k);
  }
  return run;
}

// J. Crank, The Mathematics of Diffusion, 2nd ed. (1975), eq. 4.17 and 4.18: a sheet of half thickness l, closed at its
// middle, the face held at nothing.
double crank_4_17(double place, double fourier) {
  double sum = 0;
  for (int n = 0; n < 200; ++n) {
    const double odd = 2 * n + 1;
    sum += (n % 2 ? -1 : 1) / odd * std::exp(-odd * odd * kPi * kPi * fourier / 4) * std::cos(odd * kPi * place / 2);
  }
  return 4 / kPi * sum;
}
double crank_4_18(double fourier) {
  double sum = 0;
  for (int n = 0; n < 200; ++n) {
    const double odd = 2 * n + 1;
    sum += 8 / (odd * odd * kPi * kPi) * std::exp(-odd * odd * kPi * kPi * fourier / 4);
  }
  return sum;
}
// Ibid., eq. 4.50 (profile) and 4.53 (what is left), the roots of beta tan beta = L.
constexpr int kRoots = 60;
double root(int n, double l) {
  double low = n * kPi, high = n * kPi + kPi / 2;
  for (int i = 0; i < 50; ++i) {
    const double b = 0.5 * (low + high);
    (b * std::sin(b) - l * std::cos(b)) * (n % 2 ? -1 : 1) > 0 ? high = b : low = b;
  }
  return 0.5 * (low + high);
}
std::vector<double> roots(double l) {
  std::vector<double> out;
  for (int n = 0; n < kRoots; ++n) out.push_back(root(n, l));
  return out;
}
double crank_4_50(double place, double fourier, double l, const std::vector<double>& betas) {
  double sum = 0;
  for (double b : betas)
    sum += 2 * l * std::cos(b * place) * std::exp(-b * b * fourier) / ((b * b + l * l + l) * std::cos(b));
  return sum;
}
double crank_4_53(double fourier, double l, const std::vector<double>& betas) {
  double sum = 0;
  for (double b : betas) sum += 2 * l * l * std::exp(-b * b * fourier) / (b * b * (b * b + l * l + l));
  return sum;
}

constexpr double kScale_s = kSolids_m * kSolids_m / kD;

TEST(Slab, GivesTheSeriesForAFaceHeldAtNothing) {
  for (double fourier : {0.05, 0.2, 0.5, 1.5}) {
    const Outcome run = constant_d(100, 10, 400, fourier * kScale_s, 1e6, 1.01);
    EXPECT_NEAR(run.left, crank_4_18(fourier), 1e-4) << fourier;
    for (std::size_t k = 0; k < run.place.size(); ++k)
      EXPECT_NEAR(run.profile[k], crank_4_17(run.place[k], fourier), 2e-4) << fourier << ' ' << run.place[k];
  }
}

TEST(Slab, GivesTheSeriesForAResistanceInTheAir) {
  for (double l : {0.2, 2.0, 20.0}) {
    const std::vector<double> betas = roots(l);
    for (double fourier : {0.05, 0.5, 2.0}) {
      const Outcome run = constant_d(120, 10, 300, fourier * kScale_s, l * kD / kSolids_m, 1.01);
      EXPECT_NEAR(run.left, crank_4_53(fourier, l, betas), 1e-4) << l << ' ' << fourier;
      for (std::size_t k = 0; k < run.place.size(); ++k)
        EXPECT_NEAR(run.profile[k], crank_4_50(run.place[k], fourier, l, betas), 1e-4) << l << ' ' << fourier;
    }
  }
}

TEST(Slab, ConvergesWithTheSquareOfTheCellAndOfTheStep) {
  const double fourier = 0.4, l = 2;
  const double exact = crank_4_53(fourier, l, roots(l));
  double last = 0;
  std::printf("  cells   error     order (Robin face, L = 2, steps fine)\n");
  for (int cells : {10, 20, 40, 80}) {
    const double error = std::fabs(constant_d(cells, 5, 4000, fourier * kScale_s, l * kD / kSolids_m).left - exact);
    const double order = last > 0 ? std::log2(last / error) : 0;
    std::printf("  %5d   %.2e  %.2f\n", cells, error, order);
    if (last > 0) {
      EXPECT_NEAR(order, 2, 0.2) << cells;
    }
    last = error;
  }
  // In time, against the same grid with many steps.
  const double fine = constant_d(40, 5, 20000, fourier * kScale_s, l * kD / kSolids_m).left;
  last = 0;
  std::printf("  steps   error     order (against 20000 steps)\n");
  for (int steps : {20, 40, 80, 160}) {
    const double error = std::fabs(constant_d(40, 5, steps, fourier * kScale_s, l * kD / kSolids_m).left - fine);
    const double order = last > 0 ? std::log2(last / error) : 0;
    std::printf("  %5d   %.2e  %.2f\n", steps, error, order);
    if (last > 0) {
      EXPECT_NEAR(order, 2, 0.3) << steps;
    }
    last = error;
  }
}

// Where the film swells, D falls four decades as it dries; the reference knows nothing of slab.cpp: an explicit scheme
// on even cells with D f^2 at the arithmetic mean.
TEST(Slab, FewGradedCellsFollowASkinningFilm) {
  const Diffusivity d{1e-12, 4 * std::log(10.0), false};
  const double solids = 15e-6, take = 2e-6, start = 3, seconds = 60;
  auto reference = [&](int n) {
    std::vector<double> u(static_cast<std::size_t>(n), start), flux(static_cast<std::size_t>(n) + 1);
    const double h = solids / n;
    auto of = [&](double r) {
      const double f = 1 / (1 + r);
      return d.dry_m2_s * f * f * std::exp(d.per_share * (1 - f));
    };
    double most = 0;
    for (double r = 0; r < start; r += 0.01) most = std::max(most, of(r));
    const int steps = static_cast<int>(std::ceil(seconds / (0.4 * h * h / most)));
    const double dt = seconds / steps;
    for (int s = 0; s < steps; ++s) {
      flux[0] = 0;
      for (int k = 1; k < n; ++k) {
        const double a = u[static_cast<std::size_t>(k) - 1], b = u[static_cast<std::size_t>(k)];
        flux[static_cast<std::size_t>(k)] = of(0.5 * (a + b)) * (a - b) / h;
      }
      // The face's ratio by bisection.
      double low = 0, high = u.back();
      for (int i = 0; i < 40; ++i) {
        const double f = 0.5 * (low + high);
        (of(0.5 * (f + u.back())) * (u.back() - f) * 2 / h > take * f ? low : high) = f;
      }
      flux[static_cast<std::size_t>(n)] = take * low;
      for (int k = 0; k < n; ++k) {
        u[static_cast<std::size_t>(k)] +=
            dt / h * (flux[static_cast<std::size_t>(k)] - flux[static_cast<std::size_t>(k) + 1]);
      }
    }
    double sum = 0;
    for (double r : u) sum += r * h;
    return sum / (solids * start);
  };
  auto graded = [&](int cells) {
    Slab slab(solids, 1, cells, 8, d);
    slab.fill(0, start);
    std::vector<double> gone;
    double t = 0, dt = 0.05;
    while (t < seconds) {
      dt = std::min({dt * 1.2, 2.0, seconds - t});
      slab.half(dt, {{take}});
      slab.full(dt, {{take}}, gone);
      slab.accept();
      t += dt;
    }
    return slab.volume_m(0) / (solids * start);
  };
  const double coarse = reference(30), fine = reference(60);
  const double exact = fine + (fine - coarse) / 3;
  EXPECT_NEAR(graded(60), exact, 0.004) << coarse << ' ' << fine;
  EXPECT_NEAR(graded(10), exact, 0.01);
}

TEST(Slab, WhatLeavesAndWhatStaysAddUp) {
  Slab slab(12e-6, 3, 10, 8, {1e-13, 9.2, false});
  const double start[3] = {2.0, 0.7, 0.01};
  const FaceTake take{{3e-7, 1e-6, 1e-2}};
  double went[3] = {0, 0, 0};
  for (int i = 0; i < 3; ++i) slab.fill(i, start[i]);
  std::vector<double> gone;
  for (double dt = 0.1; dt < 3000; dt *= 1.3) {
    slab.half(dt, take);
    slab.full(dt, take, gone);
    slab.accept();
    for (int i = 0; i < 3; ++i) {
      went[i] += gone[static_cast<std::size_t>(i)];
      const double whole = start[i] * 12e-6;
      EXPECT_NEAR(went[i] + slab.volume_m(i), whole, 1e-12 * whole) << dt;
      for (int k = 0; k < slab.cells(); ++k) EXPECT_GE(slab.ratio(i, k), 0) << dt;
    }
    EXPECT_NEAR(slab.thickness_m(), 12e-6 + slab.volume_m(0) + slab.volume_m(1) + slab.volume_m(2), 1e-18);
  }
  EXPECT_LT(slab.thickness_m(), 1.2 * 12e-6);  // the top has come down
}

}  // namespace
}  // namespace tackcloth::film
