#include <cmath>
#include <cstdio>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "cli/arguments.h"
#include "cli/climate_command.h"
#include "climate/coating_hours.h"
#include "climate/real_air.h"
#include "climate/wood.h"
#include "units/quantity.h"

namespace tackcloth::cli {

nlohmann::ordered_json state_json(const climate::Air& air) {
  return {{"temp_c", air.temp_c},
          {"rh_percent", air.rh * 100},
          {"pressure_pa", air.pressure_pa},
          {"dew_point_c", climate::dew_point_c(air)},
          {"wet_bulb_c", climate::wet_bulb_c(air)},
          {"humidity_ratio", climate::humidity_ratio(air)},
          {"humidity_ratio_real", climate::real_humidity_ratio(air)},
          {"vapour_pressure_pa", climate::vapour_pressure_pa(air)},
          {"enthalpy_j_kg", climate::enthalpy_j_kg(air)},
          {"density_kg_m3", climate::density_kg_m3(air)},
          {"wood_moisture_percent", climate::wood_moisture_percent(air.temp_c, air.rh)}};
}

namespace {

// Furniture wood is dried to about this for heated rooms: Wood Handbook, ch. 13, recommended moisture content for
// interior use in most of the USA (from memory).
constexpr double kKilnDriedPercent = 8;

struct Board {
  const catalog::Species* species = nullptr;
  double width_mm = 0, from_percent = kKilnDriedPercent, to_percent = 0;

