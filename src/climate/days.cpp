#include "climate/days.h"

#include <algorithm>
#include <array>

namespace tackcloth::climate {
namespace {

// How far below the day's high it is, as a share of the daily range, at 1:00 to 24:00: ASHRAE Handbook, Fundamentals
// (2021), chapter 14, table 6.
constexpr std::array<double, 24> kBelowHigh = {0.88, 0.92, 0.95, 0.98, 1.00, 0.98, 0.91, 0.74, 0.55, 0.38, 0.23, 0.13,
                                               0.05, 0.00, 0.00, 0.06, 0.14, 0.24, 0.39, 0.50, 0.59, 0.68, 0.75, 0.82};
constexpr double kLowHour = 5, kHighHour = 15;  // of the table

double below_high(double hour) {
  const auto at = [](int h) { return kBelowHigh[static_cast<std::size_t>((h + 23) % 24)]; };
  const int before = static_cast<int>(hour);
  const double share = hour - before;
  return at(before) * (1 - share) + at(before + 1) * share;
}

const OutdoorDay& like(const std::vector<OutdoorDay>& days, std::chrono::local_days day) {
  const auto after = std::upper_bound(days.begin(), days.end(), day,
                                      [](auto asked, const OutdoorDay& one) { return asked < one.day; });
  return after == days.begin() ? days.front() : *std::prev(after);
}

}  // namespace

bool is_told(const std::vector<OutdoorDay>& days, Instant when) {
  return !days.empty() &&
         like(days, std::chrono::floor<std::chrono::days>(when)).day == std::chrono::floor<std::chrono::days>(when);
}

Air air_of_days(const std::vector<OutdoorDay>& days, Instant when) {
  const auto day = std::chrono::floor<std::chrono::days>(when);
  const double hour = hours_between(day, when);
  const OutdoorDay& now = like(days, day);
  double low = now.low_c, high = now.high_c;
  if (hour < kLowHour) high = like(days, day - std::chrono::days(1)).high_c;
  if (hour > kHighHour) low = like(days, day + std::chrono::days(1)).low_c;
  Air air;
  air.temp_c = high - below_high(hour) * (high - low);
  const double vapour_pa = now.rh * saturation_pressure_pa((now.low_c + now.high_c) / 2);
  air.rh = std::clamp(rh_from_vapour_pressure(air.temp_c, vapour_pa), 0.0, 1.0);
  return air;
}

}  // namespace tackcloth::climate
