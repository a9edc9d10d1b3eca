#include <algorithm>
#include <cmath>

#include "shape/arc.h"
#include "shape/shape.h"
#include "shape/simple.h"

namespace tackcloth::shape {

namespace {

constexpr std::size_t kMostPoints = 2000;

Problem malformed(std::string what, std::string expected, std::string remedy) {
  return {"", 0, 0, std::move(what), std::move(expected), std::move(remedy)};
}

}  // namespace

Region rectangle(Point corner, double width_mm, double height_mm) {
  const double right = corner.x + width_mm, top = corner.y + height_mm;
  return {{{{{{right, corner.y}}, {{right, top}}, {{corner.x, top}}, {corner}}}}};
}

Region circle(Point center, double radius_mm) {
  const Point right{center.x + radius_mm, center.y}, left{center.x - radius_mm, center.y};
  return {{{{{left, 1}, {right, 1}}}}};
}

Region half_circle(Point center, double radius_mm, bool upwards) {
  const Point right{center.x + radius_mm, center.y}, left{center.x - radius_mm, center.y};
  if (upwards) return {{{{{right, 0}, {left, 1}}}}};
  return {{{{{left, 0}, {right, 1}}}}};
}

Result<Region> arch(Point corner, double width_mm, double spring_mm, double rise_mm) {
  if (!(width_mm > 0) || !(spring_mm >= 0) || !(rise_mm > 0) || !std::isfinite(width_mm + spring_mm + rise_mm))
    return tl::unexpected(malformed("an arch needs a width and a rise",
                                    "a width and a rise above 0, and a spring height of 0 "
                                    "or more",
                                    "measure the straight sides and how far the arc stands above them"));
  if (rise_mm > width_mm / 2 * (1 + 1e-9))
    return tl::unexpected(malformed("the rise of the arch is more than half its width", "a rise up to half the width",
                                    "put more into the spring height: a rise of half the width is a half circle"));
  const double right = corner.x + width_mm, spring = corner.y + spring_mm;
  Outline outline;
  outline.edges.push_back({{right, corner.y}});
  if (spring_mm > 0) outline.edges.push_back({{right, spring}});
  outline.edges.push_back({{corner.x, spring}, 2 * rise_mm / width_mm});
  if (spring_mm > 0) outline.edges.push_back({corner});
  return Region{{outline}};
}

Result<Region> polygon(const std::vector<Point>& points) {
  if (points.size() < 3 || points.size() > kMostPoints)
    return tl::unexpected(malformed("a polygon with " + std::to_string(points.size()) + " points", "3 to 2000 points",
                                    "give every corner once, in order around the shape"));
  for (const Point& p : points)
    if (!std::isfinite(p.x) || !std::isfinite(p.y))
      return tl::unexpected(malformed("a corner of the polygon is not a number", "numbers", "check the corners"));
  Outline outline;
  for (const Point& p : points) outline.edges.push_back({p});
  const std::vector<Segment> sides = segments(outline);
  const std::size_t n = sides.size();
  for (std::size_t i = 0; i < n; ++i) {
    if (sides[i].length() < 1e-6)
      return tl::unexpected(malformed("two corners of the polygon are the same point", "every corner once",
                                      "leave the closing corner out: the last is joined to the first"));
    for (std::size_t j = i + 1; j < n; ++j) {
      const bool next = j == i + 1, wraps = i == 0 && j == n - 1;
      for (const double t : meetings(sides[i], sides[j])) {
        // Neighbours may meet in the corner they share and nowhere else.
        if (next && t * sides[i].length() > sides[i].length() - 1e-5) continue;
        if (wraps && t * sides[i].length() < 1e-5) continue;
        return tl::unexpected(malformed(
            "sides " + std::to_string(i + 1) + " and " + std::to_string(j + 1) + " of the polygon cross or touch",
            "corners in order around the shape", "check the order of the corners"));
      }
    }
  }
  const double area = area_mm2(outline);
  if (std::abs(area) < 1e-6)
    return tl::unexpected(
        malformed("the polygon has no area", "corners that are not in one line", "check the corners"));
  if (area < 0) outline = reversed(outline);
  return Region{{outline}};
}

}  // namespace tackcloth::shape
