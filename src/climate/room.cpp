#include "climate/room.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::climate {

namespace {

struct Inside {
  double temp_c;  // without the gain
  double humidity_ratio;
};

// One step of x' = (u - x)/tau with u going linearly from u0 to u1: the exact solution.
double follow(double x, double u0, double u1, double step_h, double tau_h) {
  if (tau_h < 1e-6) return u1;
  const double slope = (u1 - u0) / step_h, fade = std::exp(-step_h / tau_h);
  return u1 - slope * tau_h + (x - u0 + slope * tau_h) * fade;
}

// Averages of the first day outdoors stand for the days before the record begins.
Inside settled(const ClimateSeries& outdoors, Instant from) {
  Inside mean{0, 0};
  constexpr int kHours = 24;
  for (int i = 0; i < kHours; ++i) {
    const Air air = outdoors.at(from, i);
    mean.temp_c += air.temp_c / kHours;
    mean.humidity_ratio += humidity_ratio(air) / kHours;
  }
  return mean;
}

int run_in_hours(const ClimateSeries& outdoors, Instant start, double tau_h) {
  if (outdoors.is_constant()) return 0;
  const double recorded = hours_between(outdoors.first(), start);
  return std::max(0, static_cast<int>(std::floor(std::min(recorded, std::ceil(6 * tau_h)))));
}

Air bounded(const RoomModel& room, Inside& inside, double pressure_pa) {
  Air air;
  air.pressure_pa = pressure_pa;
  air.speed_m_s = room.air_speed_m_s;
  air.temp_c = inside.temp_c + room.gain_c;
  if (room.cooled_to_c) air.temp_c = std::min(air.temp_c, *room.cooled_to_c);
  if (room.heated_to_c) air.temp_c = std::max(air.temp_c, *room.heated_to_c);
  inside.temp_c = air.temp_c - room.gain_c;
  Air dampest = air;
  dampest.rh = room.dried_to_rh ? std::clamp(*room.dried_to_rh, 0.0, 1.0) : 1.0;
  const double most = humidity_ratio(dampest);
  if (inside.humidity_ratio >= most) {
    inside.humidity_ratio = most;
    air.rh = dampest.rh;
  } else {
    const double vapour = inside.humidity_ratio * pressure_pa / (0.621945 + inside.humidity_ratio);
    air.rh = std::min(dampest.rh, rh_from_vapour_pressure(air.temp_c, vapour));
  }
  return air;
}

// Steps the room from `inside` over one stretch of outdoor air.
void advance(Inside& inside, const Air& before, const Air& now, double step_h, double tau_h) {
  inside.temp_c = follow(inside.temp_c, before.temp_c, now.temp_c, step_h, tau_h);
  inside.humidity_ratio =
      std::max(0.0, follow(inside.humidity_ratio, humidity_ratio(before), humidity_ratio(now), step_h, tau_h));
}

}  // namespace

ClimateSeries shop_air(const ClimateSeries& outdoors, const RoomModel& room, Instant start, int hours) {
  const double tau = std::max(0.0, room.time_constant_h);
  const int lead = run_in_hours(outdoors, start, tau);
  const Instant from = start - Minutes(60 * lead);
  Inside inside = settled(outdoors, from);
  Air before = outdoors.at(from);
  if (tau < 1e-6) inside = {before.temp_c, humidity_ratio(before)};
  std::vector<Air> states;
  states.reserve(static_cast<std::size_t>(std::max(0, hours)) + 1);
  Air shop = bounded(room, inside, before.pressure_pa);
  if (lead == 0) states.push_back(shop);
  for (int i = 1; i <= lead + std::max(0, hours); ++i) {
    const Air now = outdoors.at(from, i);
    advance(inside, before, now, 1, tau);
    shop = bounded(room, inside, now.pressure_pa);
    if (i >= lead) states.push_back(shop);
    before = now;
  }
  return ClimateSeries::hourly(start, std::move(states));
}

}  // namespace tackcloth::climate
