// How the shop follows outdoors: first-order lag on temperature, the outdoor moisture carried in, optional heating
// and drying to a set-point.
#pragma once

#include <optional>
#include <vector>

#include "climate/series.h"
#include "units/result.h"

namespace tackcloth::climate {

struct RoomModel {
  double time_constant_h = 12.0;      // how slowly the room follows outdoors
  double gain_c = 0.0;                // how much warmer it sits on average (sun, people, house wall)
  std::optional<double> heated_to_c;  // never colder than this
  std::optional<double> cooled_to_c;  // never warmer than this
  std::optional<double> dried_to_rh;  // never damper than this (a dehumidifier)
  double air_speed_m_s = 0.1;
};

// Hourly shop air from hourly outdoor air. Moisture ratio follows outdoors with the same lag; rh is capped at 1 (the
// rest condenses).
ClimateSeries shop_air(const ClimateSeries& outdoors, const RoomModel& room, Instant start, int hours);

struct Reading {
  Instant when;
  double temp_c;
};
// Time constant and gain that fit a few logged readings best (least squares). Needs at least three readings.
Result<RoomModel> learn_room(const ClimateSeries& outdoors, const std::vector<Reading>& readings, RoomModel prior);

// The same, and how well it fits.
struct RoomFit {
  RoomModel room;
  double rms_c = 0;  // root mean square miss of the readings used
  double worst_c = 0;
  Instant worst_at;
  int used = 0;
  int left_out = 0;         // taken while the heater or cooler held its set-point: they tell nothing
  bool lag_learned = true;  // false: the weather was too even, the time constant is the prior's
  // Time constants the readings cannot tell from the best one: 95 %, profile likelihood with a thermometer that errs
  // by at least 0.3 °C (common practice, no source). They end at 0.1 and 240 h, where the search ends.
  double time_constant_low_h = 0, time_constant_high_h = 0;
};
Result<RoomFit> fit_room(const ClimateSeries& outdoors, const std::vector<Reading>& readings, RoomModel prior);

}  // namespace tackcloth::climate
