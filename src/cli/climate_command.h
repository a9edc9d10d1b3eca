// What `tackcloth climate` was asked, and the questions it answers.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "cli/command.h"
#include "climate/air.h"

namespace tackcloth::cli {

struct ClimateCommand {
  std::string temp, rh, pressure, altitude, surface;       // the air now
  std::string species, width, from_rh, from_temp;          // a board in it
  std::string readings;                                    // a logger's file
  std::string weather, start;                              // hours fit for coating
  std::string time_constant, gain, heated, cooled, dried;  // the shop
  std::string product, surface_lag;
  int hours = 48;
  bool shop = false, json = false, csv = false;
};

nlohmann::ordered_json state_json(const climate::Air& air);

int run_climate_hours(const ClimateCommand& command, const Context& context);
int run_climate_readings(const ClimateCommand& command);

}  // namespace tackcloth::cli
