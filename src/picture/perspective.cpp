#include "picture/perspective.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>

#include "picture/srgb_table.h"

namespace tackcloth::picture {

namespace {

using shape::Point;

Problem bad_corners(const std::string& what) {
  return {"",
          0,
          0,
          what,
          "four corners of one face, in order around it: top left, top right, bottom right, bottom left",
          "tap the corners again"};
}

double cross(Point a, Point b, Point c) { return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x); }

// Similarity that brings the points to mean 0 and mean distance sqrt 2 (Hartley and Zisserman, section 4.4.4).
Eigen::Matrix3d normaliser(const std::vector<Point>& points) {
  double x = 0, y = 0, far = 0;
  const auto n = static_cast<double>(points.size());
  for (const auto& p : points) {
    x += p.x / n;
    y += p.y / n;
  }
  for (const auto& p : points) far += std::hypot(p.x - x, p.y - y) / n;
  const double s = far > 0 ? std::sqrt(2.0) / far : 1;
  Eigen::Matrix3d m;
  m << s, 0, -s * x, 0, s, -s * y, 0, 0, 1;
  return m;
}

Homography from_matrix(Eigen::Matrix3d m) {
  if (std::abs(m(2, 2)) > 1e-12 * m.cwiseAbs().maxCoeff()) m /= m(2, 2);
  Homography out;
  for (int r = 0; r < 3; ++r)
    for (int c = 0; c < 3; ++c) out.h[static_cast<std::size_t>(3 * r + c)] = m(r, c);
  return out;
}

Eigen::Matrix3d to_matrix(const Homography& h) {
  Eigen::Matrix3d m;
  m << h.h[0], h.h[1], h.h[2], h.h[3], h.h[4], h.h[5], h.h[6], h.h[7], h.h[8];
  return m;
}

}  // namespace

Point Homography::map(Point p) const {
  const double w = depth(p);
  return {(h[0] * p.x + h[1] * p.y + h[2]) / w, (h[3] * p.x + h[4] * p.y + h[5]) / w};
}

Result<Homography> homography(const std::vector<Point>& from, const std::vector<Point>& to) {
  if (from.size() != to.size() || from.size() < 4)
    return tl::unexpected(bad_corners("fewer than four matching points"));
  for (const auto* points : {&from, &to})
    for (const auto& p : *points)
      if (!std::isfinite(p.x) || !std::isfinite(p.y)) return tl::unexpected(bad_corners("a corner is not a number"));
  const Eigen::Matrix3d t1 = normaliser(from), t2 = normaliser(to);
  Eigen::MatrixXd a(2 * static_cast<Eigen::Index>(from.size()), 9);
  for (std::size_t i = 0; i < from.size(); ++i) {
    const Eigen::Vector3d p = t1 * Eigen::Vector3d(from[i].x, from[i].y, 1);
    const Eigen::Vector3d q = t2 * Eigen::Vector3d(to[i].x, to[i].y, 1);
    const auto r = 2 * static_cast<Eigen::Index>(i);
    a.row(r) << 0, 0, 0, -p.x(), -p.y(), -1, q.y() * p.x(), q.y() * p.y(), q.y();
    a.row(r + 1) << p.x(), p.y(), 1, 0, 0, 0, -q.x() * p.x(), -q.x() * p.y(), -q.x();
  }
  const Eigen::JacobiSVD<Eigen::MatrixXd> svd(a, Eigen::ComputeFullV);
  // A second null direction: the points leave the mapping open.
  if (svd.singularValues()(7) < 1e-9 * svd.singularValues()(0))
    return tl::unexpected(bad_corners("three of the corners are in line"));
  Eigen::Matrix3d h;
  const Eigen::VectorXd v = svd.matrixV().col(8);
  h << v(0), v(1), v(2), v(3), v(4), v(5), v(6), v(7), v(8);
  return from_matrix(t2.inverse() * h * t1);
}

Result<Homography> homography(const Corners& from, const Corners& to) {
  return homography(std::vector<Point>(from.begin(), from.end()), std::vector<Point>(to.begin(), to.end()));
}

Result<Homography> inverse(const Homography& homography) {
  const Eigen::Matrix3d m = to_matrix(homography);
  const double size = m.cwiseAbs().maxCoeff();
  if (!(std::abs(m.determinant()) > 1e-14 * size * size * size))
    return tl::unexpected(bad_corners("the face is seen edge on"));
  return from_matrix(m.inverse());
}

