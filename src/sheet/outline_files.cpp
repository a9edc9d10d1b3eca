#include "sheet/outline_files.h"

#include <fmt/format.h>

#include <cmath>

#include "shape/arc.h"
#include "sheet/vector_text.h"

namespace tackcloth::sheet {

namespace {

struct Extent {
  double width = 0, height = 0;
};

// Of the face: everything lies on it, from its left bottom corner.
Extent extent_of(const shape::Region& region) {
  Extent out;
  for (const shape::Outline& outline : region.outlines)
    for (const shape::Segment& s : shape::segments(outline))
      for (int k = 0; k <= 64; ++k) {
        const shape::Point p = s.at(k / 64.0);
        out.width = std::max(out.width, p.x);
        out.height = std::max(out.height, p.y);
      }
  return out;
}

std::string path_of(const shape::Region& region, double height) {
  std::string d;
  for (const shape::Outline& outline : region.outlines) {
    bool first = true;
    for (const shape::Segment& s : shape::segments(outline)) {
      if (first) d += fmt::format("{}M{:.4f} {:.4f}", d.empty() ? "" : " ", s.from.x, height - s.from.y);
      first = false;
      if (s.straight()) {
        d += fmt::format(" L{:.4f} {:.4f}", s.to.x, height - s.to.y);
        continue;
      }
      // Eighths of a turn: readers that lay one spline over a quarter are then off by a millionth of the radius.
      const int pieces = static_cast<int>(std::ceil(std::abs(s.sweep) / (M_PI / 4)));
      for (int k = 1; k <= pieces; ++k) {
        const shape::Point to = k == pieces ? s.to : s.at(static_cast<double>(k) / pieces);
        // Turned upside down, counter-clockwise becomes SVG's negative-angle direction: sweep flag 0.
        d += fmt::format(" A{0:.6f} {0:.6f} 0 0 {1} {2:.4f} {3:.4f}", s.radius, s.sweep > 0 ? 0 : 1, to.x,
                         height - to.y);
      }
    }
    d += " Z";
  }
  return d;
}

void put(DxfWriter& dxf, std::string_view layer, const shape::Region& region) {
  for (const shape::Outline& outline : region.outlines) {
    std::vector<DxfWriter::Vertex> vertices;
    for (const shape::Segment& s : shape::segments(outline)) vertices.push_back({s.from.x, s.from.y, s.bulge});
    dxf.polyline(layer, vertices);
  }
}

}  // namespace

std::string outline_svg(const ZoneTemplate& zone) {
  const auto [width, height] = extent_of(zone.face_region);
  return fmt::format(
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
      "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{0:.4f}mm\" height=\"{1:.4f}mm\" "
      "viewBox=\"0 0 {0:.4f} {1:.4f}\">\n<title>{2}</title>\n"
      "<path id=\"face\" fill=\"none\" stroke=\"#888888\" stroke-width=\"0.5\" d=\"{3}\"/>\n"
      "<path id=\"zone\" fill=\"none\" stroke=\"#000000\" stroke-width=\"0.2\" d=\"{4}\"/>\n</svg>\n",
      width, height, xml_text(zone.piece + ", " + zone.part + ": " + zone.zone), path_of(zone.face_region, height),
      path_of(zone.region, height));
}

std::string outline_dxf(const ZoneTemplate& zone) {
  const auto [width, height] = extent_of(zone.face_region);
  DxfWriter dxf(zone.piece + ", " + zone.part + ": " + zone.zone + "; millimetres, full size", width, height,
                {{"FACE", 8}, {"ZONE", 7}});
  put(dxf, "FACE", zone.face_region);
  put(dxf, "ZONE", zone.region);
  return dxf.finish();
}

}  // namespace tackcloth::sheet
