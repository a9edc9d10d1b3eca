#include <cmath>
#include <cstdint>
#include <map>
#include <optional>
#include <polyclipping/clipper.hpp>

#include "shape/arc.h"
#include "shape/shape.h"
#include "shape/simple.h"

namespace tackcloth::shape {

namespace {

namespace cl = ClipperLib;

constexpr double kScale = 1e5;  // Clipper works on whole numbers: steps of 10 nm

using Key = std::pair<cl::cInt, cl::cInt>;

struct Label {
  int arc;
  int index;
};

struct Tag {
  int arc = -1;
  int direction = 0;
  bool operator==(const Tag&) const = default;
};

// Flattens arcs for Clipper and remembers which point came from which arc, so that what was not cut comes back exact.
class Flat {
 public:
  explicit Flat(double tolerance_mm) : tolerance_(tolerance_mm) {}

  cl::Paths add(const Region& region) {
    cl::Paths paths;
    for (const Outline& outline : region.outlines) {
      cl::Path path;
      for (const Segment& s : segments(outline)) {
        if (s.straight()) {
          path.push_back(keep(s.to));
          continue;
        }
        const std::vector<Point> points = flatten({{{s.from, 0}, {s.to, s.bulge}}}, tolerance_);
        const int arc = static_cast<int>(arcs_.size());
        arcs_.push_back({s.sweep, static_cast<int>(points.size()) - 1});
        labels_[key(keep(s.from))].push_back({arc, 0});
        // points[0] is the straight way back to `from`.
        for (std::size_t k = 1; k < points.size(); ++k) {
          path.push_back(keep(points[k]));
          labels_[key(path.back())].push_back({arc, static_cast<int>(k)});
        }
      }
      paths.push_back(std::move(path));
    }
    return paths;
  }

  Region restore(const cl::Paths& paths) const {
    Region region;
    for (const cl::Path& path : paths)
      if (path.size() >= 2) region.outlines.push_back(restore(path));
    return region;
  }

 private:
  struct Arc {
    double sweep;
    int steps;
  };

  static Key key(const cl::IntPoint& p) { return {p.X, p.Y}; }

  cl::IntPoint keep(Point p) {
    const cl::IntPoint rounded(std::llround(p.x * kScale), std::llround(p.y * kScale));
    exact_.emplace(key(rounded), p);
    return rounded;
  }

  Point exact(const cl::IntPoint& p) const {
    const auto found = exact_.find(key(p));
    if (found != exact_.end()) return found->second;
    return {static_cast<double>(p.X) / kScale, static_cast<double>(p.Y) / kScale};
  }

  Tag tag(const cl::IntPoint& from, const cl::IntPoint& to) const {
    const auto a = labels_.find(key(from)), b = labels_.find(key(to));
    if (a == labels_.end() || b == labels_.end()) return {};
    for (const Label& first : a->second)
      for (const Label& second : b->second)
        if (first.arc == second.arc && std::abs(first.index - second.index) == 1)
          return {first.arc, second.index - first.index};
    return {};
  }

  Outline restore(const cl::Path& path) const {
    const std::size_t n = path.size();
    std::vector<Tag> tags(n);  // of the side that ends in point i
    for (std::size_t i = 0; i < n; ++i) tags[i] = tag(path[(i + n - 1) % n], path[i]);
    std::size_t first = 0;  // a side where a new run starts
    while (first < n && tags[first].arc >= 0 && tags[first] == tags[(first + n - 1) % n]) ++first;
    if (first == n) first = 0;
    Outline outline;
    for (std::size_t done = 0; done < n;) {
      const Tag run = tags[(first + done) % n];
      std::size_t length = 1;
      if (run.arc >= 0)
        while (done + length < n && tags[(first + done + length) % n] == run) ++length;
      const Point to = exact(path[(first + done + length - 1) % n]);
      double bulge = 0;
      if (run.arc >= 0) {
        const Arc& arc = arcs_[static_cast<std::size_t>(run.arc)];
        bulge = std::tan(arc.sweep * run.direction * static_cast<double>(length) / arc.steps / 4);
      }
      outline.edges.push_back({to, bulge});
      done += length;
    }
    return outline;
  }

  double tolerance_;
  std::vector<Arc> arcs_;
  std::map<Key, std::vector<Label>> labels_;
  std::map<Key, Point> exact_;
};

Region operate(cl::ClipType type, const Region& a, const Region& b, double tolerance_mm) {
  Flat flat(tolerance_mm);
  cl::Clipper clipper;
  clipper.AddPaths(flat.add(a), cl::ptSubject, true);
  clipper.AddPaths(flat.add(b), cl::ptClip, true);
  cl::Paths solution;
  clipper.Execute(type, solution, cl::pftNonZero, cl::pftNonZero);
  return flat.restore(solution);
}

// A region that is one full circle and nothing else.
std::optional<Circle> only_circle(const Region& region) {
  if (region.outlines.size() != 1 || region.outlines[0].edges.size() != 2) return std::nullopt;
  const std::vector<Segment> halves = segments(region.outlines[0]);
  if (halves[0].straight() || halves[1].straight() || distance(halves[0].center, halves[1].center) > 1e-9 ||
      !(halves[0].sweep > 0 && halves[1].sweep > 0))
    return std::nullopt;
  return Circle{halves[0].center, halves[0].radius};
}

}  // namespace

Region intersect(const Region& a, const Region& b, double tolerance_mm) {
  return operate(cl::ctIntersection, a, b, tolerance_mm);
}

Region unite(const Region& a, const Region& b, double tolerance_mm) { return operate(cl::ctUnion, a, b, tolerance_mm); }

Region subtract(const Region& a, const Region& b, double tolerance_mm) {
  return operate(cl::ctDifference, a, b, tolerance_mm);
}

Region offset(const Region& region, double by_mm, double tolerance_mm) {
  if (const auto round = only_circle(region))
    return round->radius_mm + by_mm > 0 ? circle(round->center, round->radius_mm + by_mm) : Region{};
  // Mitred: square corners stay square; a corner sharper than 60 degrees is cut off at twice the offset.
  Flat flat(tolerance_mm);
  cl::ClipperOffset offsetter(2.0, tolerance_mm * kScale);
  offsetter.AddPaths(flat.add(region), cl::jtMiter, cl::etClosedPolygon);
  cl::Paths solution;
  offsetter.Execute(solution, by_mm * kScale);
  Region flattened = flat.restore(solution);
  // The sides moved one by one keep their arcs; taken when they enclose what Clipper's flattened offset encloses.
  if (auto exact = moved_sides(region, by_mm); exact && exact->outlines.size() == flattened.outlines.size() &&
                                               std::abs(area_mm2(*exact) - area_mm2(flattened)) <
                                                   2 * tolerance_mm * (1 + length_mm(flattened) + length_mm(region)))
    return *exact;
  return flattened;
}

}  // namespace tackcloth::shape
