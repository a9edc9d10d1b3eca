// Regions as SVG paths and DXF polylines, arcs as arcs.
#pragma once

#include <string>
#include <string_view>

#include "shape/shape.h"
#include "sheet/vector_text.h"

namespace tackcloth::sheet {

// The `d` of a path: moved right by `dx`, turned upside down below `top`, as SVG's y runs down.
std::string svg_path(const shape::Region& region, double dx, double top);
void dxf_region(DxfWriter& dxf, std::string_view layer, const shape::Region& region, double dx);

}  // namespace tackcloth::sheet
