#include "sheet/vector_text.h"

#include <fmt/format.h>

#include "sheet/words.h"

namespace tackcloth::sheet {

std::string xml_text(std::string_view text) {
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

std::string ascii_text(std::string_view text) {
  std::string out;
  for (const char c : text) {
    const auto u = static_cast<unsigned char>(c);
    if (u >= 0xC0 || u < 0x20)
      out += '?';  // a line feed would end the value
    else if (u < 0x80)
      out += c;
  }
  return out;
}

DxfWriter::DxfWriter(std::string_view comment, double width, double height, const std::vector<Layer>& layers) {
  pair(999, ascii_text(comment));
  pair(0, "SECTION");
  pair(2, "HEADER");
  pair(9, "$ACADVER");
  pair(1, "AC1009");
  pair(9, "$EXTMIN");
  number(10, 0);
  number(20, 0);
  pair(9, "$EXTMAX");
  number(10, width);
  number(20, height);
  pair(0, "ENDSEC");
  pair(0, "SECTION");
  pair(2, "TABLES");
  pair(0, "TABLE");
  pair(2, "LAYER");
  pair(70, std::to_string(layers.size()));
  for (const Layer& layer : layers) {
    pair(0, "LAYER");
    pair(2, layer.name);
    pair(70, "0");
    pair(62, std::to_string(layer.color));
    pair(6, "CONTINUOUS");
  }
  pair(0, "ENDTAB");
  pair(0, "ENDSEC");
  pair(0, "SECTION");
  pair(2, "ENTITIES");
}

void DxfWriter::polyline(std::string_view layer, const std::vector<Vertex>& vertices) {
  pair(0, "POLYLINE");
  pair(8, layer);
  pair(66, "1");
  number(10, 0);
  number(20, 0);
  number(30, 0);
  pair(70, "1");
  for (const Vertex& v : vertices) {
    pair(0, "VERTEX");
    pair(8, layer);
    number(10, v.x);
    number(20, v.y);
    number(30, 0);
    if (v.bulge != 0) out_ += fmt::format(" 42\r\n{:.12f}\r\n", v.bulge);
  }
  pair(0, "SEQEND");
  pair(8, layer);
}

void DxfWriter::text(std::string_view layer, double x, double y, double height, std::string_view text) {
  pair(0, "TEXT");
  pair(8, layer);
  number(10, x);
  number(20, y);
  number(30, 0);
  number(40, height);
  pair(1, ascii_text(text));
}

std::string DxfWriter::finish() {
  pair(0, "ENDSEC");
  pair(0, "EOF");
  return std::move(out_);
}

void DxfWriter::pair(int code, std::string_view value) { out_ += fmt::format("{:>3}\r\n{}\r\n", code, value); }
void DxfWriter::number(int code, double value) { pair(code, fmt::format("{:.4f}", value)); }

}  // namespace tackcloth::sheet
