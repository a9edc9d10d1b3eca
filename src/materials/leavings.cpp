#include "materials/leavings.h"

namespace tackcloth::materials {

double left_in_tool_l(catalog::Method method) {
  using catalog::Method;
  switch (method) {
    case Method::brush:  // a 50 mm brush full, and the film in the pot
      return 0.02;
    case Method::roller:  // a 100 mm sleeve soaked, and the film in the tray
      return 0.06;
    case Method::pad:  // the pad soaked, and the film in the tray
      return 0.03;
    case Method::wiping_cloth:  // what the cloth keeps
      return 0.015;
    case Method::spray_gun:  // what the tube does not reach, and the gun's passages
      return 0.03;
    case Method::aerosol:  // what stays when the gas is gone
      return 0.01;
    case Method::scraper:  // what dries on board and blade
      return 0.005;
    case Method::by_hand:
      return 0;
  }
  return 0;
}

std::optional<double> opened_months(const catalog::Product& product) {
  using catalog::Binder;
  if (product.binder == Binder::shellac_dewaxed || product.binder == Binder::shellac_waxed) return 6;
  if (product.cure == catalog::Cure::oxidation) return 12;
  return {};
}

}  // namespace tackcloth::materials
