#include <algorithm>
#include <cstdio>

#include "sheet/cut_sheet.h"
#include "sheet/words.h"

namespace tackcloth::sheet {
namespace {

std::string xml(std::string_view text) {
  std::string out;
  for (const char c : clean(text)) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

// R12 knows ASCII: anything else becomes a question mark. A line feed would end the value.
std::string ascii(std::string_view text) {
  std::string out;
  for (const char c : text) {
    const auto u = static_cast<unsigned char>(c);
    if (u >= 0xC0 || (u < 0x20)) {
      out += '?';
    } else if (u < 0x80) {
      out += c;
    }
  }
  return out;
}

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
  out += "<title>" + xml(drawing.title) + "</title>\n";
  out += "<g id=\"roll\" fill=\"none\" stroke=\"#888888\" stroke-width=\"0.5\">\n<rect x=\"0\" y=\"0\" width=\"" +
         width + "\" height=\"" + height + "\"/>\n</g>\n";
  out += "<g id=\"cut\" fill=\"none\" stroke=\"#000000\" stroke-width=\"0.2\">\n";
  for (const CutPart& part : drawing.parts)
    out += "<rect" + quoted("x", part.x) + quoted("y", part.y) + quoted("width", part.width) +
           quoted("height", part.height) + "><title>" + xml(part.label) + "</title></rect>\n";
  out += "</g>\n<g id=\"labels\" fill=\"#000000\" font-family=\"sans-serif\" text-anchor=\"middle\">\n";
  for (const CutPart& part : drawing.parts)
    out += "<text" + quoted("x", part.x + part.width / 2) + quoted("y", part.y + part.height / 2) +
           quoted("font-size", type_height(part)) + ">" + xml(part.label) + "</text>\n";
  return out + "</g>\n</svg>\n";
}

std::string cut_dxf(const CutDrawing& drawing) {
  std::string out;
  const auto pair = [&](int code, std::string_view value) {
    std::string group = std::to_string(code);
    group.insert(0, group.size() < 3 ? 3 - group.size() : 0, ' ');
    out += group + "\r\n" + std::string(value) + "\r\n";
  };
  const auto number = [&](int code, double value) { pair(code, fixed(value, 4)); };
  pair(999, "millimetres, full size; x across the roll, y along it from the cut end");
  pair(0, "SECTION");
  pair(2, "HEADER");
  pair(9, "$ACADVER");
  pair(1, "AC1009");
  pair(9, "$EXTMIN");
  number(10, 0);
  number(20, 0);
  pair(9, "$EXTMAX");
  number(10, drawing.width);
  number(20, drawing.height);
  pair(0, "ENDSEC");
  pair(0, "SECTION");
  pair(2, "TABLES");
  pair(0, "TABLE");
  pair(2, "LAYER");
  pair(70, "3");
  for (const auto& [layer, colour] :
       {std::pair<const char*, const char*>{"ROLL", "8"}, {"CUT", "7"}, {"LABELS", "3"}}) {
    pair(0, "LAYER");
    pair(2, layer);
    pair(70, "0");
    pair(62, colour);
    pair(6, "CONTINUOUS");
  }
  pair(0, "ENDTAB");
  pair(0, "ENDSEC");
  pair(0, "SECTION");
  pair(2, "ENTITIES");
  const auto rectangle = [&](const char* layer, double x, double y, double width, double height) {
    pair(0, "POLYLINE");
    pair(8, layer);
    pair(66, "1");
    number(10, 0);
    number(20, 0);
    number(30, 0);
    pair(70, "1");
    for (const auto& [px, py] : {std::pair{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}}) {
      pair(0, "VERTEX");
      pair(8, layer);
      number(10, px);
      number(20, py);
      number(30, 0);
    }
    pair(0, "SEQEND");
    pair(8, layer);
  };
  rectangle("ROLL", 0, 0, drawing.width, drawing.height);
  for (const CutPart& part : drawing.parts) rectangle("CUT", part.x, part.y, part.width, part.height);
  for (const CutPart& part : drawing.parts) {
    pair(0, "TEXT");
    pair(8, "LABELS");
    number(10, part.x + part.width / 16);
    number(20, part.y + part.height / 2);
    number(30, 0);
    number(40, type_height(part));
    pair(1, ascii(part.label));
  }
  pair(0, "ENDSEC");
  pair(0, "EOF");
  return out;
}

}  // namespace tackcloth::sheet
