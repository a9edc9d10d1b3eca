#include "climate/coating_hours.h"

#include <cmath>
#include <cstdio>

namespace tackcloth::climate {

namespace {

std::string say(const char* form, double a, double b) {
  char text[120];
  std::snprintf(text, sizeof text, form, a, b);
  return text;
}

std::string trouble(const Air& air, double surface_c, double margin, const CoatingLimits& limits) {
  if (air.temp_c <= 0 || surface_c <= 0) return "frost: air or surface at 0 °C or below";
  if (air.rh >= 1) return "saturated air: the surface is wet";
  if (margin <= 0) return say("the surface is wet: %.1f °C, dew point %.1f °C", surface_c, surface_c - margin);
  if (air.temp_c < limits.min_temp_c)
    return say("too cold: %.1f °C, at least %.0f °C needed", air.temp_c, limits.min_temp_c);
  if (air.temp_c > limits.max_temp_c) return say("too hot: %.1f °C, at most %.0f °C", air.temp_c, limits.max_temp_c);
  if (air.rh > limits.max_rh) return say("too damp: %.0f %%, at most %.0f %%", air.rh * 100, limits.max_rh * 100);
  if (margin < limits.dew_margin_c)
    return say("surface only %.1f °C above the dew point, %.1f °C needed", margin, limits.dew_margin_c);
  return {};
}

}  // namespace

std::vector<CoatingHour> coating_hours(const ClimateSeries& air, const CoatingLimits& limits, Instant start,
                                       int hours) {
  std::vector<CoatingHour> out;
  const double lag = std::max(1e-6, limits.surface_lag_h);
  // The piece has stood in the shop: start half a day back so that it has found its temperature.
  constexpr int kBefore = 12;
  double surface = air.at(start, -kBefore).temp_c;
  for (int i = -kBefore; i < hours; ++i) {
    const Air now = air.at(start, i);
    if (i > -kBefore) {
      const double last = air.at(start, i - 1).temp_c, slope = now.temp_c - last;
      surface = now.temp_c - slope * lag + (surface - last + slope * lag) * std::exp(-1 / lag);
    }
    if (i < 0) continue;
    CoatingHour hour;
    hour.when = start + Minutes(60 * i);
    hour.dew_margin_c = surface - dew_point_c(now);
    hour.why_not = trouble(now, surface, hour.dew_margin_c, limits);
    hour.fit = hour.why_not.empty();
    out.push_back(std::move(hour));
  }
  return out;
}

std::vector<Spell> coating_spells(const std::vector<CoatingHour>& hours, int at_least_h) {
  std::vector<Spell> spells;
  for (std::size_t i = 0; i < hours.size();) {
    if (!hours[i].fit) {
      ++i;
      continue;
    }
    std::size_t end = i;
    while (end < hours.size() && hours[end].fit) ++end;
    if (static_cast<int>(end - i) >= at_least_h) spells.push_back({hours[i].when, hours[end - 1].when + Minutes(60)});
    i = end;
  }
  return spells;
}

}  // namespace tackcloth::climate
