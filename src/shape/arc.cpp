#include "shape/arc.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "shape/same.h"

namespace tackcloth::shape {

namespace {

constexpr double kOnMm = 1e-6;      // closer than this is the same place
constexpr double kStraight = 1e-9;  // a bulge below this is a straight edge

// Crossings of the line through `a`'s ends with the circle of `b`.
void line_circle(Point p, Point q, Point center, double radius, std::vector<Point>& out) {
  const double dx = q.x - p.x, dy = q.y - p.y, fx = p.x - center.x, fy = p.y - center.y;
  const double a = dx * dx + dy * dy, b = fx * dx + fy * dy, c = fx * fx + fy * fy - radius * radius;
  if (a == 0) return;
  const double d = b * b - a * c;
  if (d < 0) return;
  for (const double root : {std::sqrt(d), -std::sqrt(d)}) {
    const double t = (-b + root) / a;
    out.push_back({p.x + t * dx, p.y + t * dy});
  }
}

void circle_circle(const Segment& a, const Segment& b, std::vector<Point>& out) {
  const double dx = b.center.x - a.center.x, dy = b.center.y - a.center.y, d = std::hypot(dx, dy);
  if (d < kOnMm) return;
  const double along = (d * d + a.radius * a.radius - b.radius * b.radius) / (2 * d);
  const double rest = a.radius * a.radius - along * along;
  if (rest < 0) return;
  const double half = std::sqrt(rest);
  const Point foot{a.center.x + along * dx / d, a.center.y + along * dy / d};
  out.push_back({foot.x - half * dy / d, foot.y + half * dx / d});
  out.push_back({foot.x + half * dy / d, foot.y - half * dx / d});
}

void line_line(const Segment& a, const Segment& b, std::vector<Point>& out) {
  const double ax = a.to.x - a.from.x, ay = a.to.y - a.from.y, bx = b.to.x - b.from.x, by = b.to.y - b.from.y;
  const double cross = ax * by - ay * bx;
  if (std::abs(cross) < 1e-12 * (1 + std::hypot(ax, ay) * std::hypot(bx, by))) return;
  const double t = ((b.from.x - a.from.x) * by - (b.from.y - a.from.y) * bx) / cross;
  out.push_back({a.from.x + t * ax, a.from.y + t * ay});
}

}  // namespace

double distance(Point a, Point b) { return std::hypot(a.x - b.x, a.y - b.y); }

Segment segment(Point from, Point to, double bulge) {
  Segment s{from, to, bulge, {}, 0, 0, 0};
  const double chord = distance(from, to);
  if (std::abs(bulge) < kStraight || chord == 0) {
    s.bulge = 0;
    return s;
  }
  s.sweep = 4 * std::atan(bulge);
  s.radius = chord * (1 + bulge * bulge) / (4 * std::abs(bulge));
  // The centre lies to the left of travel for a counter-clockwise arc; (1 - b²) / 4b is its signed share of the chord.
  const double share = (1 - bulge * bulge) / (4 * bulge);
  s.center = {(from.x + to.x) / 2 - share * (to.y - from.y), (from.y + to.y) / 2 + share * (to.x - from.x)};
  s.from_angle = std::atan2(from.y - s.center.y, from.x - s.center.x);
  return s;
}

std::vector<Segment> segments(const Outline& outline) {
  std::vector<Segment> all;
  all.reserve(outline.edges.size());
  if (outline.edges.empty()) return all;
  Point from = outline.edges.back().to;
  for (const Edge& edge : outline.edges) {
    all.push_back(segment(from, edge.to, edge.bulge));
    from = edge.to;
  }
  return all;
}

Point Segment::at(double t) const {
  if (t <= 0) return from;
  if (t >= 1) return to;
  if (straight()) return {from.x + t * (to.x - from.x), from.y + t * (to.y - from.y)};
  const double angle = from_angle + t * sweep;
  return {center.x + radius * std::cos(angle), center.y + radius * std::sin(angle)};
}

double Segment::length() const { return straight() ? distance(from, to) : radius * std::abs(sweep); }

double Segment::nearest(Point p, double& distance_mm) const {
  double t = 0;
  if (straight()) {
    const double dx = to.x - from.x, dy = to.y - from.y, square = dx * dx + dy * dy;
    if (square > 0) t = std::clamp(((p.x - from.x) * dx + (p.y - from.y) * dy) / square, 0.0, 1.0);
  } else {
    double angle = std::atan2(p.y - center.y, p.x - center.x) - from_angle;
    if (sweep > 0) {
      angle = std::fmod(std::fmod(angle, kTurn) + kTurn, kTurn);
    } else {
      angle = -std::fmod(std::fmod(-angle, kTurn) + kTurn, kTurn);
    }
    t = angle / sweep;
    if (t > 1) t = distance(p, from) < distance(p, to) ? 0 : 1;
  }
  distance_mm = distance(p, at(t));
  return t;
}

std::vector<double> meetings(const Segment& a, const Segment& b) {
  std::vector<Point> places = {b.from, b.to};
  if (a.straight() && b.straight()) {
    line_line(a, b, places);
  } else if (a.straight()) {
    line_circle(a.from, a.to, b.center, b.radius, places);
  } else if (b.straight()) {
    line_circle(b.from, b.to, a.center, a.radius, places);
  } else {
    circle_circle(a, b, places);
  }
  std::vector<double> found;
  for (const Point& place : places) {
    double from_a = 0, from_b = 0;
    const double t = a.nearest(place, from_a);
    b.nearest(place, from_b);
    if (from_a < kOnMm && from_b < kOnMm) found.push_back(t);
  }
  return found;
}

}  // namespace tackcloth::shape
