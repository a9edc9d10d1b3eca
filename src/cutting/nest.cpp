#include "cutting/nest.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <optional>
#include <polyclipping/clipper.hpp>
#include <random>
#include <tuple>

#include "shape/draw.h"

namespace tackcloth::cutting {
namespace {

namespace cl = ClipperLib;

constexpr double kScale = 10000;   // steps of 0.1 um
constexpr double kFlatMm = 0.004;  // arcs: with what a part may stand over an edge, less than the checker lets pass
// Where a part is not convex its arcs are straightened further before two such parts are kept apart: the sum of two
// outlines has as many pieces as the product of their corners.
constexpr double kRoughMm = 0.1;
// In steps: beside the gap, what rounding to whole numbers can cost; more where an arc was flattened.
constexpr double kClearance = 1, kArcClearance = kFlatMm * kScale, kRoughClearance = kRoughMm * kScale;
// Steps that a part may stand over the edge of its sheet, so that several fit exactly in spite of their clearance.
constexpr double kOverEdge = 50;

cl::Path path_of(const shape::Outline& outline, double flat_mm) {
  cl::Path path;
  for (const shape::Point& p : shape::flatten(outline, flat_mm))
    path.emplace_back(std::llround(p.x * kScale), std::llround(p.y * kScale));
  return path;
}

cl::Paths paths_of(const shape::Region& region, double flat_mm = kFlatMm) {
  cl::Paths paths;
  for (const shape::Outline& outline : region.outlines) paths.push_back(path_of(outline, flat_mm));
  cl::SimplifyPolygons(paths, cl::pftNonZero);
  return paths;
}

cl::Paths turned(const cl::Paths& paths, int quarters) {
  cl::Paths out = paths;
  for (cl::Path& path : out)
    for (cl::IntPoint& p : path)
      for (int k = 0; k < quarters; ++k) p = cl::IntPoint(-p.Y, p.X);
  return out;
}

cl::Paths moved(const cl::Paths& paths, const cl::IntPoint& by) {
  cl::Paths out = paths;
  for (cl::Path& path : out)
    for (cl::IntPoint& p : path) p = cl::IntPoint(p.X + by.X, p.Y + by.Y);
  return out;
}

cl::Paths grown(const cl::Paths& paths, double by) {
  cl::ClipperOffset offset(4.0);
  offset.AddPaths(paths, cl::jtMiter, cl::etClosedPolygon);
  cl::Paths out;
  offset.Execute(out, by);
  return out;
}

bool curved(const shape::Region& region) {
  for (const shape::Outline& outline : region.outlines)
    for (const shape::Edge& edge : outline.edges)
      if (edge.bulge != 0) return true;
  return false;
}

struct Extent {
  cl::cInt left = 0, bottom = 0, right = 0, top = 0;
};
Extent extent_of(const cl::Paths& paths) {
  Extent e{paths[0][0].X, paths[0][0].Y, paths[0][0].X, paths[0][0].Y};
  for (const cl::Path& path : paths)
    for (const cl::IntPoint& p : path)
      e = {std::min(e.left, p.X), std::min(e.bottom, p.Y), std::max(e.right, p.X), std::max(e.top, p.Y)};
  return e;
}

bool convex(const cl::Path& path) {
  const std::size_t n = path.size();
  for (std::size_t i = 0; i < n; ++i) {
    const cl::IntPoint &a = path[i], &b = path[(i + 1) % n], &c = path[(i + 2) % n];
    if ((b.X - a.X) * (c.Y - b.Y) - (b.Y - a.Y) * (c.X - b.X) < 0) return false;
  }
  return n > 2;
}

// The sum of two convex outlines: their edges in the order of their directions (de Berg et al., Computational
// Geometry, 3rd ed., 13.3).
cl::Path convex_sum(cl::Path a, cl::Path b) {
  for (cl::Path* path : {&a, &b})
    std::rotate(path->begin(),
                std::min_element(path->begin(), path->end(),
                                 [](const auto& p, const auto& q) { return std::tie(p.Y, p.X) < std::tie(q.Y, q.X); }),
                path->end());
  cl::Path sum;
  std::size_t i = 0, j = 0;
  while (i < a.size() || j < b.size()) {
    const cl::IntPoint &p = a[i % a.size()], &q = b[j % b.size()];
    sum.emplace_back(p.X + q.X, p.Y + q.Y);
    const cl::IntPoint &pn = a[(i + 1) % a.size()], &qn = b[(j + 1) % b.size()];
    const cl::cInt turn = (pn.X - p.X) * (qn.Y - q.Y) - (pn.Y - p.Y) * (qn.X - q.X);
    const bool first = j >= b.size() || (i < a.size() && turn >= 0),
               second = i >= a.size() || (j < b.size() && turn <= 0);
    i += first;
    j += second;
  }
  return sum;
}

// Where the corner of a part may not be for it to keep clear of `fixed`: the Minkowski sum of `fixed` and the part's
// outline turned about the origin. The sum of two regions is that of their edges and a copy of either at a point of
// each edge of the other.
cl::Paths forbidden(const cl::Paths& fixed, const cl::Path& part) {
  cl::Path against = part;
  for (cl::IntPoint& p : against) p = cl::IntPoint(-p.X, -p.Y);
  if (fixed.size() == 1 && convex(fixed[0]) && convex(against)) return {convex_sum(fixed[0], against)};
  cl::Clipper clipper;
  for (const cl::Path& edge : fixed) {
    cl::Paths swept;
    cl::MinkowskiSum(against, edge, swept, true);
    clipper.AddPaths(swept, cl::ptSubject, true);
    clipper.AddPaths(moved({against}, edge[0]), cl::ptSubject, true);
  }
  clipper.AddPaths(moved(fixed, against[0]), cl::ptSubject, true);
  cl::Paths out;
  clipper.Execute(cl::ctUnion, out, cl::pftNonZero, cl::pftNonZero);
  return out;
}

double area_of(cl::ClipType what, const cl::Paths& a, const cl::Paths& b) {
  cl::Clipper clipper;
  clipper.AddPaths(a, cl::ptSubject, true);
  clipper.AddPaths(b, cl::ptClip, true);
  cl::Paths out;
  clipper.Execute(what, out, cl::pftNonZero, cl::pftNonZero);
  double area = 0;
  for (const cl::Path& path : out) area += cl::Area(path);
  return area;
}

struct Kind {
  cl::Paths fixed;        // the part with its holes, grown
  cl::Paths plain;        // as it is
  cl::Paths core;         // grown a little less
  cl::Path outline;       // its outer line, grown
  cl::Path against_edge;  // the same with the clearance of a straight part: a curved one may be as wide as the roll
  Extent extent;          // of `against_edge`
};

cl::Path outer(const cl::Paths& paths) {
  return *std::max_element(paths.begin(), paths.end(),
                           [](const cl::Path& a, const cl::Path& b) { return cl::Area(a) < cl::Area(b); });
}

struct Item {
  int shape = 0, copy = 0;
};

struct Lay {
  std::vector<NestPlace> places;
  std::vector<std::pair<int, int>> left_over;
  double area_left = 0;
  cl::cInt roll = 0;
  double tops = 0;
  bool operator<=(const Lay& other) const {
    return std::tie(area_left, roll, tops) <= std::tie(other.area_left, other.roll, other.tops);
  }
};

class Nester {
 public:
  Nester(const std::vector<Shape>& shapes, const Stock& stock, const Options& options)
      : shapes_(shapes), stock_(stock), options_(options), random_(options.seed) {
    started_ = options.now_seconds ? options.now_seconds() : 0;
    const double half = stock.gap_mm * kScale / 2;
    cl::cInt longest = 0;
    for (std::size_t s = 0; s < shapes.size(); ++s) {
      const cl::Paths paths = paths_of(shapes[s].region);
      areas_.push_back(shape::area_mm2(shapes[s].region));
      const bool round = curved(shapes[s].region);
      const bool rough = round && (paths.size() > 1 || !convex(paths[0]));
      const cl::Paths apart = rough ? paths_of(shapes[s].region, kRoughMm) : paths;
      const double clearance = rough ? kRoughClearance : round ? kArcClearance : kClearance;
      for (int q = 0; q < 4; ++q) {
        Kind kind;
        kind.plain = turned(paths, q);
        kind.fixed = grown(turned(apart, q), half + clearance);
        kind.core = grown(kind.plain, half - 3);
        kind.outline = outer(kind.fixed);
        kind.against_edge = outer(grown(kind.plain, half + kClearance));
        kind.extent = extent_of({kind.against_edge});
        kinds_.push_back(std::move(kind));
      }
      const Extent& e = kinds_[s * 4].extent;
      longest += std::max(e.right - e.left, e.top - e.bottom) * shapes[s].quantity;
      for (int copy = 0; copy < shapes[s].quantity; ++copy) items_.push_back({static_cast<int>(s), copy});
    }
    // The gap a part has grown by is its sheet's too.
    for (const Remnant& remnant : stock.remnants) {
      edges_.push_back(grown(paths_of(remnant.region), kOverEdge));
      sheets_.push_back(grown(edges_.back(), half));
    }
    if (stock.roll_width_mm > 0) {
      const cl::cInt width = std::llround(stock.roll_width_mm * kScale), length = longest + 1000;
      edges_.push_back(grown({{{0, 0}, {width, 0}, {width, length}, {0, length}}}, kOverEdge));
      sheets_.push_back(grown(edges_.back(), half));
    }
  }

