#include "job/air_reading.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "job/changes.h"
#include "units/time.h"

namespace tackcloth::job {

using nlohmann::json;

namespace {
// What can be at a bench: between frost and a heat nobody works in (common practice, no source).
constexpr double kColdest_c = -20, kHottest_c = 50;
constexpr Minutes kClockSlack{5};  // a telephone's clock may be a little ahead
}  // namespace

Result<AirReading> read_air_reading(std::string_view text, const std::string& stored_at) {
  const auto wrong = [](std::string what, std::string expected) {
    return tl::unexpected(Problem{"", 0, 0, std::move(what), std::move(expected), "read it again and send that"});
  };
  const json body = json::parse(text, nullptr, false);
  for (const auto& [name, value] : body.items())
    if (name != "reading" && name != "at" && name != "temp_c" && name != "rh")
      return wrong("unknown field '" + name + "' in a reading", "reading, at, temp_c, rh");
  AirReading read;
  if (!body.contains("reading") || !body["reading"].is_string() ||
      body["reading"].get_ref<const std::string&>().empty() ||
      body["reading"].get_ref<const std::string&>().size() > 100)
    return wrong("'reading' is missing or too long", "the id of a room of the shop");
  read.room = body["reading"].get<std::string>();
  if (!body.contains("at") || !body["at"].is_string())
    return wrong("'at' is missing", "local time such as 2026-03-04T17:30");
  const auto at = parse_instant(body["at"].get_ref<const std::string&>());
  if (!at) return tl::unexpected(at.error());
  const auto arrived = parse_instant(stored_at);
  if (arrived && *at > *arrived + kClockSlack)
    return wrong("the reading is from the future", "a time not after " + stored_at);
  read.at = to_iso(*at);
  const auto number = [&](const char* name) {
    return body.contains(name) && body[name].is_number() ? body[name].get<double>() : std::nan("");
  };
  read.temp_c = number("temp_c");
  read.rh = number("rh");
  if (!(read.temp_c >= kColdest_c && read.temp_c <= kHottest_c))
    return wrong("no bench has that temperature", "temp_c from -20 to 50");
  if (!(read.rh > 0 && read.rh <= 1)) return wrong("no air has that humidity", "rh above 0, up to 1");
  return read;
}

std::vector<AirReading> latest_readings(const std::vector<Change>& changes) {
  std::vector<AirReading> latest;
  for (const Change& change : changes) {
    if (!change.stands || !change.reading) continue;
    const auto same = std::find_if(latest.begin(), latest.end(),
                                   [&](const AirReading& one) { return one.room == change.reading->room; });
    if (same == latest.end())
      latest.push_back(*change.reading);
    else if (change.reading->at >= same->at)
      *same = *change.reading;
  }
  return latest;
}

}  // namespace tackcloth::job
