#include "film/gas.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::film {

Part part_of(const catalog::Component& component, double mass_fraction) {
  constexpr double ln10 = 2.302585092994046;
  constexpr double mmhg_pa = 133.322387415;  // NIST SP 811, appendix B
  Part part;
  part.molar_mass_kg = component.molar_mass_g / 1000.0;
  part.density_kg_m3 = component.density_kg_l * 1000.0;
  part.per_molar_mass = 1 / part.molar_mass_kg;
  part.per_density = 1 / part.density_kg_m3;
  part.ln_a = component.antoine_a * ln10 + std::log(mmhg_pa);
  part.ln_b = component.antoine_b * ln10;
  part.c = component.antoine_c;
  part.latent_j_kg = component.latent_kj_kg * 1000.0;
  part.diffusivity_25_m2_s = component.diffusivity_air_m2_s;
  // Thermal diffusivity of air at 25 °C, where D is given: 22.1e-6 m2/s (Incropera, table A.4).
  part.colburn = std::pow(std::max(component.diffusivity_air_m2_s, 1e-7) / 22.1e-6, 2.0 / 3.0);
  part.mass_fraction = mass_fraction;
  part.water = component.id == "water";
  return part;
}

namespace {

// Cube root of the sum of two cubes: one step of Halley's from a straight line, good to 2e-6 and smooth, quicker than
// the library's.
double cube_sum(double a, double b) {
  const double big = std::max(a, b), ratio = std::min(a, b) / big;
  const double x = 1 + ratio * ratio * ratio;
  const double y = 1 + 0.26 * (x - 1), cube = y * y * y;
  return big * y * (cube + 2 * x) / (2 * cube + x);
}

}  // namespace

double heat_transfer_w_m2k(double speed_m_s, double lighter, Lie lie) {
  constexpr double gravity = 9.80665;
  constexpr double cbrt_prandtl = 0.890;  // Pr = 0.706
  const double reynolds = std::max(speed_m_s, kStillest_m_s) * kPlateLength_m / kAirViscosity_m2_s;
  const double forced = 0.664 * std::sqrt(reynolds) * cbrt_prandtl;
  const double rayleigh = gravity * std::fabs(lighter) * kPlateLength_m * kPlateLength_m * kPlateLength_m /
                          (kAirViscosity_m2_s * kAirDiffusivity_m2_s);
  const double root = std::sqrt(std::sqrt(rayleigh));
  const double natural = root * (lie == Lie::vertical ? 0.59 : lighter > 0 ? 0.54 : 0.27);
  const double nusselt = cube_sum(forced, natural);  // forced is never 0: no room is quite still
  return nusselt * kAirConductivity_w_mk / kPlateLength_m;
}

double radiation_w_m2k(double temp_c) {
  constexpr double stefan_boltzmann = 5.670374419e-8;
  const double t = temp_c + kZeroC;
  return 4 * 0.9 * stefan_boltzmann * t * t * t;
}

Free free_evaporation(const Part& part, const climate::Air& air, Lie lie) {
  const double rh = std::clamp(air.rh, 0.0, 1.0);
  const double far = part.water ? rh * vapour_pressure_pa(part, air.temp_c) : 0.0;
  const double radiation = radiation_w_m2k(air.temp_c);
  Free out{0, air.temp_c};
  double lighter = 0;
  for (int pass = 0; pass < 12; ++pass) {
    const double h = heat_transfer_w_m2k(air.speed_m_s, lighter, lie);
    const double near = std::min(vapour_pressure_pa(part, out.temp_c), 0.9 * air.pressure_pa);
    const double drift = 1.0 / (1.0 - 0.5 * (near + far) / air.pressure_pa);
    const double per_pa =
        h / kAirHeat_j_m3k * part.colburn * drift * part.molar_mass_kg / (kGas * (air.temp_c + kZeroC));
    out.kg_m2_s = per_pa * (near - far);
    const double heat = out.kg_m2_s * part.latent_j_kg;
    const double slope = h + radiation + per_pa * near * vapour_pressure_slope(part, out.temp_c) * part.latent_j_kg;
    const double change = ((h + radiation) * (air.temp_c - out.temp_c) - heat) / slope;
    out.temp_c += change;
    lighter = (out.temp_c - air.temp_c) / (air.temp_c + kZeroC) +
              (near - far) / air.pressure_pa * (1.0 - part.molar_mass_kg / kAirMolarMass_kg);
    if (std::fabs(change) < 1e-7 && pass > 2) break;
  }
  return out;
}

}  // namespace tackcloth::film
