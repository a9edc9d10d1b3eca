#include "climate/air.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace tackcloth::climate {

namespace {

constexpr double kZeroK = 273.15;
// The ice and the water curve meet at the triple point.
constexpr double kTripleC = 0.01;
constexpr double kColdest = -100, kHottest = 200;
// Ratio of molar masses, water to dry air: ASHRAE Fundamentals 2017, ch. 1, eq. 20.
constexpr double kMassRatio = 0.621945;

// Hyland and Wexler (1983), as ASHRAE Fundamentals 2017, ch. 1, eq. 5 (ice, -100..0 °C) and eq. 6 (water, 0..200 °C).
double log_saturation(double temp_c) {
  const double k = temp_c + kZeroK;
  if (temp_c < kTripleC)
    return -5.6745359e3 / k + 6.3925247 +
           k * (-9.6778430e-3 + k * (6.2215701e-7 + k * (2.0747825e-9 + k * -9.4840240e-13))) + 4.1635019 * std::log(k);
  return -5.8002206e3 / k + 1.3914993 + k * (-4.8640239e-2 + k * (4.1764768e-5 + k * -1.4452093e-8)) +
         6.5459673 * std::log(k);
}

double log_saturation_slope(double temp_c) {
  const double k = temp_c + kZeroK;
  if (temp_c < kTripleC)
    return 5.6745359e3 / (k * k) - 9.6778430e-3 +
           k * (2 * 6.2215701e-7 + k * (3 * 2.0747825e-9 - k * 4 * 9.4840240e-13)) + 4.1635019 / k;
  return 5.8002206e3 / (k * k) - 4.8640239e-2 + k * (2 * 4.1764768e-5 - k * 3 * 1.4452093e-8) + 6.5459673 / k;
}

double ratio_of(double vapour_pa, double pressure_pa) { return kMassRatio * vapour_pa / (pressure_pa - vapour_pa); }

// Humidity ratio of air at `dry` whose wet bulb is `wet`: ASHRAE Fundamentals 2017, ch. 1, eq. 33 and 35.
double ratio_at_wet_bulb(double dry, double wet, double pressure_pa) {
  const double saturated = ratio_of(saturation_pressure_pa(wet), pressure_pa);
  if (wet >= kTripleC)
    return ((2501 - 2.326 * wet) * saturated - 1.006 * (dry - wet)) / (2501 + 1.86 * dry - 4.186 * wet);
  return ((2830 - 0.24 * wet) * saturated - 1.006 * (dry - wet)) / (2830 + 1.86 * dry - 2.1 * wet);
}

Problem wrong(std::string what, std::string expected, std::string remedy) {
  return {"", 0, 0, std::move(what), std::move(expected), std::move(remedy)};
}

}  // namespace

double saturation_pressure_pa(double temp_c) {
  return std::exp(log_saturation(std::clamp(temp_c, kColdest, kHottest)));
}

double vapour_pressure_pa(const Air& air) { return air.rh * saturation_pressure_pa(air.temp_c); }

double humidity_ratio(const Air& air) { return ratio_of(vapour_pressure_pa(air), air.pressure_pa); }

double saturation_temp_c(double vapour_pa) {
  if (!(vapour_pa > saturation_pressure_pa(kColdest))) return kColdest;
  if (vapour_pa >= saturation_pressure_pa(kHottest)) return kHottest;
  const double wanted = std::log(vapour_pa);
  double low = kColdest, high = kHottest;
  // First guess: Magnus form; Newton on the logarithm, kept inside the bracket.
  const double guess = std::log(vapour_pa / 611.2);
  double t = std::clamp(243.12 * guess / (17.62 - guess), low, high);
  for (int i = 0; i < 100; ++i) {
    const double miss = log_saturation(t) - wanted;
    (miss > 0 ? high : low) = t;
    double next = t - miss / log_saturation_slope(t);
    if (!(next > low && next < high)) next = (low + high) / 2;
    if (std::fabs(next - t) < 1e-11) return next;
    t = next;
  }
  return t;
}