  double radial_mm() const {
    return climate::movement_mm(width_mm, species->radial_per_percent, from_percent, to_percent);
  }
  double tangential_mm() const {
    return climate::movement_mm(width_mm, species->tangential_per_percent, from_percent, to_percent);
  }
};

std::vector<Problem> read_board(const ClimateCommand& command, const climate::Air& air, const catalog::Catalog& catalog,
                                Board& board) {
  std::vector<Problem> problems;
  board.species = find_species(catalog, command.species);
  if (!board.species) problems.push_back(no_such_species(catalog, command.species));
  if (command.width.empty())
    problems.push_back({"", 0, 0, "--species is given without --width", "--width 300mm", "the width across the grain"});
  take("--width", command.width, units::parse_length_mm, board.width_mm, problems);
  if (problems.empty() && !(board.width_mm > 0 && board.width_mm <= 10000))
    problems.push_back({"", 0, 0, "--width is " + command.width, "more than 0 and at most 10 m",
                        "the width across the grain: 300mm, 11 3/4 in"});
  climate::Air before = air;
  take("--from-rh", command.from_rh, units::parse_fraction, before.rh, problems);
  take("--from-temp", command.from_temp, units::parse_temperature_c, before.temp_c, problems);
  if (const auto checked = climate::check_air(before); !checked) problems.push_back(about("--from", checked.error()));
  if (!command.from_rh.empty()) board.from_percent = climate::wood_moisture_percent(before.temp_c, before.rh);
  board.to_percent = climate::wood_moisture_percent(air.temp_c, air.rh);
  return problems;
}

void print_board(const Board& board) {
  std::printf("%-15s %.0f mm wide, from %.1f to %.1f %% moisture:\n", board.species->name.c_str(), board.width_mm,
              board.from_percent, board.to_percent);
  std::printf("  quarter-sawn  %+6.2f mm\n  flat-sawn     %+6.2f mm\n", board.radial_mm(), board.tangential_mm());
  if (!climate::coefficients_hold(board.from_percent, board.to_percent))
    std::printf("  outside 6 to 14 %% moisture the coefficients are rough: leave more room\n");
}

int run_state(const ClimateCommand& command, const Context& context) {
  std::vector<Problem> problems;
  climate::Air air;
  if (command.temp.empty() || command.rh.empty())
    problems.push_back({"", 0, 0, "--temp and --rh are both needed", "--temp 21C --rh 50%",
                        "or give --weather FILE for the hours fit for coating, --readings FILE.csv for a log"});
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
  Board board;
  const bool wood = !command.species.empty() || !command.width.empty();
  const auto catalog = wood ? catalog::load_catalog(context.catalog_dir) : Results<catalog::Catalog>{};
  if (!catalog) return report(catalog.error());
  if (wood && problems.empty()) problems = read_board(command, air, *catalog, board);
  if (!problems.empty()) return report(problems);

  const double margin = surface_c - climate::dew_point_c(air);
  const bool wet = margin <= 0, frost = air.temp_c <= 0 || surface_c <= 0;
  const bool fit = climate::surface_above_dew_point(air, surface_c) && !frost;
  if (command.json) {
    auto json = state_json(air);
    json["surface_temp_c"] = surface_c;
    json["surface_above_dew_point_k"] = margin;
    json["surface_fit_for_coating"] = fit;
    if (wood)
      json["movement"] = {{"species", board.species->id},
                          {"width_mm", board.width_mm},
                          {"from_moisture_percent", board.from_percent},
                          {"to_moisture_percent", board.to_percent},
                          {"radial_mm", board.radial_mm()},
                          {"tangential_mm", board.tangential_mm()},
                          {"coefficients_hold", climate::coefficients_hold(board.from_percent, board.to_percent)}};
    std::cout << json.dump(2) << "\n";
    return fine;
  }
  std::printf("dew point       %6.1f °C\n", climate::dew_point_c(air));
  std::printf("wet bulb        %6.1f °C\n", climate::wet_bulb_c(air));
  std::printf("humidity ratio  %6.2f g/kg (as a real gas %.2f)\n", climate::humidity_ratio(air) * 1000,
              climate::real_humidity_ratio(air) * 1000);
  std::printf("vapour pressure %6.0f Pa\n", climate::vapour_pressure_pa(air));
  std::printf("wood settles at %6.1f %% moisture\n", climate::wood_moisture_percent(air.temp_c, air.rh));
  std::printf("surface         %6.1f °C above the dew point: %s\n", margin,
              frost ? "frost, do not coat"
              : wet ? "it is wet, do not coat"
              : fit ? "dry enough to coat, if the product's own limits are kept"
                    : "too near, wait or warm the piece (3 °C needed)");
  if (wood) print_board(board);
  return fine;
}

int run(const ClimateCommand& command, const Context& context) {
  if (!command.weather.empty()) return run_climate_hours(command, context);
  if (!command.readings.empty()) return run_climate_readings(command);
  return run_state(command, context);
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
  sub->add_option("--species", command->species, "wood of a board: how it moves across the grain in this air");
  sub->add_option("--width", command->width, "of the board, across the grain: 300mm, 11 3/4 in");
  sub->add_option("--from-rh", command->from_rh, "humidity the board comes from; 8 % moisture if left out");
  sub->add_option("--from-temp", command->from_temp, "temperature it comes from, if not --temp");
  sub->add_option("--readings", command->readings,
                  "CSV of a shop logger (temp_c, rh_percent; if wanted time, pressure_pa): every row worked out; "
                  "with --weather: learn the room from it (needs time)");
  sub->add_option("--weather", command->weather, "weather file (EPW or CSV): list the hours fit for coating");
  sub->add_option("--start", command->start, "first hour of the list: 2026-03-04T08:00");
  sub->add_option("--hours", command->hours, "how many hours to list");
  sub->add_option("--product", command->product, "keep this product's limits");
  sub->add_flag("--shop", command->shop, "in an unheated shop, not outdoors; any of the next five says so too");
  sub->add_option("--time-constant", command->time_constant, "how slowly the shop follows outdoors: 12h");
  sub->add_option("--gain", command->gain, "how much warmer than outdoors it is on average: 2C");
  sub->add_option("--heated-to", command->heated, "never colder than this: 16C");
  sub->add_option("--cooled-to", command->cooled, "never warmer than this: 26C");
  sub->add_option("--dried-to", command->dried, "never damper than this: 55%");
  sub->add_option("--surface-lag", command->surface_lag, "how slowly the piece follows the air: 1h");
  sub->add_flag("--json", command->json, "one JSON object instead of text");
  sub->add_flag("--csv", command->csv, "with --readings: CSV instead of text");
  sub->callback([command, &context] { context.exit_code = run(*command, context); });
}

}  // namespace tackcloth::cli