  Nested run(const std::function<void(const Nested&)>& better) {
    std::vector<int> order(items_.size());
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return area(a) > area(b); });
    Lay best = lay(order);
    if (better) better(nested(best));
    while (!over()) {
      std::vector<int> next = order;
      std::swap(next[random_() % next.size()], next[random_() % next.size()]);
      Lay other = lay(next);
      if (!(other <= best)) continue;
      const bool less = std::tie(other.area_left, other.roll) < std::tie(best.area_left, best.roll);
      best = std::move(other);
      order = std::move(next);
      if (less && better) better(nested(best));
    }
    return nested(best);
  }

 private:
  Nested nested(const Lay& best) const {
    Nested nested;
    nested.places = best.places;
    nested.left_over = best.left_over;
    nested.roll_mm = static_cast<double>(best.roll) / kScale;
    nested.layouts = layouts_;
    if (stock_.roll_width_mm > 0) {
      double area = 0;
      for (std::size_t s = 0; s < shapes_.size(); ++s) area += areas_[s] * shapes_[s].quantity;
      for (const Remnant& remnant : stock_.remnants) area -= shape::area_mm2(remnant.region);
      nested.roll_bound_mm = std::max(0.0, area / stock_.roll_width_mm);
      // Without remnants every part lies on the roll, and none is lower than the way it may lie allows.
      for (const Shape& s : shapes_) {
        if (!stock_.remnants.empty()) break;
        const shape::Box box = shape::bounds(s.region);
        const double least = s.turn == Turn::quarter ? std::min(box.width(), box.height()) : box.height();
        nested.roll_bound_mm = std::max(nested.roll_bound_mm, least);
      }
    }
    return nested;
  }
  double area(int item) const { return areas_[static_cast<std::size_t>(items_[static_cast<std::size_t>(item)].shape)]; }
  bool over() const {
    if (layouts_ >= options_.max_layouts || items_.size() < 2) return true;
    if (options_.cancel != nullptr && options_.cancel->load(std::memory_order_relaxed)) return true;
    return options_.max_seconds > 0 && options_.now_seconds &&
           options_.now_seconds() - started_ >= options_.max_seconds;
  }
  const cl::Paths& between(int fixed, int part) {
    const auto [at, fresh] = between_.try_emplace({fixed, part});
    if (fresh)
      at->second =
          forbidden(kinds_[static_cast<std::size_t>(fixed)].fixed, kinds_[static_cast<std::size_t>(part)].outline);
    return at->second;
  }
  // Off the sheet: a frame around it, less the sheet.
  const cl::Paths& outside(int sheet, int part) {
    const auto [at, fresh] = outside_.try_emplace({sheet, part});
    if (!fresh) return at->second;
    const cl::Paths& paths = sheets_[static_cast<std::size_t>(sheet)];
    const Kind& kind = kinds_[static_cast<std::size_t>(part)];
    if (paths.empty()) return at->second;
    const Extent e = extent_of(paths);
    const cl::cInt wide = 2 * (kind.extent.right - kind.extent.left + kind.extent.top - kind.extent.bottom) + 1000;
    cl::Clipper clipper;
    clipper.AddPath({{e.left - wide, e.bottom - wide},
                     {e.right + wide, e.bottom - wide},
                     {e.right + wide, e.top + wide},
                     {e.left - wide, e.top + wide}},
                    cl::ptSubject, true);
    clipper.AddPaths(paths, cl::ptClip, true);
    cl::Paths frame;
    clipper.Execute(cl::ctDifference, frame, cl::pftNonZero, cl::pftNonZero);
    return at->second = forbidden(frame, kind.against_edge);
  }

