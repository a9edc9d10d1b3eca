// Moist air: psychrometrics after the ASHRAE Handbook, Fundamentals (2017), chapter 1. SI, rh as a fraction 0..1.
#pragma once

#include "units/result.h"

namespace tackcloth::climate {

struct Air {
  double temp_c = 20.0;
  double rh = 0.5;  // fraction of saturation over liquid water (over ice below 0 °C)
  double pressure_pa = 101325.0;
  double speed_m_s = 0.1;  // air past the work; still room air is about 0.1 (ASHRAE 55)
};

double saturation_pressure_pa(double temp_c);  // -100..200 °C
double vapour_pressure_pa(const Air& air);
double humidity_ratio(const Air& air);  // kg water per kg dry air
double dew_point_c(const Air& air);
double wet_bulb_c(const Air& air);                  // thermodynamic wet bulb
double enthalpy_j_kg(const Air& air);               // per kg dry air, 0 at 0 °C
double density_kg_m3(const Air& air);               // moist air
double pressure_at_altitude_pa(double altitude_m);  // standard atmosphere
double rh_from_vapour_pressure(double temp_c, double pv_pa);
double saturation_temp_c(double vapour_pa);  // inverse of saturation_pressure_pa, to 1e-10 K
// Hands the air back when a shop can have it: -40..60 °C, rh 0..1, 50..110 kPa, 0..20 m/s.
Result<Air> check_air(const Air& air);

}  // namespace tackcloth::climate
