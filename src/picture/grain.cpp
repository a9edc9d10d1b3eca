#include "picture/grain.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "picture/plane.h"

namespace tackcloth::picture {

namespace {

constexpr float kDarkest = 1e-4f;

// Mean over the window of the zone's pixels only.
Plane blur_inside(const Plane& value, const Plane& inside, const Plane& share, int radius) {
  Plane cut = value;
  for (std::size_t i = 0; i < cut.v.size(); ++i) cut.v[i] *= inside.v[i];
  Plane out = blur(cut, radius);
  for (std::size_t i = 0; i < out.v.size(); ++i) out.v[i] = share.v[i] > 1e-4f ? out.v[i] / share.v[i] : 0;
  return out;
}

}  // namespace

void set_grain(Zone& zone, const std::vector<std::array<float, 3>>& light, const std::vector<std::size_t>& in) {
  const int w = zone.grid_width, h = zone.grid_height;
  const int fine = std::max(2, std::max(w, h) / 80);
  const Plane empty{w, h, std::vector<float>(light.size(), 0.0f)};
  Plane inside = empty;
  for (const auto i : in) inside.v[i] = 1;
  const Plane share = blur(inside, fine);
  std::array<Plane, 3> log_j{empty, empty, empty}, detail{empty, empty, empty};
  for (std::size_t c = 0; c < 3; ++c) {
    for (const auto i : in) log_j[c].v[i] = std::log(std::max(light[i][c] / zone.grid[i].light[c], kDarkest));
    const Plane smooth = blur_inside(log_j[c], inside, share, fine);
    for (const auto i : in) detail[c].v[i] = log_j[c].v[i] - smooth.v[i];
  }
  Eigen::Matrix3d cov = Eigen::Matrix3d::Zero();
  for (const auto i : in)
    for (int r = 0; r < 3; ++r)
      for (int c = 0; c < 3; ++c)
        cov(r, c) +=
            static_cast<double>(detail[static_cast<std::size_t>(r)].v[i]) * detail[static_cast<std::size_t>(c)].v[i];
  cov /= static_cast<double>(in.size());
  // Noise of the photo: 8 bits at a middling dark tone are about 1 % of the light; a phone's own noise is as much
  // again.
  cov += 4e-4 * Eigen::Matrix3d::Identity();
  const Eigen::Vector3d solved = cov.ldlt().solve(Eigen::Vector3d::Ones());
  const Eigen::Vector3d weights = solved / solved.sum();
  const std::array<double, 3> a{zone.albedo_now.r, zone.albedo_now.g, zone.albedo_now.b};
  double log_albedo = 0;
  for (int c = 0; c < 3; ++c) {
    zone.log_weights[static_cast<std::size_t>(c)] = static_cast<float>(weights[c]);
    log_albedo += weights[c] * std::log(a[static_cast<std::size_t>(c)]);
  }
  zone.log_albedo = static_cast<float>(log_albedo);
  Plane signal = empty;
  for (const auto i : in) {
    signal.v[i] = -zone.log_albedo;
    for (std::size_t c = 0; c < 3; ++c) signal.v[i] += zone.log_weights[c] * log_j[c].v[i];
  }
  // The guided filter with the signal as its own guide.
  const int radius = std::max(2, std::max(w, h) / 60);
  const Plane part = blur(inside, radius);
  const Plane mean = blur_inside(signal, inside, part, radius);
  Plane square = signal;
  for (auto& v : square.v) v *= v;
  const Plane mean_square = blur_inside(square, inside, part, radius);
  // The detail that is left: its median is the grain's, edges are few.
  std::vector<float> variance;
  for (const auto i : in) variance.push_back(std::max(0.0f, mean_square.v[i] - mean.v[i] * mean.v[i]));
  std::vector<float> sorted = variance;
  std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2), sorted.end());
  // More than the median would leave less grain, but takes weak shadows with it (tuning pairs).
  const float grain = sorted[sorted.size() / 2] + 1e-4f;
  Plane slope = empty, offset = empty;
  for (std::size_t n = 0; n < in.size(); ++n) {
    const auto i = in[n];
    slope.v[i] = std::max(0.0f, 1 - grain / std::max(variance[n], 1e-9f));  // Lee 1980: detail less the grain's share
    offset.v[i] = (1 - slope.v[i]) * mean.v[i];
  }
  slope = blur_inside(slope, inside, part, radius);
  offset = blur_inside(offset, inside, part, radius);
  std::vector<float> shading;
  for (const auto i : in) shading.push_back(std::exp(slope.v[i] * signal.v[i] + offset.v[i]));
  std::nth_element(shading.begin(), shading.begin() + static_cast<std::ptrdiff_t>(shading.size() * 85 / 100),
                   shading.end());
  const float ceiling = 1.4f * shading[shading.size() * 85 / 100];
  for (std::size_t i = 0; i < zone.grid.size(); ++i) {
    if (part.v[i] < 1e-4f) continue;
    zone.grid[i].slope = slope.v[i];
    zone.grid[i].offset = offset.v[i];
    zone.grid[i].ceiling = ceiling;
  }
}

}  // namespace tackcloth::picture
