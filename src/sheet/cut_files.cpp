#include <algorithm>
#include <cstdio>

#include "sheet/cut_sheet.h"
#include "sheet/vector_text.h"

namespace tackcloth::sheet {
namespace {

std::string fixed(double value, int decimals) {
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  return text;
}

double type_height(const CutPart& part) { return std::min({part.width / 8, part.height / 3, 20.0}); }

}  // namespace

// y runs down in SVG: the cut end is at the top.
std::string cut_svg(const CutDrawing& drawing) {
  const auto quoted = [](const char* name, double value) {
    return std::string(" ") + name + "=\"" + fixed(value, 3) + "\"";
  };
  const std::string width = fixed(drawing.width, 3), height = fixed(drawing.height, 3);
  std::string out =
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\"";
  out += " width=\"" + width + "mm\" height=\"" + height + "mm\" viewBox=\"0 0 " + width + " " + height + "\">\n";
  out += "<title>" + xml_text(drawing.title) + "</title>\n";
  out += "<g id=\"roll\" fill=\"none\" stroke=\"#888888\" stroke-width=\"0.5\">\n<rect x=\"0\" y=\"0\" width=\"" +
         width + "\" height=\"" + height + "\"/>\n</g>\n";
  out += "<g id=\"cut\" fill=\"none\" stroke=\"#000000\" stroke-width=\"0.2\">\n";
  for (const CutPart& part : drawing.parts)
    out += "<rect" + quoted("x", part.x) + quoted("y", part.y) + quoted("width", part.width) +
           quoted("height", part.height) + "><title>" + xml_text(part.label) + "</title></rect>\n";
  out += "</g>\n<g id=\"labels\" fill=\"#000000\" font-family=\"sans-serif\" text-anchor=\"middle\">\n";
  for (const CutPart& part : drawing.parts)
    out += "<text" + quoted("x", part.x + part.width / 2) + quoted("y", part.y + part.height / 2) +
           quoted("font-size", type_height(part)) + ">" + xml_text(part.label) + "</text>\n";
  return out + "</g>\n</svg>\n";
}

std::string cut_dxf(const CutDrawing& drawing) {
  DxfWriter dxf("millimetres, full size; x across the roll, y along it from the cut end", drawing.width, drawing.height,
                {{"ROLL", 8}, {"CUT", 7}, {"LABELS", 3}});
  const auto rectangle = [&](std::string_view layer, double x, double y, double width, double height) {
    dxf.polyline(layer, {{x, y, 0}, {x + width, y, 0}, {x + width, y + height, 0}, {x, y + height, 0}});
  };
  rectangle("ROLL", 0, 0, drawing.width, drawing.height);
  for (const CutPart& part : drawing.parts) rectangle("CUT", part.x, part.y, part.width, part.height);
  for (const CutPart& part : drawing.parts)
    dxf.text("LABELS", part.x + part.width / 16, part.y + part.height / 2, type_height(part), part.label);
  return dxf.finish();
}

}  // namespace tackcloth::sheet
