#include "picture/quads.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <numeric>

namespace tackcloth::picture {

namespace {

using shape::Point;

double cross(Point o, Point a, Point b) { return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x); }

double area_of(const std::vector<Point>& p) {
  double sum = 0;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const Point a = p[i], b = p[(i + 1) % p.size()];
    sum += a.x * b.y - a.y * b.x;
  }
  return sum / 2;
}

// How fast the picture changes at each pixel, 0 to 255: the largest central difference of any channel, of the picture
// averaged over 3 x 3 against noise.
std::vector<std::uint8_t> steepness(const Image& image) {
  const int w = image.width, h = image.height;
  std::vector<std::uint8_t> smooth(image.rgb.size()), out(image.pixels(), 255);
  for (int y = 1; y + 1 < h; ++y)
    for (int i = 3; i < 3 * (w - 1); ++i) {
      int sum = 0;
      for (int dy = -1; dy <= 1; ++dy) {
        const std::uint8_t* p = &image.rgb[3 * static_cast<std::size_t>(y + dy) * w + i];
        sum += p[-3] + p[0] + p[3];
      }
      smooth[3 * static_cast<std::size_t>(y) * w + i] = static_cast<std::uint8_t>((sum + 4) / 9);
    }
  const std::ptrdiff_t row = 3 * static_cast<std::ptrdiff_t>(w);
  for (int y = 2; y + 2 < h; ++y)
    for (int x = 2; x + 2 < w; ++x) {
      int most = 0;
      const std::uint8_t* p = &smooth[3 * (static_cast<std::size_t>(y) * w + x)];
      for (int c = 0; c < 3; ++c)
        most = std::max({most, std::abs(p[c + 3] - p[c - 3]), std::abs(p[c + row] - p[c - row])});
      out[static_cast<std::size_t>(y) * w + x] = static_cast<std::uint8_t>(most);
    }
  return out;
}

struct Run {
  int y, x0, x1;  // pixels x0 .. x1 - 1
  int parent;
};

int root(std::vector<Run>& runs, int i) {
  while (runs[static_cast<std::size_t>(i)].parent != i) {
    auto& up = runs[static_cast<std::size_t>(i)].parent;
    up = runs[static_cast<std::size_t>(up)].parent;
    i = up;
  }
  return i;
}

// Flat pixels joined side by side: runs along rows, each with the number of its region.
std::vector<Run> flat_runs(const std::vector<std::uint8_t>& steep, int w, int h, int step) {
  std::vector<Run> runs;
  std::size_t above = 0;
  for (int y = 0; y < h; ++y) {
    const std::size_t begin = runs.size();
    const std::uint8_t* p = &steep[static_cast<std::size_t>(y) * w];
    for (int x = 0; x < w;) {
      if (p[x] > step) {
        ++x;
        continue;
      }
      const int x0 = x;
      while (x < w && p[x] <= step) ++x;
      const int own = static_cast<int>(runs.size());
      runs.push_back({y, x0, x, own});
    }
    std::size_t a = above;
    for (std::size_t n = begin; n < runs.size(); ++n) {
      while (a < begin && runs[a].x1 <= runs[n].x0) ++a;
      for (std::size_t b = a; b < begin && runs[b].x0 < runs[n].x1; ++b) {
        const int p0 = root(runs, static_cast<int>(b)), p1 = root(runs, static_cast<int>(n));
        runs[static_cast<std::size_t>(std::max(p0, p1))].parent = std::min(p0, p1);
      }
    }
    above = begin;
  }
  return runs;
}

// Convex hull, clockwise as seen (y down), by Andrew's monotone chain (1979).
std::vector<Point> hull_of(std::vector<Point> p) {
  std::sort(p.begin(), p.end(), [](Point a, Point b) { return a.x < b.x || (a.x == b.x && a.y < b.y); });
  std::vector<Point> hull(2 * p.size());
  std::size_t n = 0;
  for (std::size_t i = 0; i < p.size(); ++i) {
    while (n >= 2 && cross(hull[n - 2], hull[n - 1], p[i]) <= 0) --n;
    hull[n++] = p[i];
  }
  const std::size_t lower = n + 1;
  for (std::size_t i = p.size() - 1; i-- > 0;) {
    while (n >= lower && cross(hull[n - 2], hull[n - 1], p[i]) <= 0) --n;
    hull[n++] = p[i];
  }
  hull.resize(n > 0 ? n - 1 : 0);
  return hull;
}

