// A thermometer and a hygrometer as they were read in a room of the shop, stored among the changes. It touches nothing
// of the job: the page shows it on every device, beside the air the plan reckons with.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "units/result.h"

namespace tackcloth::job {

struct Change;

struct AirReading {
  std::string room;
  std::string at;  // ISO 8601, the shop's clock
  double temp_c = 0;
  double rh = 0;  // above 0, up to 1
};

// From {"reading": ROOM, "at": HOUR, "temp_c": 18.5, "rh": 0.52}; `text` has been read as an object. `stored_at` is
// when it arrived: what is read later than that is refused, or it would be the newest for ever.
Result<AirReading> read_air_reading(std::string_view text, const std::string& stored_at);

// Of each room the newest that stands, by the hour it was read at; of two in one minute the one stored later.
std::vector<AirReading> latest_readings(const std::vector<Change>& changes);

}  // namespace tackcloth::job
