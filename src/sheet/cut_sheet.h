// A cutting layout drawn to scale: on paper (PDF), and full size for those who cut by machine (SVG, DXF R12).
#pragma once

#include <string>
#include <vector>

#include "shape/shape.h"
#include "sheet/sheet.h"
#include "units/quantity.h"

namespace tackcloth::sheet {

// Millimetres; x across the roll from its left edge, y along it from the cut end. Drawn face up, the cut end at the
// foot.
struct CutPart {
  std::string label;
  double x = 0, y = 0, width = 0, height = 0;
  bool turned = false;
  shape::Region region = {};  // where it lies; empty: a rectangle
};
struct CutGround {
  std::string name;              // of the remnant, the roll or the sheet; may be empty when there is one alone
  double width = 0, height = 0;  // of the roll, and of the length used
  std::vector<CutPart> parts;
  shape::Region region = {};  // empty: a rectangle
};
struct CutDrawing {
  std::string title;
  std::vector<std::string> says;  // what to buy and what to mind, before the drawing
  std::vector<CutGround> grounds;
  std::vector<std::string> list;  // where each part goes; parts are numbered through all grounds
  units::System system = units::System::metric;
};

struct CutSheet {
  std::string pdf;  // the bytes
  int pages = 0;
  double scale = 0;  // the drawing is 1 : scale
};
// First the words, then the grounds in one round scale with a rule to check it, then the list. Type is 11 pt or larger;
// a part too small for its number has it in the list alone.
Result<CutSheet> cut_pdf(const CutDrawing& drawing, Paper paper, Instant made_at, const Tongue& tongue = {});
std::string cut_svg(const CutDrawing& drawing);  // 1:1, SVG 1.1
std::string cut_dxf(const CutDrawing& drawing);  // 1:1 in mm, DXF R12 (AC1009): closed polylines and text, in layers
// In both the grounds stand side by side, 100 mm apart.

}  // namespace tackcloth::sheet
