// What a plain place in a photo shows. Internal to the chart and the card.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "picture/image.h"
#include "shape/shape.h"

namespace tackcloth::picture {

struct Patch {
  Eigen::Vector3d mean = Eigen::Vector3d::Zero();  // linear light
  double spread = 0;                               // of the channels, against their mean
  bool clipped = false;                            // more than a twentieth of its pixels overexposed
  int pixels = 0;
};

// Mean light over a convex outline in the photo, clockwise as seen; the pixels whose middle is inside.
Patch read_patch(const Image& photo, const std::vector<shape::Point>& outline);

inline double luminance(const Eigen::Vector3d& v) { return 0.2126 * v.x() + 0.7152 * v.y() + 0.0722 * v.z(); }

}  // namespace tackcloth::picture
