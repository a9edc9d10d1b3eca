// The air of every room of the shop over the days of the plan.
#pragma once

#include <map>
#include <optional>
#include <string>

#include "climate/weather.h"
#include "job/job.h"

namespace tackcloth::plan {

// Outdoors is told by days alone, and not beyond one before `finish`: from then on the last day is taken to go on.
std::optional<catalog::Finding> weather_goes_on(const job::Shop& shop, const std::optional<climate::Weather>& weather,
                                                Instant finish);

// By room id. A room that follows outdoors without a weather file is a Problem.
Result<std::map<std::string, climate::ClimateSeries>> shop_rooms(const job::Shop& shop,
                                                                 const std::optional<climate::Weather>& weather,
                                                                 Instant start, int days);

}  // namespace tackcloth::plan