Result<Face> face_from_corners(const Corners& photo, double width_mm, double height_mm) {
  for (const double size : {width_mm, height_mm})
    if (!(size >= 5 && size <= 10'000)) {
      char text[64];
      std::snprintf(text, sizeof text, "the face is %.6g x %.6g mm", width_mm, height_mm);
      return tl::unexpected(
          Problem{"", 0, 0, text, "5 mm to 10 m each way", "give its measured width and height: 600x400mm"});
    }
  double area = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    const Point p = photo[i], q = photo[(i + 1) % 4];
    if (!std::isfinite(p.x) || !std::isfinite(p.y) || std::abs(p.x) > 1e6 || std::abs(p.y) > 1e6)
      return tl::unexpected(bad_corners("a corner is not a place in the photo"));
    area += (p.x * q.y - q.x * p.y) / 2;
  }
  // All four turns the same way round: a convex outline, the only shape a rectangle can be seen as.
  int clockwise = 0, other = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    const Point a = photo[i], b = photo[(i + 1) % 4], c = photo[(i + 2) % 4];
    const double turn = cross(a, b, c);
    const double size = std::hypot(b.x - a.x, b.y - a.y) * std::hypot(c.x - b.x, c.y - b.y);
    // Sine of the turn below 0.02, about 1 degree: in line for a finger's precision.
    if (!(std::abs(turn) > 0.02 * size) || size < 1)
      return tl::unexpected(bad_corners("corner " + std::to_string((i + 1) % 4 + 1) +
                                        " is nearly in line with its "
                                        "neighbours, or on top of one"));
    (turn > 0 ? clockwise : other) += 1;  // y runs down in a photo
  }
  if (clockwise != 4 && other != 4)
    return tl::unexpected(bad_corners(clockwise == 2 ? "the sides between the corners cross"
                                                     : "one corner lies inside of the other three"));
  if (other == 4) return tl::unexpected(bad_corners("the corners go around the wrong way: the face would be mirrored"));
  if (area < 64) return tl::unexpected(bad_corners("the face covers less than 8 x 8 pixels"));
  const Corners mm{Point{0, height_mm}, Point{width_mm, height_mm}, Point{width_mm, 0}, Point{0, 0}};
  const auto to = homography(mm, photo);
  if (!to) return tl::unexpected(to.error());
  const auto back = inverse(*to);
  if (!back) return tl::unexpected(back.error());
  return Face{width_mm, height_mm, *to, *back};
}

Result<Image> flatten_face(const Image& photo, const Face& face, double pixels_per_mm) {
  const double w = face.width_mm * pixels_per_mm, h = face.height_mm * pixels_per_mm;
  if (!(w >= 1 && h >= 1 && w * h <= 60e6))
    return tl::unexpected(Problem{"", 0, 0,
                                  "the flattened face would be " + std::to_string(static_cast<long long>(w)) + " x " +
                                      std::to_string(static_cast<long long>(h)) + " pixels",
                                  "1 pixel to 60 megapixels", "ask for fewer pixels a millimetre"});
  Image out(static_cast<int>(std::lround(w)), static_cast<int>(std::lround(h)));
  const auto& light = decode_table();
  const auto& code = encode_table();
  const auto source = [&](double x, double y) {
    return face.to_photo.map({x / out.width * face.width_mm, (1 - y / out.height) * face.height_mm});
  };
  for (int y = 0; y < out.height; ++y)
    for (int x = 0; x < out.width; ++x) {
      // As many samples each way as photo pixels fall on this one, up to 8.
      const Point a = source(x, y + 0.5), b = source(x + 1, y + 0.5), c = source(x + 0.5, y),
                  d = source(x + 0.5, y + 1);
      const double step = std::max(std::hypot(b.x - a.x, b.y - a.y), std::hypot(d.x - c.x, d.y - c.y));
      const int n = std::clamp(static_cast<int>(std::ceil(step)), 1, 8);
      float sum[3] = {};
      for (int sy = 0; sy < n; ++sy)
        for (int sx = 0; sx < n; ++sx) {
          const Point p = source(x + (sx + 0.5) / n, y + (sy + 0.5) / n);
          const float px = std::clamp(static_cast<float>(p.x) - 0.5f, 0.0f, static_cast<float>(photo.width - 1));
          const float py = std::clamp(static_cast<float>(p.y) - 0.5f, 0.0f, static_cast<float>(photo.height - 1));
          const int x0 = static_cast<int>(px), y0 = static_cast<int>(py);
          const int x1 = std::min(x0 + 1, photo.width - 1), y1 = std::min(y0 + 1, photo.height - 1);
          const float tx = px - static_cast<float>(x0), ty = py - static_cast<float>(y0);
          for (int ch = 0; ch < 3; ++ch) {
            const float top = light[photo.at(x0, y0)[ch]] * (1 - tx) + light[photo.at(x1, y0)[ch]] * tx;
            const float low = light[photo.at(x0, y1)[ch]] * (1 - tx) + light[photo.at(x1, y1)[ch]] * tx;
            sum[ch] += top * (1 - ty) + low * ty;
          }
        }
      for (int ch = 0; ch < 3; ++ch) out.at(x, y)[ch] = encode(code, sum[ch] / static_cast<float>(n * n));
    }
  return out;
}