double dew_point_c(const Air& air) {
  if (air.rh >= 1) return air.temp_c;
  return std::min(air.temp_c, saturation_temp_c(vapour_pressure_pa(air)));
}

double wet_bulb_c(const Air& air) {
  if (air.rh >= 1) return air.temp_c;
  const double wanted = humidity_ratio(air);
  const auto miss = [&](double wet) { return ratio_at_wet_bulb(air.temp_c, wet, air.pressure_pa) - wanted; };
  double low = std::max(kColdest, dew_point_c(air)), high = air.temp_c;
  // Where the ice and the water form of the balance meet they overlap by up to 1 K: a frozen and a wet bulb are both
  // right there. Halving until one form is left is what others do too, so that the same one is found.
  while (low < kTripleC && high >= kTripleC && high - low > 1e-10) {
    const double middle = (low + high) / 2;
    (miss(middle) > 0 ? high : low) = middle;
  }
  // False position with the Illinois rule (Dowell and Jarratt, BIT 11 (1971) 168): the bracket always holds.
  double at_low = miss(low), at_high = miss(high);
  if (at_low >= 0) return low;
  if (at_high <= 0) return high;
  int kept = 0;  // -1, 1: the low, high end stayed last time
  for (int i = 0; i < 100 && high - low > 1e-10; ++i) {
    double next = (low * at_high - high * at_low) / (at_high - at_low);
    if (!(next > low && next < high)) next = (low + high) / 2;
    const double here = miss(next);
    if (here == 0) return next;
    if (here > 0) {
      if (high - next < 1e-12) return next;
      high = next;
      at_high = here;
      if (kept == -1) at_low /= 2;
      kept = -1;
    } else {
      if (next - low < 1e-12) return next;
      low = next;
      at_low = here;
      if (kept == 1) at_high /= 2;
      kept = 1;
    }
  }
  return (low + high) / 2;
}

// ASHRAE Fundamentals 2017, ch. 1, eq. 30.
double enthalpy_j_kg(const Air& air) {
  return 1000 * (1.006 * air.temp_c + humidity_ratio(air) * (2501 + 1.86 * air.temp_c));
}

// ASHRAE Fundamentals 2017, ch. 1, eq. 26 and 9b.
double density_kg_m3(const Air& air) {
  const double w = humidity_ratio(air);
  return air.pressure_pa * (1 + w) / (287.042 * (air.temp_c + kZeroK) * (1 + 1.607858 * w));
}

// ASHRAE Fundamentals 2017, ch. 1, eq. 3 (-5000..11,000 m).
double pressure_at_altitude_pa(double altitude_m) {
  return 101325 * std::pow(1 - 2.25577e-5 * std::clamp(altitude_m, -5000.0, 11000.0), 5.2559);
}

double rh_from_vapour_pressure(double temp_c, double pv_pa) { return pv_pa / saturation_pressure_pa(temp_c); }

Result<Air> check_air(const Air& air) {
  if (!(air.temp_c >= -40 && air.temp_c <= 60))
    return tl::unexpected(wrong("the air temperature is " + std::to_string(air.temp_c) + " °C", "between -40 and 60 °C",
                                "check the unit: 70 °F is 21 C"));
  if (!(air.rh >= 0 && air.rh <= 1))
    return tl::unexpected(wrong("the relative humidity is " + std::to_string(air.rh * 100) + " %",
                                "between 0 and 100 %",
                                "write it as 50% or 0.5; check the meter when it reads above 100"));
  if (!(air.pressure_pa >= 50000 && air.pressure_pa <= 110000))
    return tl::unexpected(wrong("the air pressure is " + std::to_string(air.pressure_pa) + " Pa",
                                "between 50,000 and 110,000 Pa",
                                "write the pressure at the shop, not at sea level, as 101325 Pa or 1013 hPa"));
  if (!(air.speed_m_s >= 0 && air.speed_m_s <= 20))
    return tl::unexpected(wrong("the air speed past the work is " + std::to_string(air.speed_m_s) + " m/s",
                                "between 0 and 20 m/s", "still room air is about 0.1 m/s"));
  return air;
}

}  // namespace tackcloth::climate
