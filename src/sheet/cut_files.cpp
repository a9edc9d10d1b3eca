#include <algorithm>
#include <cstdio>

#include "sheet/cut_region.h"
#include "sheet/cut_sheet.h"
#include "sheet/region_path.h"
#include "sheet/vector_text.h"

namespace tackcloth::sheet {
namespace {

constexpr double kBetween = 100;  // mm, from ground to ground

std::string fixed(double value, int decimals) {
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  return text;
}

double type_height(const CutPart& part) { return std::min({part.width / 8, part.height / 3, 20.0}); }

struct Sides {
  std::vector<double> left;
  double width = 0, height = 0;
};
Sides side_by_side(const CutDrawing& drawing) {
  Sides sides;
  for (const CutGround& ground : drawing.grounds) {
    if (!sides.left.empty()) sides.width += kBetween;
    sides.left.push_back(sides.width);
    sides.width += ground.width;
    sides.height = std::max(sides.height, ground.height);
  }
  return sides;
}

}  // namespace

// y runs down in SVG: the cut end is at the foot all the same.
std::string cut_svg(const CutDrawing& drawing) {
  const auto quoted = [](const char* name, double value) {
    return std::string(" ") + name + "=\"" + fixed(value, 3) + "\"";
  };
  const Sides sides = side_by_side(drawing);
  const std::string width = fixed(sides.width, 3), height = fixed(sides.height, 3);
  std::string out =
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\"";
  out += " width=\"" + width + "mm\" height=\"" + height + "mm\" viewBox=\"0 0 " + width + " " + height + "\">\n";
  out += "<title>" + xml_text(drawing.title) + "</title>\n";
  out += "<g id=\"roll\" fill=\"none\" stroke=\"#888888\" stroke-width=\"0.5\">\n";
  for (std::size_t g = 0; g < drawing.grounds.size(); ++g)
    out += "<path d=\"" + svg_path(region_of(drawing.grounds[g]), sides.left[g], sides.height) + "\"><title>" +
           xml_text(drawing.grounds[g].name) + "</title></path>\n";
  out += "</g>\n<g id=\"cut\" fill=\"none\" stroke=\"#000000\" stroke-width=\"0.2\">\n";
  for (std::size_t g = 0; g < drawing.grounds.size(); ++g)
    for (const CutPart& part : drawing.grounds[g].parts)
      out += "<path d=\"" + svg_path(region_of(part), sides.left[g], sides.height) + "\"><title>" +
             xml_text(part.label) + "</title></path>\n";
  out += "</g>\n<g id=\"labels\" fill=\"#000000\" font-family=\"sans-serif\" text-anchor=\"middle\">\n";
  for (std::size_t g = 0; g < drawing.grounds.size(); ++g)
    for (const CutPart& part : drawing.grounds[g].parts)
      out += "<text" + quoted("x", sides.left[g] + part.x + part.width / 2) +
             quoted("y", sides.height - part.y - part.height / 2) + quoted("font-size", type_height(part)) + ">" +
             xml_text(part.label) + "</text>\n";
  return out + "</g>\n</svg>\n";
}

std::string cut_dxf(const CutDrawing& drawing) {
  const Sides sides = side_by_side(drawing);
  DxfWriter dxf("millimetres, full size; x across the roll, y along it from the cut end", sides.width, sides.height,
                {{"ROLL", 8}, {"CUT", 7}, {"LABELS", 3}});
  for (std::size_t g = 0; g < drawing.grounds.size(); ++g)
    dxf_region(dxf, "ROLL", region_of(drawing.grounds[g]), sides.left[g]);
  for (std::size_t g = 0; g < drawing.grounds.size(); ++g)
    for (const CutPart& part : drawing.grounds[g].parts) dxf_region(dxf, "CUT", region_of(part), sides.left[g]);
  for (std::size_t g = 0; g < drawing.grounds.size(); ++g)
    for (const CutPart& part : drawing.grounds[g].parts)
      dxf.text("LABELS", sides.left[g] + part.x + part.width / 16, part.y + part.height / 2, type_height(part),
               part.label);
  return dxf.finish();
}

}  // namespace tackcloth::sheet
