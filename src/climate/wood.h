// Wood and moisture: USDA Forest Products Laboratory, Wood Handbook (FPL-GTR-282, 2021), chapter 4.
#pragma once

#include "climate/air.h"

namespace tackcloth::climate {

// Equilibrium moisture content, percent of oven-dry mass (Hailwood-Horrobin, eq. 4-5 of the Wood Handbook).
double wood_moisture_percent(double temp_c, double rh);
// Change in a dimension across the grain, mm, for a change of moisture content (Wood Handbook eq. 13-2 form:
// delta = width * coefficient * delta MC), valid between 6 and 14 %.
double movement_mm(double width_mm, double coefficient_per_percent, double mc_from_percent, double mc_to_percent);
// Whether both ends lie in 6 to 14 %, where the coefficients were measured.
bool coefficients_hold(double mc_from_percent, double mc_to_percent);
// Hours until a washed or wiped wood surface is back within 1 point of equilibrium, for `water_g_m2` of liquid left on
// it. Source of the model beside its definition.
double surface_drying_h(const Air& air, double water_g_m2);

// Coating is safe only when the surface stays `margin_c` above the dew point; 3 °C (5 °F) is the ISO 8502-4 custom.
bool surface_above_dew_point(const Air& air, double surface_temp_c, double margin_c = 3.0);

}  // namespace tackcloth::climate
