// Moist air as a real gas: the virial equation of state of Hyland and Wexler, "Formulations for the thermodynamic
// properties of dry air from 173.15 K to 473.15 K, and of saturated moist air from 173.15 K to 372.15 K, at pressures
// to 5 MPa", ASHRAE Transactions 89(2A) (1983). The handbook's tables of saturated air rest on it; the perfect-gas
// equations of air.h stay the default.
#pragma once

#include "climate/air.h"

namespace tackcloth::climate {

// Saturation pressure over that of water alone: f = x_s p / p_s, about 1.004 at sea level (eq. 18).
double enhancement_factor(double temp_c, double pressure_pa);

// With rh as the ratio of mole fractions, x / x_s. Precondition for all: a state check_air() lets pass.
double real_humidity_ratio(const Air& air);  // kg water per kg dry air
double real_volume_m3_kg(const Air& air);    // per kg dry air (eq. 1 to 3)
double real_enthalpy_j_kg(const Air& air);   // per kg dry air, 0 for dry air at 0 °C and 101.325 kPa (eq. 4)

}  // namespace tackcloth::climate