  // Clipper's union of many sums can lose a sliver; what is taken is looked at once more by itself.
  bool clear(int sheet, int part, const cl::IntPoint& at, const std::vector<std::pair<int, cl::IntPoint>>& laid) const {
    const Kind& kind = kinds_[static_cast<std::size_t>(part)];
    if (area_of(cl::ctDifference, moved(kind.plain, at), edges_[static_cast<std::size_t>(sheet)]) > 0) return false;
    const cl::Paths core = moved(kind.core, at);
    const Extent e = extent_of(core);
    for (const auto& [fixed, where] : laid) {
      const cl::Paths other = moved(kinds_[static_cast<std::size_t>(fixed)].core, where);
      const Extent o = extent_of(other);
      if (o.left > e.right || e.left > o.right || o.bottom > e.top || e.bottom > o.top) continue;
      if (area_of(cl::ctIntersection, core, other) > 0) return false;
    }
    return true;
  }

  struct Found {
    cl::cInt top = 0, left = 0;
    int quarters = 0;
    cl::IntPoint at;
    bool operator<(const Found& other) const {
      return std::tie(top, left, quarters) < std::tie(other.top, other.left, other.quarters);
    }
  };
  // The lowest place on this sheet, in any turn that is allowed, left before right.
  std::optional<Found> lowest(int sheet, int shape, const std::vector<std::pair<int, cl::IntPoint>>& laid) {
    if (sheets_[static_cast<std::size_t>(sheet)].empty()) return std::nullopt;
    const Extent e = extent_of(sheets_[static_cast<std::size_t>(sheet)]);
    const Turn turn = shapes_[static_cast<std::size_t>(shape)].turn;
    std::vector<Found> corners;
    for (int q = 0; q < 4; q += turn == Turn::half ? 2 : turn == Turn::none ? 4 : 1) {
      const int part = shape * 4 + q;
      const Extent& size = kinds_[static_cast<std::size_t>(part)].extent;
      cl::Clipper clipper;
      clipper.AddPaths(outside(sheet, part), cl::ptSubject, true);
      for (const auto& [fixed, at] : laid) clipper.AddPaths(moved(between(fixed, part), at), cl::ptSubject, true);
      cl::Paths taken;
      clipper.Execute(cl::ctUnion, taken, cl::pftNonZero, cl::pftNonZero);
      for (const cl::Path& path : taken)
        for (const cl::IntPoint& p : path)
          if (p.X + size.left >= e.left - 5 && p.X + size.right <= e.right + 5 && p.Y + size.bottom >= e.bottom - 5 &&
              p.Y + size.top <= e.top + 5)
            corners.push_back({p.Y + size.top, p.X + size.left, q, p});
    }
    std::sort(corners.begin(), corners.end());
    for (const Found& corner : corners)
      if (clear(sheet, shape * 4 + corner.quarters, corner.at, laid)) return corner;
    return std::nullopt;
  }

