// The camera's matrix from patches of known colour. Internal to the chart.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "color/space.h"
#include "picture/patch.h"

namespace tackcloth::picture {

inline color::Lab lab(const Eigen::Vector3d& v) { return color::lab_from_linear_rgb({v.x(), v.y(), v.z()}); }

std::vector<Eigen::Vector3d> linear_of(const std::vector<color::Lab>& colors);

// Least squares over the patches in `use`, each weighted by 1 / (its luminance + 0.05) so that dark ones count.
Eigen::Matrix3d fit_matrix(const std::vector<Patch>& seen, const std::vector<Eigen::Vector3d>& want,
                           const std::vector<bool>& use);

}  // namespace tackcloth::picture
