// What SVG and DXF files are written with.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace tackcloth::sheet {

std::string xml_text(std::string_view text);    // escaped, without control characters
std::string ascii_text(std::string_view text);  // DXF R12 knows ASCII: anything else becomes a question mark

// DXF R12 (AC1009): header, layers and entities as pairs of group code and value.
class DxfWriter {
 public:
  struct Layer {
    std::string name;
    int color;  // number of the DXF reference, group 62
  };
  struct Vertex {
    double x, y, bulge;  // bulge of the side that leaves it
  };
  DxfWriter(std::string_view comment, double width, double height, const std::vector<Layer>& layers);
  void polyline(std::string_view layer, const std::vector<Vertex>& vertices);  // closed
  void text(std::string_view layer, double x, double y, double height, std::string_view text);
  std::string finish();

 private:
  void pair(int code, std::string_view value);
  void number(int code, double value);
  std::string out_;
};

}  // namespace tackcloth::sheet