// Sides are taken away, always the one whose neighbours, drawn on until they meet, add the least area, until four are
// left.
bool four_sides(std::vector<Point>& p) {
  while (p.size() > 4) {
    double least = 1e300;
    std::size_t at = p.size();
    Point meets;
    for (std::size_t i = 0; i < p.size(); ++i) {
      const Point a = p[(i + p.size() - 1) % p.size()], b = p[i], c = p[(i + 1) % p.size()], d = p[(i + 2) % p.size()];
      const double ux = b.x - a.x, uy = b.y - a.y, vx = c.x - d.x, vy = c.y - d.y;
      const double det = vx * uy - ux * vy;
      if (std::abs(det) < 1e-9) continue;
      const double t = (vx * (c.y - b.y) - vy * (c.x - b.x)) / det;
      const double s = (ux * (c.y - b.y) - uy * (c.x - b.x)) / det;
      if (t <= 0 || s <= 0) continue;
      const Point m{b.x + t * ux, b.y + t * uy};
      const double more = std::abs(cross(b, m, c)) / 2;
      if (more < least) {
        least = more;
        at = i;
        meets = m;
      }
    }
    if (at == p.size()) return false;
    p[at] = meets;
    p.erase(p.begin() + static_cast<std::ptrdiff_t>((at + 1) % p.size()));
  }
  return p.size() == 4;
}

// The edge itself is not flat: a region ends about a pixel and a half inside of what is seen.
constexpr double kEdge = 1.5;

std::array<Point, 4> moved_out(const std::vector<Point>& p, double by) {
  std::array<Point, 4> out;
  for (std::size_t i = 0; i < 4; ++i) {
    const Point a = p[(i + 3) % 4], b = p[i], c = p[(i + 1) % 4];
    const double la = std::hypot(b.x - a.x, b.y - a.y), lc = std::hypot(b.x - c.x, b.y - c.y);
    const Point u{(b.x - a.x) / la, (b.y - a.y) / la}, v{(b.x - c.x) / lc, (b.y - c.y) / lc};
    const double sine = std::max(0.3, std::abs(u.x * v.y - u.y * v.x));
    out[i] = {b.x + by * (u.x + v.x) / sine, b.y + by * (u.y + v.y) / sine};
  }
  return out;
}

bool well_shaped(const std::vector<Point>& p) {
  double shortest = 1e300, longest = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    const Point a = p[i], b = p[(i + 1) % 4], c = p[(i + 2) % 4];
    const double l = std::hypot(b.x - a.x, b.y - a.y), m = std::hypot(c.x - b.x, c.y - b.y);
    shortest = std::min(shortest, l);
    longest = std::max(longest, l);
    if (cross(a, b, c) < 0.4 * l * m) return false;  // an angle below about 24 degrees or above 156
  }
  return shortest >= 3 && longest < 5 * shortest;
}

}  // namespace

std::vector<Quad> flat_quads(const Image& image, double least_filled) {
  const int w = image.width, h = image.height;
  std::vector<Quad> out;
  if (w < 16 || h < 16) return out;
  const auto steep = steepness(image);
  for (const int step : {4, 7, 12, 20, 32}) {
    auto runs = flat_runs(steep, w, h, step);
    std::vector<std::pair<int, int>> order(runs.size());  // region, run
    for (std::size_t i = 0; i < runs.size(); ++i) order[i] = {root(runs, static_cast<int>(i)), static_cast<int>(i)};
    std::sort(order.begin(), order.end());
    for (std::size_t from = 0, to; from < order.size(); from = to) {
      to = from;
      double pixels = 0, sx = 0, sy = 0;
      bool at_border = false;
      std::vector<Point> ends;
      for (; to < order.size() && order[to].first == order[from].first; ++to) {
        const Run& r = runs[static_cast<std::size_t>(order[to].second)];
        const double n = r.x1 - r.x0;
        pixels += n;
        sx += n * (r.x0 + r.x1) / 2;
        sy += n * (r.y + 0.5);
        at_border = at_border || r.y <= 2 || r.y + 3 >= h || r.x0 <= 2 || r.x1 + 2 >= w;
        for (const int x : {r.x0, r.x1})
          for (const int y : {r.y, r.y + 1}) ends.push_back({static_cast<double>(x), static_cast<double>(y)});
      }
      if (pixels < 12 || at_border) continue;
      auto outline = hull_of(std::move(ends));
      if (pixels < least_filled * area_of(outline) || !four_sides(outline) || !well_shaped(outline)) continue;
      const double flat_area = area_of(outline);
      if (pixels < least_filled * flat_area) continue;
      Quad quad;
      quad.corners = moved_out(outline, kEdge);
      quad.area = area_of({quad.corners.begin(), quad.corners.end()});
      quad.filled = pixels / flat_area;
      quad.middle = {sx / pixels, sy / pixels};
      out.push_back(quad);
    }
  }
  // The same place at several steps: the one that is best filled.
  std::sort(out.begin(), out.end(), [](const Quad& a, const Quad& b) {
    return a.filled * std::min(a.area, 400.0) > b.filled * std::min(b.area, 400.0);
  });
  std::vector<Quad> once;
  for (const auto& q : out)
    if (std::none_of(once.begin(), once.end(), [&](const Quad& k) {
          return std::hypot(q.middle.x - k.middle.x, q.middle.y - k.middle.y) < 0.3 * std::sqrt(k.area) &&
                 q.area < 3 * k.area && k.area < 3 * q.area;
        }))
      once.push_back(q);
  return once;
}

}  // namespace tackcloth::picture
