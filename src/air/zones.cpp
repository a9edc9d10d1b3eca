#include "air/zones.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::air {

namespace {

using Matrix = std::array<PerZone, kMostZones>;

// Eigenvectors of a small symmetric matrix by Jacobi's rotations (Golub and Van Loan, Matrix Computations, 8.5).
void diagonalise(int n, Matrix& a, Matrix& vectors) {
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j) vectors[i][j] = i == j ? 1 : 0;
  for (int sweep = 0; sweep < 50; ++sweep) {
    double off = 0, all = 0;
    for (int i = 0; i < n; ++i)
      for (int j = 0; j < n; ++j) {
        all += a[i][j] * a[i][j];
        if (i != j) off += a[i][j] * a[i][j];
      }
    if (off <= 1e-34 * all) return;
    for (int p = 0; p < n; ++p)
      for (int q = p + 1; q < n; ++q) {
        if (a[p][q] == 0) continue;
        const double theta = (a[q][q] - a[p][p]) / (2 * a[p][q]);
        const double t = (theta >= 0 ? 1 : -1) / (std::fabs(theta) + std::sqrt(theta * theta + 1));
        const double c = 1 / std::sqrt(t * t + 1), s = t * c;
        for (int k = 0; k < n; ++k) {
          const double x = a[k][p], y = a[k][q];
          a[k][p] = c * x - s * y;
          a[k][q] = s * x + c * y;
        }
        for (int k = 0; k < n; ++k) {
          const double x = a[p][k], y = a[q][k];
          a[p][k] = c * x - s * y;
          a[q][k] = s * x + c * y;
        }
        for (int k = 0; k < n; ++k) {
          const double x = vectors[k][p], y = vectors[k][q];
          vectors[k][p] = c * x - s * y;
          vectors[k][q] = s * x + c * y;
        }
      }
  }
}

// phi_k(-x) with phi_0 = e^-x, phi_k = (1/(k-1)! - phi_{k-1}) / x turned for -x: the k-fold averages of the fading
// exponential. By series near zero, where the closed form loses figures.
std::array<double, 4> averages(double x) {
  std::array<double, 4> phi{};
  phi[0] = std::exp(-x);
  if (x < 0.5) {
    for (int k = 1; k <= 3; ++k) {
      double term = 1, sum = 0;
      for (int j = 1; j <= k; ++j) term /= j;
      for (int j = 0; j < 20; ++j) {
        sum += term;
        term *= -x / (k + j + 1);
      }
      phi[static_cast<std::size_t>(k)] = sum;
    }
    return phi;
  }
  phi[1] = -std::expm1(-x) / x;
  phi[2] = (1 - phi[1]) / x;
  phi[3] = (0.5 - phi[2]) / x;
  return phi;
}

}  // namespace

Zones::Zones(int count, const PerZone& volume, const PerZone& out, const Matrix& flow) : count_(count) {
  Matrix a{};
  for (int i = 0; i < count; ++i) root_volume_[i] = std::sqrt(volume[i]);
  for (int i = 0; i < count; ++i) {
    double leaving = out[i];
    for (int j = 0; j < count; ++j) {
      if (i == j) continue;
      leaving += flow[i][j];
      a[i][j] = -flow[i][j] / (root_volume_[i] * root_volume_[j]);
    }
    a[i][i] = leaving / volume[i];
  }
  diagonalise(count, a, modes_);
  for (int k = 0; k < count; ++k) rate_[k] = std::max(0.0, a[k][k]);
}

Zones::Step Zones::step(double hours) const {
  Step s;
  s.hours = hours;
  for (int k = 0; k < count_; ++k) {
    const auto phi = averages(rate_[k] * hours);
    s.fade[k] = phi[0];
    s.held[k] = hours * phi[1];
    s.risen[k] = hours * phi[2];
    s.area[k] = hours * phi[1];
    s.held_area[k] = hours * hours * phi[2];
    s.risen_area[k] = hours * hours * phi[3];
  }
  return s;
}

PerZone Zones::advance(const Step& step, const PerZone& start, const PerZone& from, const PerZone& to,
                       PerZone& integral) const {
  PerZone y{}, sum{};
  for (int k = 0; k < count_; ++k) {
    double y0 = 0, e0 = 0, e1 = 0;
    for (int i = 0; i < count_; ++i) {
      y0 += modes_[i][k] * root_volume_[i] * start[i];
      e0 += modes_[i][k] * from[i] / root_volume_[i];
      e1 += modes_[i][k] * to[i] / root_volume_[i];
    }
    y[k] = step.fade[k] * y0 + step.held[k] * e0 + step.risen[k] * (e1 - e0);
    sum[k] = step.area[k] * y0 + step.held_area[k] * e0 + step.risen_area[k] * (e1 - e0);
  }
  PerZone end{};
  integral = {};
  for (int i = 0; i < count_; ++i) {
    for (int k = 0; k < count_; ++k) {
      end[i] += modes_[i][k] * y[k];
      integral[i] += modes_[i][k] * sum[k];
    }
    end[i] /= root_volume_[i];
    integral[i] /= root_volume_[i];
  }
  return end;
}

}  // namespace tackcloth::air
