#include "sheet/region_path.h"

#include <fmt/format.h>

#include <cmath>

#include "shape/arc.h"

namespace tackcloth::sheet {

std::string svg_path(const shape::Region& region, double dx, double top) {
  std::string d;
  for (const shape::Outline& outline : region.outlines) {
    bool first = true;
    for (const shape::Segment& s : shape::segments(outline)) {
      if (first) d += fmt::format("{}M{:.4f} {:.4f}", d.empty() ? "" : " ", s.from.x + dx, top - s.from.y);
      first = false;
      if (s.straight()) {
        d += fmt::format(" L{:.4f} {:.4f}", s.to.x + dx, top - s.to.y);
        continue;
      }
      // Eighths of a turn: readers that lay one spline over a quarter are then off by a millionth of the radius.
      const int pieces = static_cast<int>(std::ceil(std::abs(s.sweep) / (M_PI / 4)));
      for (int k = 1; k <= pieces; ++k) {
        const shape::Point to = k == pieces ? s.to : s.at(static_cast<double>(k) / pieces);
        // Turned upside down, counter-clockwise becomes SVG's negative-angle direction: sweep flag 0.
        d += fmt::format(" A{0:.6f} {0:.6f} 0 0 {1} {2:.4f} {3:.4f}", s.radius, s.sweep > 0 ? 0 : 1, to.x + dx,
                         top - to.y);
      }
    }
    d += " Z";
  }
  return d;
}

void dxf_region(DxfWriter& dxf, std::string_view layer, const shape::Region& region, double dx) {
  for (const shape::Outline& outline : region.outlines) {
    std::vector<DxfWriter::Vertex> vertices;
    for (const shape::Segment& s : shape::segments(outline)) vertices.push_back({s.from.x + dx, s.from.y, s.bulge});
    dxf.polyline(layer, vertices);
  }
}

}  // namespace tackcloth::sheet
