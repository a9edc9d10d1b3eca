#include "climate/wood.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tackcloth::climate {

// Wood Handbook (FPL-GTR-282), eq. 4-5: the two-hydrate form of Hailwood and Horrobin (1946), coefficients for °C.
double wood_moisture_percent(double temp_c, double rh) {
  const double t = temp_c, h = std::clamp(rh, 0.0, 1.0);
  const double w = 349 + t * (1.29 + t * 0.0135);
  const double k = 0.805 + t * (0.000736 - t * 0.00000273);
  const double k1 = 6.27 - t * (0.00938 + t * 0.000303);
  const double k2 = 1.91 + t * (0.0407 - t * 0.000293);
  const double kh = k * h, first = k1 * kh, second = k1 * k2 * kh * kh;
  return 1800 / w * (kh / (1 - kh) + (first + 2 * second) / (1 + first + second));
}

double movement_mm(double width_mm, double coefficient_per_percent, double mc_from_percent, double mc_to_percent) {
  return width_mm * coefficient_per_percent * (mc_to_percent - mc_from_percent);
}

bool coefficients_hold(double mc_from_percent, double mc_to_percent) {
  return std::min(mc_from_percent, mc_to_percent) >= 6 && std::max(mc_from_percent, mc_to_percent) <= 14;
}

namespace {

// Wetted skin of the wood. A quick wash goes about 1 mm in across the grain (common practice, no source); 500 kg/m³
// oven-dry is a middling hardwood (Wood Handbook, table 5-3); transverse diffusion of bound water at room temperature
// is 1e-10 to 3e-10 m²/s (Siau, Transport Processes in Wood, 1984; from memory), the slow end is taken.
constexpr double kSkinM = 1e-3, kWoodKgM3 = 500, kDiffusionM2S = 1.5e-10;
constexpr double kFaceM = 0.5;  // length of a usual face along the air

// Heat transfer over a flat face, W/(m² K): laminar forced and natural parts (Incropera, Fundamentals of Heat and Mass
// Transfer, 6th ed., eq. 7.30 and 9.27), joined by the cube rule of the same book, eq. 9.64.
double heat_transfer(const Air& air, double cooling_k) {
  constexpr double kViscosity = 1.55e-5, kHeatDiffusivity = 2.2e-5, kConductivity = 0.026, kPrandtl = 0.71;
  const double reynolds = std::max(0.0, air.speed_m_s) * kFaceM / kViscosity;
  const double forced = 0.664 * std::sqrt(reynolds) * std::cbrt(kPrandtl);
  const double rayleigh = 9.81 / (air.temp_c + 273.15) * std::max(0.5, cooling_k) * kFaceM * kFaceM * kFaceM /
                          (kViscosity * kHeatDiffusivity);
  const double natural =
      0.68 + 0.670 * std::pow(rayleigh, 0.25) / std::pow(1 + std::pow(0.492 / kPrandtl, 9.0 / 16), 4.0 / 9);
  return std::cbrt(forced * forced * forced + natural * natural * natural) * kConductivity / kFaceM;
}

// Water leaving a surface of the given activity, kg/(m² s). The surface cools until the heat the air brings pays for
// the vapour (psychrometric balance); heat from radiation and from the wood is left out, which is slow, so safe.
double evaporation(const Air& air, double activity, double h_heat) {
  constexpr double kHeatCapacity = 1006, kLewis = 0.87, kLatent = 2.46e6, kGasWater = 461.5;
  const double h_mass = h_heat / (density_kg_m3(air) * kHeatCapacity * std::pow(kLewis, 2.0 / 3));
  const double far = vapour_pressure_pa(air) / (kGasWater * (air.temp_c + 273.15));
  const auto leaving = [&](double surface_c) {
    return h_mass * (activity * saturation_pressure_pa(surface_c) / (kGasWater * (surface_c + 273.15)) - far);
  };
  double low = dew_point_c(air), high = air.temp_c;
  for (int i = 0; i < 30; ++i) {
    const double mid = (low + high) / 2;
    (leaving(mid) * kLatent > h_heat * (air.temp_c - mid) ? high : low) = mid;
  }
  return std::max(0.0, leaving((low + high) / 2));
}

// The humidity at which wood holds `percent`.
double humidity_for(double temp_c, double percent) {
  double low = 0, high = 1;
  for (int i = 0; i < 45; ++i) {
    const double mid = (low + high) / 2;
    (wood_moisture_percent(temp_c, mid) > percent ? high : low) = mid;
  }
  return (low + high) / 2;
}

}  // namespace

// The wetted skin is one well-mixed layer: above fibre saturation it dries like free water, below it at the humidity
// its own moisture content stands in balance with (eq. 4-5 turned round). Added to that: the time moisture takes to
// cross the skin, thickness² / (2 D). docs/climate.md.
double surface_drying_h(const Air& air, double water_g_m2) {
  if (!(water_g_m2 > 0)) return 0;
  const double skin_g_m2_per_percent = kSkinM * kWoodKgM3 * 10;
  const double balance = wood_moisture_percent(air.temp_c, air.rh);
  const double start = balance + water_g_m2 / skin_g_m2_per_percent, end = balance + 1;
  if (start <= end) return 0;
  const double saturated = wood_moisture_percent(air.temp_c, 1);
  // Saturated air, or so near it that the last point never leaves: it does not dry.
  if (air.rh >= 1 || end >= saturated) return std::numeric_limits<double>::infinity();
  const double h_heat = heat_transfer(air, air.temp_c - wet_bulb_c(air));
  double seconds = kSkinM * kSkinM / (2 * kDiffusionM2S);
  const double kg_per_percent = skin_g_m2_per_percent / 1000;
  if (start > saturated) seconds += (start - saturated) * kg_per_percent / evaporation(air, 1, h_heat);
  const double from = humidity_for(air.temp_c, std::min(start, saturated)), to = humidity_for(air.temp_c, end);
  constexpr int kSteps = 24;
  double above = wood_moisture_percent(air.temp_c, from);
  for (int i = 1; i <= kSteps; ++i) {
    const double humidity = std::lerp(from, to, double(i) / kSteps);
    const double below = wood_moisture_percent(air.temp_c, humidity);
    const double middle = std::lerp(from, to, (i - 0.5) / kSteps);
    seconds += (above - below) * kg_per_percent / evaporation(air, middle, h_heat);
    above = below;
  }
  return seconds / 3600;
}

bool surface_above_dew_point(const Air& air, double surface_temp_c, double margin_c) {
  return surface_temp_c >= dew_point_c(air) + margin_c;
}

}  // namespace tackcloth::climate
