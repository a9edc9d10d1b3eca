#include "sheet/outline_files.h"

#include <fmt/format.h>

#include <algorithm>

#include "shape/arc.h"
#include "sheet/region_path.h"
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

}  // namespace

std::string outline_svg(const ZoneTemplate& zone) {
  const auto [width, height] = extent_of(zone.face_region);
  return fmt::format(
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
      "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{0:.4f}mm\" height=\"{1:.4f}mm\" "
      "viewBox=\"0 0 {0:.4f} {1:.4f}\">\n<title>{2}</title>\n"
      "<path id=\"face\" fill=\"none\" stroke=\"#888888\" stroke-width=\"0.5\" d=\"{3}\"/>\n"
      "<path id=\"zone\" fill=\"none\" stroke=\"#000000\" stroke-width=\"0.2\" d=\"{4}\"/>\n</svg>\n",
      width, height, xml_text(zone.piece + ", " + zone.part + ": " + zone.zone), svg_path(zone.face_region, 0, height),
      svg_path(zone.region, 0, height));
}

std::string outline_dxf(const ZoneTemplate& zone) {
  const auto [width, height] = extent_of(zone.face_region);
  DxfWriter dxf(zone.piece + ", " + zone.part + ": " + zone.zone + "; millimetres, full size", width, height,
                {{"FACE", 8}, {"ZONE", 7}});
  dxf_region(dxf, "FACE", zone.face_region, 0);
  dxf_region(dxf, "ZONE", zone.region, 0);
  return dxf.finish();
}

}  // namespace tackcloth::sheet
