// The air side of a drying film: heat and mass transfer between a face and the air past it, and vapour pressure.
// Nu for laminar forced flow over a plate and for natural convection on vertical and horizontal plates, and their
// combination (exponent 3): Incropera, DeWitt, Bergman & Lavine, Fundamentals of Heat and Mass Transfer, 6th ed.,
// eq. 7.30, 9.24-form of McAdams, 9.30-9.32, 9.64. Mass from heat by the Chilton-Colburn analogy (ibid., eq. 6.60).
#pragma once

#include <cmath>

#include "catalog/catalog.h"
#include "film/film.h"

namespace tackcloth::film {

inline constexpr double kGas = 8.314462618;  // J/(mol K), CODATA 2018
inline constexpr double kZeroC = 273.15;
inline constexpr double kPlateLength_m = 0.3;  // a door panel or drawer front; the rate goes with its root
inline constexpr double kStillest_m_s = 0.05;  // no room is stiller: people and walls move air (ASHRAE 55: 0.05-0.2)

// Air at about 20 °C and 101325 Pa (Incropera, table A.4).
inline constexpr double kAirViscosity_m2_s = 15.1e-6;
inline constexpr double kAirDiffusivity_m2_s = 21.4e-6;  // thermal
inline constexpr double kAirConductivity_w_mk = 0.0257;
inline constexpr double kAirHeat_j_m3k = 1.204 * 1006.0;  // density times specific heat
inline constexpr double kAirMolarMass_kg = 0.028965;

// One volatile part, in SI.
struct Part {
  double molar_mass_kg = 0.1;
  double density_kg_m3 = 1000;
  double per_molar_mass = 10, per_density = 0.001;  // the inverses, for the inner loop
  double ln_a = 0, ln_b = 0, c = 230;               // ln(p/Pa) = ln_a - ln_b / (c + T/°C)
  double latent_j_kg = 4e5;
  double diffusivity_25_m2_s = 8e-6;
  double colburn = 0.5;      // (D / thermal diffusivity of air)^(2/3), hardly changes with temperature
  double mass_fraction = 0;  // of the wet product
  bool water = false;
};
Part part_of(const catalog::Component& component, double mass_fraction);

inline double vapour_pressure_pa(const Part& part, double temp_c) {
  return std::exp(part.ln_a - part.ln_b / (part.c + temp_c));
}
// d ln p / dT, 1/K, from the same equation.
inline double vapour_pressure_slope(const Part& part, double temp_c) {
  const double d = part.c + temp_c;
  return part.ln_b / (d * d);
}

// Convective heat transfer coefficient, W/(m2 K). `lighter`: relative density deficit of the air at the face,
// (rho_air - rho_face) / rho_air; negative when the air at the face is heavier and lies on a horizontal face.
double heat_transfer_w_m2k(double speed_m_s, double lighter, Lie lie);
// Radiation, linearised at the air temperature, emissivity 0.9 of a coated face (Incropera, table A.11: paints).
double radiation_w_m2k(double temp_c);

// Free evaporation of a pure liquid, kg/(m2 s), and the temperature its face takes.
struct Free {
  double kg_m2_s = 0;
  double temp_c = 20;
};
Free free_evaporation(const Part& part, const climate::Air& air, Lie lie);

}  // namespace tackcloth::film
