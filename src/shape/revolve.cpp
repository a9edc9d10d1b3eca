#include <algorithm>
#include <cmath>
#include <numbers>

#include "shape/arc.h"
#include "shape/shape.h"

namespace tackcloth::shape {

namespace {

constexpr double kTwoPi = 2 * std::numbers::pi;

// 2 pi * integral of r ds over the stretch [t0, t1] of one profile edge (x = z, y = r).
double swept_mm2(const Segment& s, double t0, double t1) {
  if (s.straight()) return kTwoPi * (s.at(t0).y + s.at(t1).y) / 2 * (t1 - t0) * s.length();
  const double a = s.from_angle + t0 * s.sweep, b = s.from_angle + t1 * s.sweep;
  return kTwoPi * s.radius * std::abs(s.center.y * (b - a) - s.radius * (std::cos(b) - std::cos(a)));
}

std::vector<Segment> profile_segments(double z0, double r0, const std::vector<ProfileEdge>& profile) {
  std::vector<Segment> all;
  Point from{z0, r0};
  for (const ProfileEdge& edge : profile) {
    all.push_back(segment(from, {edge.z, edge.r}, edge.bulge));
    from = {edge.z, edge.r};
  }
  return all;
}

// Parameters, sorted with 0 and 1, at which the edge stands at height `z`.
std::vector<double> crossings(const Segment& s, std::initializer_list<double> heights) {
  std::vector<double> cuts = {0, 1};
  for (const double z : heights) {
    const double reach = std::abs(s.from.y) + std::abs(s.to.y) + 2 * s.radius + s.length() + 1;
    for (const double t : meetings(s, segment({z, -reach}, {z, reach}, 0))) cuts.push_back(std::clamp(t, 0.0, 1.0));
  }
  std::sort(cuts.begin(), cuts.end());
  return cuts;
}

Result<bool> proper(double z0, double r0, const std::vector<ProfileEdge>& profile) {
  if (profile.empty())
    return tl::unexpected(
        Problem{"", 0, 0, "the profile has no edge", "two points or more", "measure the leg at each turn"});
  for (const Segment& s : profile_segments(z0, r0, profile)) {
    // The lowest point of an arc may lie between its ends.
    double least = std::min(s.from.y, s.to.y);
    if (!s.straight()) {
      double away = 0;
      const Point bottom{s.center.x, s.center.y - s.radius};
      s.nearest(bottom, away);
      if (away < 1e-9) least = std::min(least, bottom.y);
    }
    if (!std::isfinite(least + s.from.x + s.to.x + s.length()) || least < -1e-9)
      return tl::unexpected(Problem{"", 0, 0, "the profile crosses its own axis", "radii of 0 or more",
                                    "give radii from the centre line, and a smaller rise for hollow arcs"});
  }
  return true;
}

}  // namespace

Result<double> revolution_area_mm2(double z0, double r0, const std::vector<ProfileEdge>& profile) {
  if (const auto good = proper(z0, r0, profile); !good) return tl::unexpected(good.error());
  double sum = 0;
  for (const Segment& s : profile_segments(z0, r0, profile)) sum += swept_mm2(s, 0, 1);
  return sum;
}

Result<double> revolution_area_between_mm2(double z0, double r0, const std::vector<ProfileEdge>& profile, double low_z,
                                           double high_z) {
  if (const auto good = proper(z0, r0, profile); !good) return tl::unexpected(good.error());
  double sum = 0;
  for (const Segment& s : profile_segments(z0, r0, profile)) {
    const std::vector<double> cuts = crossings(s, {low_z, high_z});
    for (std::size_t i = 1; i < cuts.size(); ++i) {
      const double z = s.at((cuts[i - 1] + cuts[i]) / 2).x;
      if (z >= low_z && z <= high_z) sum += swept_mm2(s, cuts[i - 1], cuts[i]);
    }
  }
  return sum;
}

double profile_radius_mm(double z0, double r0, const std::vector<ProfileEdge>& profile, double z) {
  double most = 0;
  for (const Segment& s : profile_segments(z0, r0, profile))
    for (const double t : crossings(s, {z}))
      if (std::abs(s.at(t).x - z) < 1e-6) most = std::max(most, s.at(t).y);
  return most;
}

double cone_frustum_area_mm2(double r1_mm, double r2_mm, double height_mm) {
  return std::numbers::pi * (r1_mm + r2_mm) * std::hypot(height_mm, r1_mm - r2_mm);
}

}  // namespace tackcloth::shape
