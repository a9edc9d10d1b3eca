// `tackcloth climate --readings FILE.csv`: every row of a logger worked out.
#include <cstdio>
#include <iostream>
#include <nlohmann/json.hpp>

#include "cli/arguments.h"
#include "cli/climate_command.h"
#include "climate/readings.h"
#include "climate/wood.h"
#include "units/quantity.h"

namespace tackcloth::cli {

namespace {

void print_json(const std::vector<climate::LoggedAir>& logged) {
  auto rows = nlohmann::ordered_json::array();
  for (const auto& one : logged) {
    auto row = state_json(one.air);
    if (one.when) row["time"] = to_iso(*one.when);
    row["line"] = one.line;
    rows.push_back(std::move(row));
  }
  std::cout << nlohmann::ordered_json{{"readings", std::move(rows)}}.dump(2) << "\n";
}

void print_csv(const std::vector<climate::LoggedAir>& logged) {
  const bool timed = logged.front().when.has_value();
  std::printf(
      "%stemp_c,rh_percent,pressure_pa,dew_point_c,wet_bulb_c,humidity_ratio,vapour_pressure_pa,enthalpy_j_kg,"
      "density_kg_m3,wood_moisture_percent\n",
      timed ? "time," : "");
  for (const auto& [line, when, air, has_rh] : logged)
    std::printf("%s%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g\n",
                when ? (to_iso(*when) + ",").c_str() : "", air.temp_c, air.rh * 100, air.pressure_pa,
                climate::dew_point_c(air), climate::wet_bulb_c(air), climate::humidity_ratio(air),
                climate::vapour_pressure_pa(air), climate::enthalpy_j_kg(air), climate::density_kg_m3(air),
                climate::wood_moisture_percent(air.temp_c, air.rh));
}

void print_text(const std::vector<climate::LoggedAir>& logged) {
  std::printf("%-17s %8s %6s %10s %9s %8s %9s %6s\n", logged.front().when ? "time" : "line", "air °C", "rh %",
              "dew point", "wet bulb", "g/kg", "vapour Pa", "wood %");
  for (const auto& [line, when, air, has_rh] : logged)
    std::printf("%-17s %7.1f %6.0f %10.1f %9.1f %8.2f %9.0f %6.1f\n",
                when ? to_iso(*when).substr(0, 16).c_str() : std::to_string(line).c_str(), air.temp_c, air.rh * 100,
                climate::dew_point_c(air), climate::wet_bulb_c(air), climate::humidity_ratio(air) * 1000,
                climate::vapour_pressure_pa(air), climate::wood_moisture_percent(air.temp_c, air.rh));
}

}  // namespace

int run_climate_readings(const ClimateCommand& command) {
  std::vector<Problem> problems;
  double pressure_pa = climate::Air{}.pressure_pa, altitude_mm = 0;
  take("--pressure", command.pressure, units::parse_pressure_pa, pressure_pa, problems);
  take("--altitude", command.altitude, units::parse_length_mm, altitude_mm, problems);
  if (!command.altitude.empty()) pressure_pa = climate::pressure_at_altitude_pa(altitude_mm / 1000);
  if (problems.empty())
    if (const auto checked = climate::check_air({20, 0.5, pressure_pa, 0.1}); !checked)
      problems.push_back(checked.error());
  if (!problems.empty()) return report(problems);
  const auto logged = climate::read_readings_csv(command.readings, true, pressure_pa);
  if (!logged) return report({logged.error()});
  if (command.json)
    print_json(*logged);
  else if (command.csv)
    print_csv(*logged);
  else
    print_text(*logged);
  return fine;
}

}  // namespace tackcloth::cli
