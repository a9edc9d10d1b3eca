#include <algorithm>
#include <cmath>
#include <numbers>

#include "shape/arc.h"
#include "shape/shape.h"

namespace tackcloth::shape {

namespace {

constexpr double kBoundaryMm = 1e-6;

// Area between an arc and its chord, signed like its sweep: c²/8 (θ - sin θ) / sin²(θ/2).
double bow_area_mm2(const Segment& s) {
  if (s.straight()) return 0;
  const double chord = distance(s.from, s.to);
  // θ - sin θ loses its digits for a flat arc; its series starts with θ³/6 - θ⁵/120.
  if (std::abs(s.sweep) < 1e-2) return chord * chord * s.sweep / 12 * (1 + s.sweep * s.sweep / 30);
  const double half = std::sin(s.sweep / 2);
  return chord * chord / 8 * (s.sweep - std::sin(s.sweep)) / (half * half);
}

double to_boundary_mm(const Region& region, Point point) {
  double least = std::numeric_limits<double>::infinity();
  for (const Outline& outline : region.outlines)
    for (const Segment& s : segments(outline)) {
      double away = 0;
      s.nearest(point, away);
      least = std::min(least, away);
    }
  return least;
}

}  // namespace

double area_mm2(const Outline& outline) {
  double twice = 0, bows = 0;
  // Taken from the first corner, so that a small shape far from the origin keeps its digits.
  const Point zero = outline.edges.empty() ? Point{} : outline.edges.front().to;
  for (const Segment& s : segments(outline)) {
    twice += (s.from.x - zero.x) * (s.to.y - zero.y) - (s.to.x - zero.x) * (s.from.y - zero.y);
    bows += bow_area_mm2(s);
  }
  return twice / 2 + bows;
}

double area_mm2(const Region& region) {
  double sum = 0;
  for (const Outline& outline : region.outlines) sum += area_mm2(outline);
  return sum;
}

double length_mm(const Outline& outline) {
  double sum = 0;
  for (const Segment& s : segments(outline)) sum += s.length();
  return sum;
}

double length_mm(const Region& region) {
  double sum = 0;
  for (const Outline& outline : region.outlines) sum += length_mm(outline);
  return sum;
}

bool contains(const Region& region, Point point) {
  // Winding number about the chords, put right by the bows the point lies in.
  int winding = 0;
  for (const Outline& outline : region.outlines)
    for (const Segment& s : segments(outline)) {
      const double dx = s.to.x - s.from.x, dy = s.to.y - s.from.y;
      double side = dx * (point.y - s.from.y) - (point.x - s.from.x) * dy;  // > 0: on the left
      if (s.from.y <= point.y && s.to.y > point.y && side > 0) ++winding;
      if (s.from.y > point.y && s.to.y <= point.y && side < 0) --winding;
      // A point on the chord goes to the side the two tests above put it on, or the bow would be lost or count twice.
      if (side == 0) side = dy != 0 ? -dy : dx;
      if (s.straight() || distance(point, s.center) >= s.radius) continue;
      if (s.sweep > 0 && side < 0) ++winding;
      if (s.sweep < 0 && side > 0) --winding;
    }
  return winding != 0;
}

double inner_boundary_mm(const Region& zone, const Region& face) {
  double sum = 0;
  std::vector<Segment> around;
  for (const Outline& outline : face.outlines)
    for (const Segment& s : segments(outline)) around.push_back(s);
  for (const Outline& outline : zone.outlines)
    for (const Segment& s : segments(outline)) {
      std::vector<double> cuts = {0, 1};
      for (const Segment& edge : around)
        for (const double t : meetings(s, edge)) cuts.push_back(std::clamp(t, 0.0, 1.0));
      std::sort(cuts.begin(), cuts.end());
      for (std::size_t i = 1; i < cuts.size(); ++i) {
        const Point middle = s.at((cuts[i - 1] + cuts[i]) / 2);
        const double stretch = (cuts[i] - cuts[i - 1]) * s.length();
        if (stretch > kBoundaryMm && contains(face, middle) && to_boundary_mm(face, middle) > kBoundaryMm)
          sum += stretch;
      }
    }
  return sum;
}

double arc_radius_mm(double chord_mm, double rise_mm) { return chord_mm * chord_mm / (8 * rise_mm) + rise_mm / 2; }

Result<Circle> circle_through(Point a, Point b, Point c) {
  const double bx = b.x - a.x, by = b.y - a.y, cx = c.x - a.x, cy = c.y - a.y;
  const double twice = 2 * (bx * cy - by * cx);
  const double size = std::hypot(bx, by) * std::hypot(cx, cy);
  if (!(std::abs(twice) > 1e-9 * size))
    return tl::unexpected(Problem{"", 0, 0, "the three points lie in one line", "three points on an arc",
                                  "take the middle point where the arc stands furthest from its chord"});
  const double b2 = bx * bx + by * by, c2 = cx * cx + cy * cy;
  const double ux = (cy * b2 - by * c2) / twice, uy = (bx * c2 - cx * b2) / twice;
  return Circle{{a.x + ux, a.y + uy}, std::hypot(ux, uy)};
}

std::vector<Point> flatten(const Outline& outline, double tolerance_mm) {
  std::vector<Point> points;
  for (const Segment& s : segments(outline)) {
    int steps = 1;
    if (!s.straight()) {
      // Sagitta of one step: R (1 - cos(step / 2)) <= tolerance.
      const double step = 2 * std::acos(std::max(0.0, 1 - std::max(tolerance_mm, 1e-6) / s.radius));
      steps = static_cast<int>(std::clamp(std::ceil(std::abs(s.sweep) / step), 2.0, 20000.0));
    }
    for (int k = 1; k <= steps; ++k) points.push_back(s.at(double(k) / steps));
  }
  return points;
}

}  // namespace tackcloth::shape
