#include "sheet/stencil_sheet.h"

#include "shape/stencil.h"

namespace tackcloth::sheet {

Result<ZoneTemplate> as_stencil(ZoneTemplate zone, double bridge_mm) {
  auto made = shape::stencil(zone.region, bridge_mm);
  if (!made) return tl::unexpected(made.error());
  zone.region = std::move(made->cut);
  zone.zone += made->bridges == 0 ? " (stencil)" : " (stencil, " + std::to_string(made->bridges) + " bridges)";
  zone.area_m2 = shape::area_mm2(zone.region) / 1e6;
  return zone;
}

}  // namespace tackcloth::sheet
