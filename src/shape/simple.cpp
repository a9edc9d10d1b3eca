#include "shape/simple.h"

#include <cmath>
#include <numbers>

#include "shape/arc.h"
#include "shape/same.h"

namespace tackcloth::shape {

namespace {

Problem cross(std::size_t i, std::size_t j) {
  return {"",
          0,
          0,
          "sides " + std::to_string(i + 1) + " and " + std::to_string(j + 1) + " of the outline cross or touch",
          "corners in order around the shape",
          "check the order of the corners and the rise of their arcs"};
}

// A side moved to the right of travel, and what it was moved from.
struct Moved {
  Segment old;
  Point from, to;     // moved ends, before joining
  double radius = 0;  // arcs
};

std::optional<Moved> move(const Segment& s, double by) {
  if (s.straight()) {
    const double dx = s.to.x - s.from.x, dy = s.to.y - s.from.y, length = std::hypot(dx, dy);
    if (!(length > 0)) return std::nullopt;
    const Point shift{dy / length * by, -dx / length * by};
    return Moved{s, {s.from.x + shift.x, s.from.y + shift.y}, {s.to.x + shift.x, s.to.y + shift.y}};
  }
  // To the right of travel is away from the centre for a counter-clockwise arc.
  const double radius = s.radius + (s.sweep > 0 ? by : -by);
  if (!(radius > kSame)) return std::nullopt;
  const auto scaled = [&](Point p) {
    return Point{s.center.x + (p.x - s.center.x) * radius / s.radius,
                 s.center.y + (p.y - s.center.y) * radius / s.radius};
  };
  return Moved{s, scaled(s.from), scaled(s.to), radius};
}

// A long stretch of the line, or the whole circle in two halves, that a moved side lies on.
std::vector<Segment> carrier(const Moved& m) {
  if (m.radius > 0) {
    const Point right{m.old.center.x + m.radius, m.old.center.y}, left{m.old.center.x - m.radius, m.old.center.y};
    return {segment(right, left, 1), segment(left, right, 1)};
  }
  const double length = distance(m.from, m.to), reach = 1e4 + 10 * length;
  const double dx = (m.to.x - m.from.x) / length * reach, dy = (m.to.y - m.from.y) / length * reach;
  return {segment({m.from.x - dx, m.from.y - dy}, {m.to.x + dx, m.to.y + dy}, 0)};
}

// Where the moved sides meet, nearest to the corner they came from.
std::optional<Point> join(const Moved& a, const Moved& b) {
  if (distance(a.to, b.from) < kSame) return a.to;
  std::optional<Point> best;
  for (const Segment& x : carrier(a))
    for (const Segment& y : carrier(b)) {
      if (x.straight() && y.straight()) {
        const double ax = x.to.x - x.from.x, ay = x.to.y - x.from.y, bx = y.to.x - y.from.x, by = y.to.y - y.from.y;
        const double across = ax * by - ay * bx;
        if (std::abs(across) < 1e-9 * std::hypot(ax, ay) * std::hypot(bx, by)) continue;
        // From the moved end, so that a short side keeps its digits.
        const double t = ((b.from.x - a.to.x) * by - (b.from.y - a.to.y) * bx) / across;
        return Point{a.to.x + t * ax, a.to.y + t * ay};
      }
      for (const double t : meetings(x, y)) {
        const Point p = x.at(t);
        if (!best || distance(p, a.old.to) < distance(*best, a.old.to)) best = p;
      }
    }
  return best;
}

std::optional<Outline> moved_sides(const Outline& outline, double by) {
  std::vector<Moved> sides;
  for (const Segment& s : segments(outline)) {
    auto moved = move(s, by);
    if (!moved && s.straight()) return std::nullopt;
    if (moved) sides.push_back(*moved);  // a corner's arc smaller than the move is gone
  }
  const std::size_t n = sides.size();
  if (n < 2) return std::nullopt;
  std::vector<Point> ends(n);  // of side i
  for (std::size_t i = 0; i < n; ++i) {
    const auto met = join(sides[i], sides[(i + 1) % n]);
    if (!met) return std::nullopt;
    ends[i] = *met;
  }
  Outline result;
  for (std::size_t i = 0; i < n; ++i) {
    const Moved& side = sides[i];
    const Point from = ends[(i + n - 1) % n], to = ends[i];
    if (side.radius == 0) {
      const double along = (to.x - from.x) * (side.to.x - side.from.x) + (to.y - from.y) * (side.to.y - side.from.y);
      if (!(along > 0)) return std::nullopt;  // turned round: the side has vanished
      result.edges.push_back({to});
      continue;
    }
    const auto angle = [&](Point p) { return std::atan2(p.y - side.old.center.y, p.x - side.old.center.x); };
    double sweep = std::fmod(angle(to) - angle(from) + 2 * kTurn, kTurn);
    if (side.old.sweep < 0) sweep -= kTurn;
    if (std::abs(sweep - side.old.sweep) > std::numbers::pi) return std::nullopt;
    result.edges.push_back({to, std::tan(sweep / 4)});
  }
  return result;
}

}  // namespace

Outline reversed(const Outline& outline) {
  Outline back;
  const std::size_t n = outline.edges.size();
  // Side i runs from corner i - 1 to corner i; walked backwards it ends in corner i - 1.
  for (std::size_t i = n; i-- > 0;) back.edges.push_back({outline.edges[(i + n - 1) % n].to, -outline.edges[i].bulge});
  return back;
}

Result<bool> simple(const Outline& outline) {
  const std::vector<Segment> sides = segments(outline);
  const std::size_t n = sides.size();
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = i + 1; j < n; ++j)
      for (const double t : meetings(sides[i], sides[j])) {
        const Point p = sides[i].at(t);
        if (j == i + 1 && distance(p, sides[i].to) < 1e-5) continue;
        if (i == 0 && j == n - 1 && distance(p, sides[i].from) < 1e-5) continue;
        return tl::unexpected(cross(i, j));
      }
  return true;
}

std::optional<Region> moved_sides(const Region& region, double by_mm) {
  Region all;
  for (const Outline& outline : region.outlines) {
    auto moved = moved_sides(outline, by_mm);
    if (!moved || !simple(*moved)) return std::nullopt;
    all.outlines.push_back(std::move(*moved));
  }
  return all;
}

}  // namespace tackcloth::shape
