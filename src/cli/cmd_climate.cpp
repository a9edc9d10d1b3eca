#include <cmath>
#include <cstdio>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/command.h"
#include "climate/air.h"
#include "climate/coating_hours.h"
#include "climate/weather.h"
#include "climate/wood.h"
#include "units/quantity.h"

namespace tackcloth::cli {

namespace {

struct ClimateCommand {
  std::string temp, rh, pressure, altitude, surface, weather, start;
  int hours = 48;
  bool json = false;
};

Problem about(const char* option, Problem problem) {
  problem.what = std::string(option) + ": " + problem.what;
  return problem;
}

// Reads `text` into `value` when it is given; keeps the problem otherwise.
void take(const char* option, const std::string& text, Result<double> (*parse)(std::string_view), double& value,
          std::vector<Problem>& problems) {
  if (text.empty()) return;
  const auto read = parse(text);
  if (read)
    value = *read;
  else
    problems.push_back(about(option, read.error()));
}

nlohmann::ordered_json state_json(const climate::Air& air) {
  return {{"temp_c", air.temp_c},
          {"rh_percent", air.rh * 100},
          {"pressure_pa", air.pressure_pa},
          {"dew_point_c", climate::dew_point_c(air)},
          {"wet_bulb_c", climate::wet_bulb_c(air)},
          {"humidity_ratio", climate::humidity_ratio(air)},
          {"vapour_pressure_pa", climate::vapour_pressure_pa(air)},
          {"enthalpy_j_kg", climate::enthalpy_j_kg(air)},
          {"density_kg_m3", climate::density_kg_m3(air)},
          {"wood_moisture_percent", climate::wood_moisture_percent(air.temp_c, air.rh)}};
}

int run_state(const ClimateCommand& command) {
  std::vector<Problem> problems;
  climate::Air air;
  if (command.temp.empty() || command.rh.empty())
    problems.push_back({"", 0, 0, "--temp and --rh are both needed", "--temp 21C --rh 50%",
                        "or give --weather FILE for the hours fit for coating"});
  if (!command.pressure.empty() && !command.altitude.empty())
    problems.push_back({"", 0, 0, "--pressure and --altitude are both given", "one of them", "leave one out"});
  take("--temp", command.temp, units::parse_temperature_c, air.temp_c, problems);
  take("--rh", command.rh, units::parse_fraction, air.rh, problems);
  take("--pressure", command.pressure, units::parse_pressure_pa, air.pressure_pa, problems);
  double altitude_mm = 0;
  take("--altitude", command.altitude, units::parse_length_mm, altitude_mm, problems);
  if (!command.altitude.empty()) air.pressure_pa = climate::pressure_at_altitude_pa(altitude_mm / 1000);
  double surface_c = air.temp_c;
  take("--surface", command.surface, units::parse_temperature_c, surface_c, problems);
  if (problems.empty())
    if (const auto checked = climate::check_air(air); !checked) problems.push_back(checked.error());
  if (!problems.empty()) return report(problems);

  const double margin = surface_c - climate::dew_point_c(air);
  const bool wet = margin <= 0, frost = air.temp_c <= 0 || surface_c <= 0;
  const bool fit = climate::surface_above_dew_point(air, surface_c) && !frost;
  auto json = state_json(air);
  json["surface_temp_c"] = surface_c;
  json["surface_above_dew_point_k"] = margin;
  json["surface_fit_for_coating"] = fit;
  if (command.json) {
    std::cout << json.dump(2) << "\n";
    return fine;
  }
  std::printf("dew point       %6.1f °C\n", climate::dew_point_c(air));
  std::printf("wet bulb        %6.1f °C\n", climate::wet_bulb_c(air));
  std::printf("humidity ratio  %6.2f g/kg\n", climate::humidity_ratio(air) * 1000);
  std::printf("vapour pressure %6.0f Pa\n", climate::vapour_pressure_pa(air));
  std::printf("wood settles at %6.1f %% moisture\n", climate::wood_moisture_percent(air.temp_c, air.rh));
  std::printf("surface         %6.1f °C above the dew point: %s\n", margin,
              frost ? "frost, do not coat"
              : wet ? "it is wet, do not coat"
              : fit ? "dry enough to coat, if the product's own limits are kept"
                    : "too near, wait or warm the piece (3 °C needed)");
  return fine;
}

int run_weather(const ClimateCommand& command) {
  const bool csv = command.weather.ends_with(".csv") || command.weather.ends_with(".CSV");
  const auto weather = csv ? climate::read_forecast_csv(command.weather) : climate::read_epw(command.weather);
  if (!weather) return report({weather.error()});
  Instant start = weather->outdoors.first();
  if (!command.start.empty()) {
    const auto read = parse_instant(command.start);
    if (!read) return report({about("--start", read.error())});
    start = *read;
  } else if (weather->typical_year) {
    return report({{"", 0, 0, "--start is needed with a whole year of weather", "--start 2026-03-04T08:00",
                    "name the day you want to coat"}});
  }
  if (command.hours < 1 || command.hours > 8784)
    return report({{"", 0, 0, "--hours is " + std::to_string(command.hours), "between 1 and 8784", "48 is two days"}});
  const auto outdoors = climate::outdoors_between(*weather, start, command.hours - 1);
  if (!outdoors) return report({outdoors.error()});
  const auto hours = climate::coating_hours(*outdoors, {}, start, command.hours);
  if (command.json) {
    auto list = nlohmann::ordered_json::array();
    for (const auto& hour : hours) {
      auto one = state_json(outdoors->at(hour.when));
      one["time"] = to_iso(hour.when);
      one["surface_above_dew_point_k"] = hour.dew_margin_c;
      one["fit_for_coating"] = hour.fit;
      one["why_not"] = hour.why_not;
      list.push_back(std::move(one));
    }
    auto spells = nlohmann::ordered_json::array();
    for (const auto& spell : climate::coating_spells(hours))
      spells.push_back({{"from", to_iso(spell.from)}, {"to", to_iso(spell.to)}});
    std::cout << nlohmann::ordered_json{{"place", weather->place},
                                        {"missing_hours_filled", weather->missing_hours_filled},
                                        {"spells", spells},
                                        {"hours", list}}
                     .dump(2)
              << "\n";
    return fine;
  }
  std::cout << weather->place << ", outdoors";
  if (weather->missing_hours_filled > 0) std::cout << " (" << weather->missing_hours_filled << " missing hours filled)";
  std::cout << "\n";
  for (const auto& hour : hours) {
    const climate::Air air = outdoors->at(hour.when);
    std::printf("%s %6.1f °C %4.0f %%  %s\n", to_iso(hour.when).substr(0, 16).c_str(), air.temp_c, air.rh * 100,
                hour.fit ? "fit" : hour.why_not.c_str());
  }
  return fine;
}

}  // namespace

void add_climate(CLI::App& app, Context& context) {
  auto command = std::make_shared<ClimateCommand>();
  CLI::App* sub = app.add_subcommand("climate", "Dew point, wood moisture and hours fit for coating");
  sub->add_option("--temp", command->temp, "air temperature: 21.1C, 70F");
  sub->add_option("--rh", command->rh, "relative humidity: 50%");
  sub->add_option("--pressure", command->pressure, "air pressure: 101325Pa (the default), 1013hPa");
  sub->add_option("--altitude", command->altitude, "instead of the pressure: 1200m, 4000ft");
  sub->add_option("--surface", command->surface, "temperature of the piece, if not that of the air");
  sub->add_option("--weather", command->weather, "weather file (EPW or CSV): list the hours fit for coating outdoors");
  sub->add_option("--start", command->start, "first hour of the list: 2026-03-04T08:00");
  sub->add_option("--hours", command->hours, "how many hours to list");
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  sub->callback([command, &context] {
    context.exit_code = command->weather.empty() ? run_state(*command) : run_weather(*command);
  });
}

}  // namespace tackcloth::cli
