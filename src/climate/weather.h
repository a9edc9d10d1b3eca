// Weather files: EPW (the open EnergyPlus weather format) and forecast CSV.
#pragma once

#include <string>
#include <vector>

#include "climate/days.h"
#include "climate/series.h"
#include "units/result.h"

namespace tackcloth::climate {

struct Weather {
  std::string place;
  double latitude_deg = 0, longitude_deg = 0, altitude_m = 0;
  bool typical_year = false;  // true: any date maps onto the same month, day and hour
  ClimateSeries outdoors = ClimateSeries::constant({});
  // What is told of single days goes before the file; where there is no file (`outdoors` is constant), the last of
  // them goes on.
  std::vector<OutdoorDay> days;
  int missing_hours_filled = 0;  // gaps of at most 6 h are filled linearly; longer gaps are a Problem
};

Result<Weather> read_epw(const std::string& path);
// Columns: time (ISO 8601 local), temp_c, rh_percent; optional pressure_pa, wind_m_s. Header row required.
Result<Weather> read_forecast_csv(const std::string& path);
// `hours` of outdoor air from `start`; a typical year is laid over the asked dates (29 February repeats the 28th).
// A forecast that ends early is a Problem, unless days are told there.
Result<ClimateSeries> outdoors_between(const Weather& weather, Instant start, int hours);

}  // namespace tackcloth::climate
