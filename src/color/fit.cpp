#include "color/fit.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace tackcloth::color {

Goal::Goal(const Spectrum& target, const Viewer& first, const Viewer& second, double second_weight,
           double spectral_weight)
    : target_(target), spectral_weight_(spectral_weight) {
  const Viewer* const viewers[2] = {&first, &second};
  for (std::size_t i = 0; i < 2; ++i) {
    const Lab lab = viewers[i]->lab(target);
    const double c = std::hypot(lab.a, lab.b), l50 = (lab.l - 50) * (lab.l - 50);
    const double h = std::atan2(lab.b, lab.a);
    seen_[i] = {viewers[i],  lab,         1 + 0.015 * l50 / std::sqrt(20 + l50), 1 + 0.045 * c, 1 + 0.015 * c,
                std::cos(h), std::sin(h), i == 0 ? 1.0 : second_weight};
  }
}

void Goal::distances(const Spectrum& r, double* out) const {
  for (std::size_t i = 0; i < 2; ++i) {
    const Seen& s = seen_[i];
    const Lab lab = s.viewer->lab(r);
    const double da = lab.a - s.lab.a, db = lab.b - s.lab.b;
    out[3 * i] = s.weight * (lab.l - s.lab.l) / s.sl;
    out[3 * i + 1] = s.weight * (da * s.cos_h + db * s.sin_h) / s.sc;
    out[3 * i + 2] = s.weight * (db * s.cos_h - da * s.sin_h) / s.sh;
  }
  if (spectral_weight_ > 0)
    for (std::size_t i = 0; i < kSamples; ++i) out[6 + i] = spectral_weight_ * (r[i] - target_[i]);
}

Goal::Slopes Goal::slopes(const Spectrum& around) const {
  Slopes out;
  for (std::size_t v = 0; v < 2; ++v) {
    const Seen& s = seen_[v];
    const Xyz xyz = s.viewer->xyz(around);
    const Xyz& w = s.viewer->white();
    // Lab is near enough to its cube-root branch here: this only ranks candidates.
    const auto root = [](double t) { return std::cbrt(std::max(t, 1e-3)); };
    const double fx = root(xyz.x / w.x), fy = root(xyz.y / w.y), fz = root(xyz.z / w.z);
    for (std::size_t i = 0; i < kSamples; ++i) {
      const double dx = s.viewer->weight_x()[i] / w.x / (3 * fx * fx),
                   dy = s.viewer->weight_y()[i] / w.y / (3 * fy * fy),
                   dz = s.viewer->weight_z()[i] / w.z / (3 * fz * fz);
      const double da = 500 * (dx - dy), db = 200 * (dy - dz);
      out[3 * v][i] = s.weight * around[i] * 116 * dy / s.sl;
      out[3 * v + 1][i] = s.weight * around[i] * (da * s.cos_h + db * s.sin_h) / s.sc;
      out[3 * v + 2][i] = s.weight * around[i] * (db * s.cos_h - da * s.sin_h) / s.sh;
    }
  }
  return out;
}

void refine(Fit& fit, const Model& model, const Goal& goal, double most_sum, bool exact_sum) {
  constexpr int kMaxRounds = 40;
  constexpr double kPress = 50;
  const auto n = static_cast<Eigen::Index>(fit.count);
  const auto rows = static_cast<Eigen::Index>(goal.size()) + 1;
  using Shares = std::array<double, kMostParts>;
  const auto evaluate = [&](const Shares& x, Eigen::VectorXd& r) {
    goal.distances(model(fit.parts.data(), x.data(), fit.count), r.data());
    double sum = 0;
    for (std::size_t i = 0; i < fit.count; ++i) sum += x[i];
    r[rows - 1] = kPress * (exact_sum ? sum - most_sum : std::max(sum - most_sum, 0.0));
  };
  Eigen::VectorXd r(rows), trial(rows), moved(rows);
  Eigen::MatrixXd j(rows, n);
  Shares x = fit.shares;
  for (double& v : x) v = std::clamp(v, 0.0, 1.0);
  evaluate(x, r);
  double cost = r.squaredNorm(), lambda = 1e-3;
  bool fresh = true;
  Eigen::MatrixXd a(n, n);
  Eigen::VectorXd g(n);
  for (int round = 0; round < kMaxRounds && cost > 1e-20; ++round) {
    if (fresh) {
      for (Eigen::Index c = 0; c < n; ++c) {
        const auto k = static_cast<std::size_t>(c);
        Shares y = x;
        const double h = std::max(1e-6, 1e-5 * x[k]) * (x[k] > 0.5 ? -1 : 1);
        y[k] += h;
        evaluate(y, moved);
        j.col(c) = (moved - r) / h;
      }
      a.noalias() = j.transpose() * j;
      g.noalias() = j.transpose() * r;
    }
    std::array<bool, kMostParts> held{};
    double pull = 0;
    for (std::size_t k = 0; k < fit.count; ++k) {
      const double gk = g[static_cast<Eigen::Index>(k)];
      held[k] = (x[k] <= 0 && gk >= 0) || (x[k] >= 1 && gk <= 0);
      if (!held[k]) pull = std::max(pull, std::abs(gk));
    }
    if (pull < 1e-10) break;
    Eigen::MatrixXd b = a;
    Eigen::VectorXd right = -g;
    for (Eigen::Index k = 0; k < n; ++k) {
      if (held[static_cast<std::size_t>(k)]) {
        b.row(k).setZero();
        b.col(k).setZero();
        b(k, k) = 1;
        right[k] = 0;
      } else {
        b(k, k) += lambda * (a(k, k) + 1e-9);
      }
    }
    const Eigen::VectorXd step = b.ldlt().solve(right);
    Shares y = x;
    double largest = 0;
    for (std::size_t k = 0; k < fit.count; ++k) {
      y[k] = std::clamp(x[k] + step[static_cast<Eigen::Index>(k)], 0.0, 1.0);
      largest = std::max(largest, std::abs(y[k] - x[k]));
    }
    if (!std::isfinite(largest)) break;
    evaluate(y, trial);
    const double next = trial.squaredNorm();
    fresh = next < cost;
    if (fresh) {
      const bool settled = largest < 1e-10 || cost - next < 1e-9 * cost;
      x = y;
      r.swap(trial);
      cost = next;
      lambda = std::max(lambda * 0.2, 1e-12);
      if (settled) break;
    } else {
      if (largest < 1e-9) break;
      lambda *= 6;
    }
  }
  fit.shares = x;
  fit.cost = std::sqrt(cost);
}

}  // namespace tackcloth::color
