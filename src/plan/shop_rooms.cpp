#include "plan/shop_rooms.h"

#include <algorithm>

namespace tackcloth::plan {

std::optional<catalog::Finding> weather_goes_on(const job::Shop& shop, const std::optional<climate::Weather>& weather,
                                                Instant finish) {
  const bool follows =
      std::any_of(shop.rooms.begin(), shop.rooms.end(), [](const auto& room) { return !room.set_point; });
  if (!follows || !weather || weather->days.empty() || !weather->outdoors.is_constant()) return {};
  const auto last = weather->days.back().day;
  if (finish < last + std::chrono::days(1)) return {};
  return catalog::Finding{"weather-goes-on",
                          catalog::Severity::note,
                          "The weather is told up to " + to_iso(Instant(last)).substr(0, 10) +
                              "; from then on every day is taken to be like that one.",
                          "Tell the coming days as a forecast has them, again every few days.",
                          "common practice, no source",
                          "",
                          ""};
}

Result<std::map<std::string, climate::ClimateSeries>> shop_rooms(const job::Shop& shop,
                                                                 const std::optional<climate::Weather>& weather,
                                                                 Instant start, int days) {
  std::map<std::string, climate::ClimateSeries> rooms;
  for (const job::Room& room : shop.rooms) {
    if (room.set_point) {
      rooms.emplace(room.id, climate::ClimateSeries::constant(*room.set_point));
      continue;
    }
    if (!weather)
      return tl::unexpected(Problem{shop.weather_file, 0, 0,
                                    "room '" + room.id + "' follows outdoors, but no weather file was given",
                                    "an EPW file or a set-point",
                                    "tell the weather of the coming days, add weather_file to [shop], pass --weather "
                                    "FILE.epw, or give the room a "
                                    "set_point"});
    // Five time constants before the start, so that the room has forgotten where it began (e^-5 < 1 %).
    const int warm_up_h = static_cast<int>(5 * room.follow.time_constant_h) + 1;
    const Instant from = start - std::chrono::hours(warm_up_h);
    const int hours = warm_up_h + days * 24 + 24;
    auto outdoors = climate::outdoors_between(*weather, from, hours);
    if (!outdoors) return tl::unexpected(outdoors.error());
    rooms.emplace(room.id, climate::shop_air(*outdoors, room.follow, from, hours));
  }
  return rooms;
}

}  // namespace tackcloth::plan
