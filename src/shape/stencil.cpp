#include "shape/stencil.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace tackcloth::shape {
namespace {

constexpr double kFlat = 0.01;     // mm
constexpr double kApart = 3;       // mm between the places of a hole's edge that are tried
constexpr std::size_t kWays = 16;  // directions that are tried from each place
constexpr double kAside =
    0.05;  // cosine of the angle, seen from the hole's middle, from which a bridge is on another side

struct Bridge {
  Point from, to;
  double length = 0;
};

std::vector<Point> places_on(const std::vector<Point>& ring) {
  std::vector<Point> places;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Point a = ring[i], b = ring[(i + 1) % ring.size()];
    const int n = std::max(1, static_cast<int>(std::hypot(b.x - a.x, b.y - a.y) / kApart));
    for (int k = 0; k < n; ++k) places.push_back({a.x + (b.x - a.x) * k / n, a.y + (b.y - a.y) * k / n});
  }
  return places;
}

Point nearest(Point p, Point a, Point b) {
  const double dx = b.x - a.x, dy = b.y - a.y, square = dx * dx + dy * dy;
  const double t = square > 0 ? std::clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / square, 0.0, 1.0) : 0;
  return {a.x + t * dx, a.y + t * dy};
}

// All ways from this ring to another, shortest first; of equals the one nearest its middle, away from corners.
std::vector<Bridge> ways(const std::vector<std::vector<Point>>& rings, std::size_t ring, Point middle) {
  std::vector<Bridge> found;
  for (const Point p : places_on(rings[ring])) {
    std::array<Bridge, kWays> best;  // the shortest in each direction
    for (std::size_t other = 0; other < rings.size(); ++other) {
      if (other == ring) continue;
      for (std::size_t i = 0; i < rings[other].size(); ++i) {
        const Point q = nearest(p, rings[other][i], rings[other][(i + 1) % rings[other].size()]);
        const double length = std::hypot(q.x - p.x, q.y - p.y);
        if (!(length > 0)) continue;
        const double turn = std::atan2(q.y - p.y, q.x - p.x) / (2 * std::numbers::pi) + 1;
        Bridge& way = best[static_cast<std::size_t>(std::lround(turn * kWays)) % kWays];
        if (way.length == 0 || length < way.length) way = {p, q, length};
      }
    }
    for (const Bridge& way : best)
      if (way.length > 0) found.push_back(way);
  }
  const auto key = [&](const Bridge& b) {
    return std::pair{std::llround(b.length / kFlat), std::hypot(b.from.x - middle.x, b.from.y - middle.y)};
  };
  std::stable_sort(found.begin(), found.end(), [&](const Bridge& a, const Bridge& b) { return key(a) < key(b); });
  return found;
}

// Over what is cut out all the way, neither through the part it holds nor over another.
bool spans(const Region& region, const Bridge& bridge) {
  constexpr int kLooks = 8;
  for (int k = 0; k < kLooks; ++k) {
    const double t = (k + 0.5) / kLooks;
    if (!contains(region, {bridge.from.x + (bridge.to.x - bridge.from.x) * t,
                           bridge.from.y + (bridge.to.y - bridge.from.y) * t}))
      return false;
  }
  return true;
}

Region strip(const Bridge& bridge, double width) {
  const double ux = (bridge.to.x - bridge.from.x) / bridge.length, uy = (bridge.to.y - bridge.from.y) / bridge.length;
  const double w = width / 2;  // also how far it runs into what it holds and what holds it
  const Point a{bridge.from.x - ux * w, bridge.from.y - uy * w}, b{bridge.to.x + ux * w, bridge.to.y + uy * w};
  Outline outline;
  for (const Point& p : {Point{a.x + uy * w, a.y - ux * w}, Point{b.x + uy * w, b.y - ux * w},
                         Point{b.x - uy * w, b.y + ux * w}, Point{a.x - uy * w, a.y + ux * w}})
    outline.edges.push_back({p, 0});
  return {{outline}};
}

}  // namespace

Result<Stencil> stencil(const Region& region, double bridge_mm) {
  if (!(bridge_mm >= kLeastBridgeMm && bridge_mm <= 200))
    return tl::unexpected(Problem{"", 0, 0, "bridges of this width cannot be cut", "from 1 to 200 mm", "give 4 mm"});
  Stencil made{region, 0};
  std::vector<std::vector<Point>> rings;
  for (const Outline& outline : region.outlines) rings.push_back(flatten(outline, kFlat));
  for (std::size_t k = 0; k < rings.size(); ++k) {
    if (area_mm2(region.outlines[k]) >= 0) continue;
    Point middle;
    for (const Point& p : rings[k])
      middle = {middle.x + p.x / static_cast<double>(rings[k].size()),
                middle.y + p.y / static_cast<double>(rings[k].size())};
    const std::vector<Bridge> found = ways(rings, k, middle);
    const auto shortest = std::find_if(found.begin(), found.end(), [&](const Bridge& b) { return spans(region, b); });
    if (shortest == found.end()) continue;
    const Bridge& first = *shortest;
    // The second on the other side, and short before it is opposite.
    const auto cosine = [&](const Bridge& other) {
      const Point a{first.to.x - middle.x, first.to.y - middle.y}, b{other.to.x - middle.x, other.to.y - middle.y};
      return (a.x * b.x + a.y * b.y) / std::max(kFlat, std::hypot(a.x, a.y) * std::hypot(b.x, b.y));
    };
    auto opposite = found.end();
    for (auto at = found.begin(); at != found.end(); ++at) {
      if (opposite != found.end() && at->length > opposite->length + kFlat) break;
      if (cosine(*at) > kAside || !spans(region, *at)) continue;
      if (opposite == found.end() || std::lround(2 * cosine(*at)) < std::lround(2 * cosine(*opposite))) opposite = at;
    }
    made.cut = subtract(made.cut, strip(first, bridge_mm), kFlat);
    ++made.bridges;
    if (opposite == found.end()) continue;
    made.cut = subtract(made.cut, strip(*opposite, bridge_mm), kFlat);
    ++made.bridges;
  }
  for (const Outline& outline : made.cut.outlines)
    if (area_mm2(outline) < 0)
      return tl::unexpected(Problem{"", 0, 0, "a part of the stencil would fall out",
                                    "bridges that reach what is around",
                                    "give wider bridges, or draw the zone in two"});
  return made;
}

}  // namespace tackcloth::shape
