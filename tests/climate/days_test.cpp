// Outdoor air from whole days, against the table it rests on and against a weather year hour by hour.
#include "climate/days.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "climate/weather.h"

namespace tackcloth::climate {
namespace {

Instant at(const std::string& text) { return *parse_instant(text); }
OutdoorDay day(const std::string& text, double low, double high, double rh) {
  return {std::chrono::floor<std::chrono::days>(at(text)), low, high, rh};
}

// ASHRAE Handbook, Fundamentals (2021), chapter 14, table 6: 38 % of the range below the high at 10:00, 50 % at 20:00.
TEST(OutdoorDays, RunAsTheHandbookHasIt) {
  const std::vector<OutdoorDay> days = {day("2026-11-27", 2, 12, 0.7), day("2026-11-28", 2, 12, 0.7)};
  EXPECT_NEAR(air_of_days(days, at("2026-11-27T05:00")).temp_c, 2, 1e-12);
  EXPECT_NEAR(air_of_days(days, at("2026-11-27T10:00")).temp_c, 12 - 0.38 * 10, 1e-12);
  EXPECT_NEAR(air_of_days(days, at("2026-11-27T14:30")).temp_c, 12, 1e-12);
  EXPECT_NEAR(air_of_days(days, at("2026-11-27T20:00")).temp_c, 7, 1e-12);
  EXPECT_NEAR(air_of_days(days, at("2026-11-28T00:00")).temp_c, 12 - 0.82 * 10, 1e-12);
}

TEST(OutdoorDays, NightIsDamperThanNoonAndTheVapourIsThatOfTheDay) {
  const std::vector<OutdoorDay> days = {day("2026-11-27", 2, 12, 0.7)};
  const Air night = air_of_days(days, at("2026-11-27T05:00")), noon = air_of_days(days, at("2026-11-27T14:00"));
  EXPECT_GT(night.rh, 0.9);
  EXPECT_LT(noon.rh, 0.55);
  EXPECT_NEAR(vapour_pressure_pa(noon), 0.7 * saturation_pressure_pa(7), 1e-6);
  const std::vector<OutdoorDay> fog = {day("2026-11-27", 2, 12, 1)};
  EXPECT_EQ(air_of_days(fog, at("2026-11-27T05:00")).rh, 1);  // the rest is dew
}

TEST(OutdoorDays, GoOnWhereNothingIsToldAndGoBeforeAFile) {
  const std::vector<OutdoorDay> days = {day("2026-11-27", 2, 12, 0.7), day("2026-11-30", -5, 1, 0.9)};
  EXPECT_TRUE(is_told(days, at("2026-11-30T23:00")));
  EXPECT_FALSE(is_told(days, at("2026-11-28T10:00")));
  EXPECT_NEAR(air_of_days(days, at("2026-11-20T14:00")).temp_c, 12, 1e-12);
  EXPECT_NEAR(air_of_days(days, at("2026-11-28T14:00")).temp_c, 12, 1e-12);
  EXPECT_NEAR(air_of_days(days, at("2027-03-01T14:00")).temp_c, 1, 1e-12);
  // The evening goes towards the next low, the night comes from the high of the day before.
  EXPECT_NEAR(air_of_days(days, at("2026-11-29T20:00")).temp_c, 12 - 0.5 * 17, 1e-12);
  EXPECT_NEAR(air_of_days(days, at("2026-11-30T02:00")).temp_c, 12 - 0.92 * 17, 1e-12);

  Weather weather;
  weather.days = days;
  const auto alone = outdoors_between(weather, at("2026-11-20T00:00"), 24 * 30);
  ASSERT_TRUE(alone);
  EXPECT_NEAR(alone->at(at("2026-12-15T14:00")).temp_c, 1, 1e-12);
  weather.outdoors = ClimateSeries::hourly(at("2026-11-26T00:00"), std::vector<Air>(48, Air{20, 0.4}));
  const auto both = outdoors_between(weather, at("2026-11-26T00:00"), 47);
  ASSERT_TRUE(both);
  EXPECT_NEAR(both->at(at("2026-11-26T14:00")).temp_c, 20, 1e-12);
  EXPECT_NEAR(both->at(at("2026-11-27T14:00")).temp_c, 12, 1e-12);
  EXPECT_FALSE(outdoors_between(weather, at("2026-11-26T00:00"), 96)) << "28 November is neither told nor in the file";
}

// The open typical year in shared/data (EPW): told by its days, its hours come back within what a day's two
// temperatures can say.
TEST(OutdoorDays, AWeatherYearComesBackFromItsDays) {
  std::string found;
  std::error_code none;
  for (const auto& entry :
       std::filesystem::recursive_directory_iterator(std::string(TACKCLOTH_SOURCE_DIR) + "/../shared/data", none))
    if (entry.path().extension() == ".epw") found = entry.path().string();
  if (found.empty()) GTEST_SKIP() << "no weather year beside the repository: nothing compared";
  const auto year = read_epw(found);
  ASSERT_TRUE(year);
  const auto start = at("2027-01-01T00:00");
  const auto hours = outdoors_between(*year, start, 365 * 24 - 1);
  ASSERT_TRUE(hours);
  std::vector<OutdoorDay> days;
  for (int d = 0; d < 365; ++d) {
    OutdoorDay one{std::chrono::floor<std::chrono::days>(start) + std::chrono::days(d), 99, -99, 0};
    double vapour = 0;
    for (int h = 0; h < 24; ++h) {
      const Air& air = hours->states()[static_cast<std::size_t>(24 * d + h)];
      one.low_c = std::min(one.low_c, air.temp_c);
      one.high_c = std::max(one.high_c, air.temp_c);
      vapour += vapour_pressure_pa(air) / 24;
    }
    one.rh = std::min(1.0, rh_from_vapour_pressure((one.low_c + one.high_c) / 2, vapour));
    days.push_back(one);
  }
  double squares = 0, rh_squares = 0, flat = 0;
  for (std::size_t i = 0; i < 365 * 24; ++i) {
    const Air& is = hours->states()[i];
    const Air told = air_of_days(days, start + Minutes(60 * static_cast<long long>(i)));
    squares += std::pow(told.temp_c - is.temp_c, 2);
    rh_squares += std::pow(told.rh - is.rh, 2);
    flat += std::pow((days[i / 24].low_c + days[i / 24].high_c) / 2 - is.temp_c, 2);
  }
  const double n = 365 * 24, rms_c = std::sqrt(squares / n), rms_rh = std::sqrt(rh_squares / n);
  RecordProperty("rms_c", std::to_string(rms_c));
  RecordProperty("rms_rh", std::to_string(rms_rh));
  std::printf(
      "hours from days: temperature within %.2f °C, humidity within %.1f %% (root mean square; the day's mean alone "
      "%.2f °C)\n",
      rms_c, 100 * rms_rh, std::sqrt(flat / n));
  EXPECT_LT(rms_c, 2.0);
  EXPECT_LT(rms_rh, 0.12);
  EXPECT_LT(rms_c, 0.7 * std::sqrt(flat / n)) << "no better than the mean of each day";
}

}  // namespace
}  // namespace tackcloth::climate
