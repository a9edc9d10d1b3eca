// Which hours are fit for laying a coat.
#pragma once

#include <string>
#include <vector>

#include "climate/series.h"

namespace tackcloth::climate {

struct CoatingLimits {
  double min_temp_c = 10, max_temp_c = 32;  // of the air, from the product
  double max_rh = 0.85;                     // ISO 8502-4 custom; the product may be stricter
  double dew_margin_c = 3.0;                // surface above dew point (ISO 8502-4 custom)
  double surface_lag_h = 1.0;  // how slowly a piece follows the air; on a warming morning it is colder than the air
};

struct CoatingHour {
  Instant when;
  bool fit = false;
  std::string why_not;      // empty when fit
  double dew_margin_c = 0;  // surface temperature less dew point
};

// One entry an hour from `start`, `hours` of them. Frost (air or surface at 0 °C or below) and saturated air are never
// fit, whatever the limits say.
std::vector<CoatingHour> coating_hours(const ClimateSeries& air, const CoatingLimits& limits, Instant start, int hours);

// Unbroken runs of fit hours of at least `at_least_h`.
struct Spell {
  Instant from, to;  // `to` is the end of the last fit hour
};
std::vector<Spell> coating_spells(const std::vector<CoatingHour>& hours, int at_least_h = 1);

}  // namespace tackcloth::climate
