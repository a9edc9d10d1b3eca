// The outline at full size read back by others: the SVG by librsvg and poppler, the DXF by ezdxf, both to 0.1 mm.
#include "sheet/outline_files.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <numbers>

#include "drawn_files.h"
#include "drawn_page.h"
#include "shape/arc.h"

namespace tackcloth::sheet {
namespace {

namespace fs = std::filesystem;

double from_outline(const shape::Region& region, shape::Point p) {
  double least = 1e9;
  for (const shape::Outline& outline : region.outlines)
    for (const shape::Segment& s : shape::segments(outline)) {
      double off = 0;
      s.nearest(p, off);
      least = std::min(least, off);
    }
  return least;
}

class OutlineFiles : public DrawnFiles {
 protected:
  static ZoneTemplate zone_of(shape::Region region) {
    ZoneTemplate zone;
    zone.piece = "Walnut <cabinet>";
    zone.part = "case";
    zone.zone = "sunrise";
    zone.face_region = shape::rectangle({0, 0}, 680, 410);
    zone.region = std::move(region);
    return zone;
  }
  static std::vector<ZoneTemplate> samples() {
    return {zone_of(shape::half_circle({340, 0}, 190, true)), zone_of(shape::half_circle({200, 410}, 150, false)),
            zone_of(*shape::arch({200, 10}, 180, 150, 60)), zone_of(shape::circle({500, 200}, 77.5)),
            // A hole, and an arc of more than half a turn.
            zone_of(shape::subtract(shape::rectangle({50, 50}, 300, 300), shape::circle({200, 200}, 90))),
            zone_of({{shape::Outline{{{{400, 100}, 0}, {{300, 100}, 2}}}}})};
  }
};

TEST_F(OutlineFiles, DxfIsReadByEzdxf) {
  const std::string script = file("read.py", R"(
import ezdxf, json, sys
from ezdxf import path
doc = ezdxf.readfile(sys.argv[1])
out = {"errors": len(doc.audit().errors), "FACE": [], "ZONE": []}
for e in doc.modelspace():
    out[e.dxf.layer].append([[p.x, p.y] for p in path.make_path(e).flattening(0.005)])
print(json.dumps(out))
)");
  for (const ZoneTemplate& zone : samples()) {
    const std::string read =
        output_of_command("/usr/bin/python3 " + script + " " + file("zone.dxf", outline_dxf(zone)));
    ASSERT_FALSE(read.empty()) << "python3-ezdxf is missing or refuses the file";
    const auto j = nlohmann::json::parse(read);
    EXPECT_EQ(j.at("errors"), 0);
    EXPECT_EQ(j.at("FACE").size(), 1u);
    ASSERT_EQ(j.at("ZONE").size(), zone.region.outlines.size());
    double area = 0, length = 0;
    for (const auto& line : j.at("ZONE")) {
      const auto points = line.get<std::vector<std::array<double, 2>>>();
      for (std::size_t i = 0; i < points.size(); ++i) {
        const auto &p = points[i], &q = points[(i + 1) % points.size()];
        EXPECT_LT(from_outline(zone.region, {p[0], p[1]}), kTo);
        area += (p[0] * q[1] - q[0] * p[1]) / 2;  // Gauss's shoelace
        length += std::hypot(q[0] - p[0], q[1] - p[1]);
      }
    }
    EXPECT_NEAR(length, shape::length_mm(zone.region), kTo);
    EXPECT_NEAR(area, shape::area_mm2(zone.region), kTo * length);
  }
}

TEST_F(OutlineFiles, SvgIsFullSizeToLibrsvg) {
  for (const ZoneTemplate& zone : samples()) {
    const std::string svg = file("zone.svg", outline_svg(zone)), pdf = (dir_ / "zone.pdf").string();
    output_of_command("rsvg-convert -f pdf -o " + pdf + " " + svg);
    ASSERT_TRUE(fs::exists(pdf)) << "rsvg-convert (librsvg2-bin) is missing or refuses the file";
    const DrawnPage page(pdf, 1);
    // librsvg counts 96 pixels an inch, writes them as points or as pixels by version, and rounds the page to whole
    // ones: the face, which is 680 mm wide, gives the measure.
    const double about = 680 / page.paper().x;
    const auto faces = page.strokes(0.5 * 72 / 25.4 / about);
    ASSERT_EQ(faces.size(), 1u);
    At low{1e9, 1e9}, high{-1e9, -1e9};
    for (const auto& line : faces[0].lines)
      for (const At& p : line) {
        low = {std::min(low.x, p.x), std::min(low.y, p.y)};
        high = {std::max(high.x, p.x), std::max(high.y, p.y)};
      }
    const double k = 680 / (high.x - low.x);
    EXPECT_TRUE(std::abs(k - 1) < 1e-3 || std::abs(k - 0.75) < 1e-3) << k;
    EXPECT_NEAR((high.y - low.y) * k, 410, kTo);
    double length = 0;
    for (const Stroke& stroke : page.strokes(0.2 * 72 / 25.4 / about))
      for (const auto& line : stroke.lines)
        for (std::size_t i = 0; i < line.size(); ++i) {
          EXPECT_LT(from_outline(zone.region, {(line[i].x - low.x) * k, (high.y - line[i].y) * k}), kTo);
          if (i > 0) length += k * apart(line[i - 1], line[i]);
        }
    EXPECT_NEAR(length, shape::length_mm(zone.region), 0.5);  // chords of a spline's 64ths
    fs::remove(pdf);
  }
}

}  // namespace
}  // namespace tackcloth::sheet
