#include "color/estimate.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "color/css.h"

namespace tackcloth::color {

namespace {

constexpr int kN = static_cast<int>(kSamples);
using Vector = Eigen::Matrix<double, kN, 1>;
using Whole = Eigen::Matrix<double, kN + 3, 1>;

double from_reflectance(double r) { return std::atanh(2 * std::clamp(r, 1e-4, 1 - 1e-4) - 1); }

Eigen::Matrix<double, 3, kN> weights_of(const Viewer& viewer) {
  Eigen::Matrix<double, 3, kN> w;
  for (int i = 0; i < kN; ++i) {
    const auto k = static_cast<std::size_t>(i);
    w(0, i) = viewer.weight_x()[k];
    w(1, i) = viewer.weight_y()[k];
    w(2, i) = viewer.weight_z()[k];
  }
  return w;
}

}  // namespace

Result<Spectrum> estimate_reflectance(const Lab& lab, const Viewer& viewer, const Spectrum* like) {
  const auto refuse = [&] {
    return tl::unexpected<Problem>({"", 0, 0, "no surface can have the colour " + to_css(lab),
                                    "a colour that a reflectance between 0 and 1 has under " + viewer.name(),
                                    "measure it again, or choose one less strong"});
  };
  if (!(lab.l >= 0 && lab.l <= 100) || !std::isfinite(lab.a) || !std::isfinite(lab.b)) return refuse();
  const Xyz wanted = xyz_from_lab(lab, viewer.white());
  if (std::hypot(lab.a, lab.b) < 1e-9 && !like) return Spectrum::flat(wanted.y);
  if (!(wanted.x > 0 && wanted.y > 0 && wanted.z > 0)) return refuse();
  const auto w = weights_of(viewer);
  const Eigen::Vector3d target(wanted.x, wanted.y, wanted.z);

  // Newton's method on Lagrange's conditions: tridiagonal slopes bordered by the three colour equations.
  Vector z, base = Vector::Zero();
  if (like)
    for (int i = 0; i < kN; ++i) base[i] = from_reflectance((*like)[static_cast<std::size_t>(i)]);
  z = like ? base : Vector(Vector::Constant(from_reflectance(wanted.y)));
  Eigen::Vector3d lambda = Eigen::Vector3d::Zero();
  Eigen::Matrix<double, kN + 3, kN + 3> j;
  for (int round = 0; round < 80; ++round) {
    Vector r, slope, bend;
    for (int i = 0; i < kN; ++i) {
      const double t = std::tanh(z[i]);
      r[i] = (1 + t) / 2;
      slope[i] = (1 - t * t) / 2;
      bend[i] = -t * (1 - t * t);
    }
    const Vector d = z - base, pull = w.transpose() * lambda;
    Whole f;
    j.setZero();
    for (int i = 0; i < kN; ++i) {
      const bool left = i > 0, right = i + 1 < kN;
      f[i] = (left ? d[i] - d[i - 1] : 0) + (right ? d[i] - d[i + 1] : 0) + slope[i] * pull[i];
      j(i, i) = (left ? 1 : 0) + (right ? 1 : 0) + bend[i] * pull[i];
      if (left) j(i, i - 1) = -1;
      if (right) j(i, i + 1) = -1;
    }
    f.tail<3>() = w * r - target;
    const Eigen::Matrix<double, 3, kN> border = w * slope.asDiagonal();
    j.bottomLeftCorner<3, kN>() = border;
    j.topRightCorner<kN, 3>() = border.transpose();
    if (f.head<kN>().cwiseAbs().maxCoeff() < 1e-8 && f.tail<3>().cwiseAbs().maxCoeff() < 1e-11) {
      Spectrum out;
      for (int i = 0; i < kN; ++i) out[static_cast<std::size_t>(i)] = r[i];
      return out;
    }
    const Whole step = j.partialPivLu().solve(-f);
    if (!step.allFinite()) return refuse();
    const double largest = step.head<kN>().cwiseAbs().maxCoeff(), scale = largest > 2 ? 2 / largest : 1;
    z += scale * step.head<kN>();
    lambda += scale * step.tail<3>();
  }
  return refuse();
}

Spectrum nudged(const Spectrum& reflectance, const Viewer& viewer, const Xyz& step) {
  // Three smooth shapes that vanish where the reflectance meets 0 or 1.
  const auto w = weights_of(viewer);
  Eigen::Matrix<double, kN, 3> shapes;
  for (int i = 0; i < kN; ++i) {
    const double r = reflectance[static_cast<std::size_t>(i)], u = (i - kN / 2) / (kN / 4.0);
    const double room = std::max(r * (1 - r), 1e-4);
    shapes(i, 0) = room;
    shapes(i, 1) = room * std::tanh(u);
    shapes(i, 2) = room * std::exp(-u * u);
  }
  const Eigen::Vector3d how = (w * shapes).eval().partialPivLu().solve(Eigen::Vector3d(step.x, step.y, step.z));
  const Vector change = shapes * how;
  Spectrum out = reflectance;
  for (int i = 0; i < kN; ++i) {
    double& v = out[static_cast<std::size_t>(i)];
    v = std::clamp(v + change[i], 0.0, 1.0);
  }
  return out;
}

}  // namespace tackcloth::color
