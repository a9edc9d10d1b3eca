// The template of a zone as a stencil: what would fall out of its middle is held by bridges.
#pragma once

#include "sheet/template.h"

namespace tackcloth::sheet {

// The same template with bridges of this width left standing in its cut (shape/stencil.h); its name says so.
Result<ZoneTemplate> as_stencil(ZoneTemplate zone, double bridge_mm);

}  // namespace tackcloth::sheet
