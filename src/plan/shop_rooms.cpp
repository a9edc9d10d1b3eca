#include "plan/shop_rooms.h"

namespace tackcloth::plan {

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
      return tl::unexpected(
          Problem{shop.weather_file, 0, 0, "room '" + room.id + "' follows outdoors, but no weather file was given",
                  "an EPW file or a set-point",
                  "add weather_file to [shop], pass --weather FILE.epw, or give the room a set_point"});
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