Mask cover_of(const std::vector<std::vector<Point>>& outlines, int width, int height) {
  Mask mask(width, height);
  constexpr int kRows = 4;
  std::vector<float> sum(static_cast<std::size_t>(width));
  std::vector<double> cuts;
  double top = 1e9, bottom = -1e9;
  for (const auto& o : outlines)
    for (const auto& p : o) {
      top = std::min(top, p.y);
      bottom = std::max(bottom, p.y);
    }
  const int first = std::clamp(static_cast<int>(std::floor(std::clamp(top, -1e6, 1e6))), 0, height);
  const int last = std::clamp(static_cast<int>(std::ceil(std::clamp(bottom, -1e6, 1e6))), 0, height);
  for (int y = first; y < last; ++y) {
    std::fill(sum.begin(), sum.end(), 0.0f);
    for (int row = 0; row < kRows; ++row) {
      const double at = y + (row + 0.5) / kRows;
      cuts.clear();
      for (const auto& o : outlines)
        for (std::size_t i = 0; i < o.size(); ++i) {
          const Point p = o[i], q = o[(i + 1) % o.size()];
          if ((p.y <= at) != (q.y <= at)) cuts.push_back(p.x + (at - p.y) / (q.y - p.y) * (q.x - p.x));
        }
      std::sort(cuts.begin(), cuts.end());
      for (std::size_t i = 0; i + 1 < cuts.size(); i += 2) {
        const double from = std::clamp(cuts[i], 0.0, static_cast<double>(width));
        const double to = std::clamp(cuts[i + 1], 0.0, static_cast<double>(width));
        for (int x = static_cast<int>(from); x < width && x < to; ++x)
          sum[static_cast<std::size_t>(x)] +=
              static_cast<float>(std::min(to, x + 1.0) - std::max(from, static_cast<double>(x)));
      }
    }
    for (int x = 0; x < width; ++x)
      mask.at(x, y) =
          static_cast<std::uint8_t>(std::min(255.0f, sum[static_cast<std::size_t>(x)] * 255 / kRows + 0.5f));
  }
  return mask;
}

Mask zone_on_photo(const shape::Region& zone, const Face& face, int width, int height) {
  // Only what lies on the face: the rest of the plane may pass behind the camera.
  const shape::Region on_face = shape::intersect(zone, shape::rectangle({0, 0}, face.width_mm, face.height_mm));
  // Fine enough that an arc is never off by more than a twentieth of a pixel where the photo is finest.
  const Homography& h = face.to_photo;
  double finest = 0;
  for (const Point p :
       {Point{0, 0}, Point{face.width_mm, 0}, Point{0, face.height_mm}, Point{face.width_mm, face.height_mm}}) {
    const Point q = h.map(p);
    const double step = 1e-3 * std::min(face.width_mm, face.height_mm);
    for (const Point d : {Point{step, 0}, Point{0, step}}) {
      const Point r = h.map({p.x + d.x, p.y + d.y});
      finest = std::max(finest, std::hypot(r.x - q.x, r.y - q.y) / step);
    }
  }
  std::vector<std::vector<Point>> outlines;
  for (const auto& outline : on_face.outlines) {
    outlines.push_back(shape::flatten(outline, 0.05 / std::max(finest, 1e-6)));
    for (auto& p : outlines.back()) p = h.map(p);
  }
  return cover_of(outlines, width, height);
}

}  // namespace tackcloth::picture
