#include "climate/readings.h"

#include <tuple>

#include "climate/csv_table.h"

namespace tackcloth::climate {

Result<std::vector<LoggedAir>> read_readings_csv(const std::string& path, bool humidity_needed,
                                                 double usual_pressure_pa) {
  const auto table = read_csv_table(
      path, false,
      {{"temp_c", true, -40, 60, "in °C; check the unit of the logger: 70 °F is 21.1"},
       {"rh_percent", humidity_needed, 0, 100, "a meter that reads over 100 has drifted: have it checked with salt"},
       {"pressure_pa", false, 50000, 110000, "the pressure at the shop, not at sea level, in Pa: 101325"}});
  if (!table) return tl::unexpected(table.error());
  std::vector<LoggedAir> logged;
  logged.reserve(table->rows.size());
  for (const CsvRow& row : table->rows) {
    const auto& [temp_c, rh_percent, pressure_pa] = std::tie(row.values[0], row.values[1], row.values[2]);
    if (!temp_c || (humidity_needed && !rh_percent))
      return tl::unexpected(Problem{path, row.line, 0, temp_c ? "rh_percent is empty" : "temp_c is empty",
                                    "a temperature and a humidity in every row", "fill it in or take the row out"});
    LoggedAir one;
    one.line = row.line;
    one.when = row.when;
    one.air.temp_c = *temp_c;
    one.has_rh = rh_percent.has_value();
    if (rh_percent) one.air.rh = *rh_percent / 100;
    one.air.pressure_pa = pressure_pa.value_or(usual_pressure_pa);
    logged.push_back(one);
  }
  return logged;
}

Result<std::vector<Reading>> shop_readings(const std::string& path, const std::vector<LoggedAir>& logged) {
  std::vector<Reading> readings;
  readings.reserve(logged.size());
  for (const LoggedAir& one : logged) {
    if (!one.when)
      return tl::unexpected(Problem{path, 1, 0, "the column 'time' is missing",
                                    "the time of every reading, to lay it beside the weather",
                                    "add a time column: 2026-03-04T08:00"});
    readings.push_back({*one.when, one.air.temp_c});
  }
  return readings;
}

}  // namespace tackcloth::climate
