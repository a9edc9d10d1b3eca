#include "picture/chart_fit.h"

#include <Eigen/Dense>

namespace tackcloth::picture {

std::vector<Eigen::Vector3d> linear_of(const std::vector<color::Lab>& colors) {
  std::vector<Eigen::Vector3d> out;
  for (const auto& v : colors) {
    const color::LinearRgb rgb = color::linear_rgb_from_lab(v);
    out.emplace_back(rgb.r, rgb.g, rgb.b);
  }
  return out;
}

Eigen::Matrix3d fit_matrix(const std::vector<Patch>& seen, const std::vector<Eigen::Vector3d>& want,
                           const std::vector<bool>& use) {
  const auto n = static_cast<Eigen::Index>(seen.size());
  Eigen::MatrixXd from(n, 3), to(n, 3);
  for (Eigen::Index i = 0; i < n; ++i) {
    const auto k = static_cast<std::size_t>(i);
    const double weight = use[k] ? 1 / (luminance(want[k]) + 0.05) : 0;
    from.row(i) = seen[k].mean.transpose() * weight;
    to.row(i) = want[k].transpose() * weight;
  }
  return from.colPivHouseholderQr().solve(to).transpose();
}

}  // namespace tackcloth::picture
