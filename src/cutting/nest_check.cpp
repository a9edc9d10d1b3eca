#include <cmath>
#include <polyclipping/clipper.hpp>

#include "cutting/nest.h"

namespace tackcloth::cutting {
namespace {

using ClipperLib::Clipper;
using ClipperLib::IntPoint;
using ClipperLib::Paths;

constexpr double kStep = 1000;     // of a millimetre
constexpr double kGapLess = 0.01;  // mm: what flattening an arc may cost, here and at the edge of a sheet
constexpr double kSliver = 4;      // square steps: where two lines run along each other and are rounded apart

Paths on_grid(const shape::Region& region, int quarters, double x, double y) {
  Paths paths;
  for (const shape::Outline& outline : region.outlines) {
    ClipperLib::Path path;
    for (const shape::Point& p : shape::flatten(outline, 0.001)) {
      double px = p.x, py = p.y;
      for (int k = 0; k < quarters; ++k) {
        const double was = px;
        px = -py;
        py = was;
      }
      path.emplace_back(std::llround((px + x) * kStep), std::llround((py + y) * kStep));
    }
    paths.push_back(path);
  }
  return paths;
}

double area_left(ClipperLib::ClipType what, const Paths& a, const Paths& b) {
  Clipper clipper;
  clipper.AddPaths(a, ClipperLib::ptSubject, true);
  clipper.AddPaths(b, ClipperLib::ptClip, true);
  Paths out;
  clipper.Execute(what, out, ClipperLib::pftNonZero, ClipperLib::pftNonZero);
  double area = 0;
  for (const auto& path : out) area += ClipperLib::Area(path);
  return area;
}

}  // namespace

std::vector<std::string> nest_faults(const std::vector<Shape>& shapes, const Stock& stock, const Nested& nested) {
  std::vector<std::string> found;
  std::vector<std::vector<int>> seen(shapes.size());
  for (std::size_t i = 0; i < shapes.size(); ++i) seen[i].assign(static_cast<std::size_t>(shapes[i].quantity), 0);
  for (const auto& [shape, copy] : nested.left_over)
    ++seen.at(static_cast<std::size_t>(shape)).at(static_cast<std::size_t>(copy));
  std::vector<Paths> laid;
  for (const NestPlace& p : nested.places) {
    const Shape& shape = shapes.at(static_cast<std::size_t>(p.shape));
    const std::string name = "'" + shape.id + "'";
    ++seen[static_cast<std::size_t>(p.shape)].at(static_cast<std::size_t>(p.copy));
    if ((shape.turn == Turn::none && p.quarters != 0) || (shape.turn == Turn::half && p.quarters % 2 != 0)) {
      found.push_back(name + " is turned against its grain");
    }
    laid.push_back(on_grid(shape.region, p.quarters, p.x_mm, p.y_mm));
    const bool on_roll = p.sheet == static_cast<int>(stock.remnants.size());
    const Paths sheet = on_roll ? on_grid(shape::rectangle({0, 0}, stock.roll_width_mm, nested.roll_mm), 0, 0, 0)
                                : on_grid(stock.remnants.at(static_cast<std::size_t>(p.sheet)).region, 0, 0, 0);
    ClipperLib::ClipperOffset offset(4.0);
    offset.AddPaths(sheet, ClipperLib::jtMiter, ClipperLib::etClosedPolygon);
    Paths edge;
    offset.Execute(edge, kGapLess * kStep);
    if (area_left(ClipperLib::ctDifference, laid.back(), edge) > kSliver) found.push_back(name + " is off its sheet");
  }
  for (std::size_t i = 0; i < laid.size(); ++i)
    for (std::size_t j = i + 1; j < laid.size(); ++j) {
      if (nested.places[i].sheet != nested.places[j].sheet) continue;
      Paths near = laid[i];
      if (stock.gap_mm > kGapLess) {
        ClipperLib::ClipperOffset offset(4.0, 5.0);
        offset.AddPaths(laid[i], ClipperLib::jtRound, ClipperLib::etClosedPolygon);
        offset.Execute(near, (stock.gap_mm - kGapLess) * kStep);
      }
      if (area_left(ClipperLib::ctIntersection, near, laid[j]) > kSliver) {
        found.push_back("'" + shapes[static_cast<std::size_t>(nested.places[i].shape)].id + "' and '" +
                        shapes[static_cast<std::size_t>(nested.places[j].shape)].id + "' overlap or are too close");
      }
    }
  for (std::size_t i = 0; i < shapes.size(); ++i)
    for (const int times : seen[i])
      if (times != 1) found.push_back("'" + shapes[i].id + "' has a copy laid " + std::to_string(times) + " times");
  return found;
}

}  // namespace tackcloth::cutting