  Lay lay(const std::vector<int>& order) {
    ++layouts_;
    Lay result;
    std::vector<std::vector<std::pair<int, cl::IntPoint>>> laid(sheets_.size());
    const bool roll = stock_.roll_width_mm > 0;
    for (const int which : order) {
      const Item& item = items_[static_cast<std::size_t>(which)];
      bool done = false;
      for (int sheet = 0; sheet < static_cast<int>(sheets_.size()) && !done; ++sheet) {
        const auto found = lowest(sheet, item.shape, laid[static_cast<std::size_t>(sheet)]);
        if (!found) continue;
        done = true;
        const int part = item.shape * 4 + found->quarters;
        laid[static_cast<std::size_t>(sheet)].push_back({part, found->at});
        result.places.push_back({item.shape, item.copy, sheet, found->quarters,
                                 static_cast<double>(found->at.X) / kScale, static_cast<double>(found->at.Y) / kScale});
        result.tops += static_cast<double>(found->top);
        if (roll && sheet + 1 == static_cast<int>(sheets_.size()))
          result.roll =
              std::max(result.roll, found->at.Y + extent_of(kinds_[static_cast<std::size_t>(part)].plain).top);
      }
      if (!done) {
        result.left_over.emplace_back(item.shape, item.copy);
        result.area_left += area(which);
      }
    }
    return result;
  }

