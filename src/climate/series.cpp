#include "climate/series.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace tackcloth::climate {

ClimateSeries::ClimateSeries(Instant first, std::vector<Air> states) : first_(first), states_(std::move(states)) {
  assert(!states_.empty());
  vapour_pa_.reserve(states_.size());
  for (const Air& air : states_) vapour_pa_.push_back(vapour_pressure_pa(air));
}

ClimateSeries ClimateSeries::constant(const Air& air) { return ClimateSeries(Instant{}, {air}); }

ClimateSeries ClimateSeries::hourly(Instant first, std::vector<Air> hourly) {
  return ClimateSeries(first, std::move(hourly));
}

Air ClimateSeries::at(Instant when) const { return at(when, 0); }

Air ClimateSeries::at(Instant start, double hours) const {
  if (is_constant()) return states_.front();
  const double place = hours_between(first_, start) + hours;
  if (!(place > 0)) return states_.front();
  if (place >= double(states_.size() - 1)) return states_.back();
  const double whole = std::floor(place);
  const auto i = static_cast<std::size_t>(whole);
  const double part = place - whole;
  if (part == 0) return states_[i];
  const Air &a = states_[i], &b = states_[i + 1];
  Air air;
  air.temp_c = std::lerp(a.temp_c, b.temp_c, part);
  air.pressure_pa = std::lerp(a.pressure_pa, b.pressure_pa, part);
  air.speed_m_s = std::lerp(a.speed_m_s, b.speed_m_s, part);
  // Saturation curves upwards: mixing two damp hours can pass saturation by a hair.
  const double ceiling = std::max({1.0, a.rh, b.rh});
  air.rh = std::min(ceiling, rh_from_vapour_pressure(air.temp_c, std::lerp(vapour_pa_[i], vapour_pa_[i + 1], part)));
  return air;
}

}  // namespace tackcloth::climate
