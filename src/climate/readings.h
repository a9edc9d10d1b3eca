// What a thermometer and hygrometer in the shop logged, as CSV.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "climate/air.h"
#include "climate/room.h"
#include "units/result.h"
#include "units/time.h"

namespace tackcloth::climate {

struct LoggedAir {
  int line = 0;  // in the file, for messages
  std::optional<Instant> when;
  Air air;
  bool has_rh = true;  // false: the meter logged only the temperature, and air.rh means nothing
};

// Columns in any order: temp_c; rh_percent unless only the temperature is wanted; optional time (ISO 8601 local) and
// pressure_pa. Where the pressure is missing `usual_pressure_pa` stands in. Humidity over 100 % is refused with its
// line: a meter that reads so has drifted.
Result<std::vector<LoggedAir>> read_readings_csv(const std::string& path, bool humidity_needed,
                                                 double usual_pressure_pa = 101325);

// The readings a room can be learned from. Every row needs a time.
Result<std::vector<Reading>> shop_readings(const std::string& path, const std::vector<LoggedAir>& logged);

}  // namespace tackcloth::climate