  const std::vector<Shape>& shapes_;
  const Stock& stock_;
  const Options& options_;
  std::vector<Kind> kinds_;  // four turns of each shape
  std::vector<double> areas_;
  std::vector<Item> items_;
  std::vector<cl::Paths> edges_, sheets_;  // as they are, and with half the gap
  std::map<std::pair<int, int>, cl::Paths> between_, outside_;
  std::mt19937_64 random_;
  std::int64_t layouts_ = 0;
  double started_ = 0;
};

std::string mm(double value) { return std::to_string(std::llround(value)) + " mm"; }

}  // namespace

Results<Nested> nest(const std::vector<Shape>& shapes, const Stock& stock, const Options& options,
                     const std::function<void(const Nested&)>& better) {
  std::vector<Problem> problems;
  const auto add = [&](std::string what, std::string expected, std::string remedy) {
    problems.push_back({"", 0, 0, std::move(what), std::move(expected), std::move(remedy)});
  };
  if (shapes.empty()) add("there is nothing to lay out", "at least one part", "add a part");
  if (stock.remnants.empty() && !(stock.roll_width_mm > 0))
    add("there is nothing to lay the parts on", "a remnant or the width of a roll", "measure what there is");
  if (!(stock.roll_width_mm >= 0 && stock.roll_width_mm <= 1e5) || !(stock.gap_mm >= 0 && stock.gap_mm <= 1e3))
    add("the roll or the gap cannot be", "a roll up to 100 m wide, a gap from 0 to 1 m", "measure again");
  const auto look_at = [&](const std::string& name, const shape::Region& region) {
    int outer = 0;
    for (const shape::Outline& outline : region.outlines) outer += shape::area_mm2(outline) > 0;
    const shape::Box box = shape::bounds(region);
    if (outer != 1 || !(shape::area_mm2(region) >= 1) || !(box.width() <= 1e5) || !(box.height() <= 1e5))
      add(name + " is not one outline of 1 mm² or more within 100 m", "one closed outline, with holes or without",
          "draw it again; give what is in several pieces as several parts");
  };
  int copies = 0;
  for (const Shape& s : shapes) {
    look_at("part '" + s.id + "'", s.region);
    if (s.quantity < 1)
      add("part '" + s.id + "' is wanted " + std::to_string(s.quantity) + " times", "1 or more", "leave it out");
    copies += std::max(0, s.quantity);
    if (stock.roll_width_mm <= 0 || !problems.empty()) continue;
    const shape::Box box = shape::bounds(s.region);
    const double least = s.turn == Turn::quarter ? std::min(box.width(), box.height()) : box.width();
    if (least > stock.roll_width_mm + 0.001)
      add("part '" + s.id + "' is " + mm(least) + " wide, " + mm(least - stock.roll_width_mm) + " more than the roll",
          "parts narrower than the roll", "take a wider roll, let the part turn, or join it with a seam");
  }
  for (const Remnant& r : stock.remnants) look_at("remnant '" + r.id + "'", r.region);
  if (copies > kMostShapes)
    add(std::to_string(copies) + " parts are more than can be laid out", "up to " + std::to_string(kMostShapes),
        "lay them out in several goes");
  if (!problems.empty()) return tl::unexpected(std::move(problems));
  return Nester(shapes, stock, options).run(better);
}

}  // namespace tackcloth::cutting
