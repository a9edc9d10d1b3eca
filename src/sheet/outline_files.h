// The outline of a zone at full size for those who cut or plot by machine: SVG 1.1 and DXF R12.
#pragma once

#include <string>

#include "sheet/template.h"

namespace tackcloth::sheet {

// One user unit is one millimetre; y runs down, as SVG has it, from the top of the face. Arcs are elliptical arc
// commands.
std::string outline_svg(const ZoneTemplate& zone);
// Millimetres from the left bottom corner of the face. Arcs are bulges of closed polylines: tan(sweep / 4),
// counter-clockwise positive (DXF reference, group 42). Layers ZONE and FACE.
std::string outline_dxf(const ZoneTemplate& zone);

}  // namespace tackcloth::sheet
