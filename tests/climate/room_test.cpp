#include "climate/room.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "support.h"

namespace tackcloth::climate {
namespace {

const Instant kStart = at("2026-03-01T00:00");

ClimateSeries waves(int days, double mean = 10, double swing = 6) {
  std::vector<Air> states;
  for (int h = 0; h <= days * 24; ++h)
    states.push_back({mean + swing * std::cos(2 * std::numbers::pi * h / 24), 0.6, 101325, 2});
  return ClimateSeries::hourly(kStart, states);
}

TEST(Series, HoldsEndsAndJoinsHours) {
  const ClimateSeries series = ClimateSeries::hourly(kStart, {{10, 0.5, 101325, 0.1}, {20, 0.5, 100000, 0.3}});
  EXPECT_EQ(series.at(kStart - Minutes(600)).temp_c, 10);
  EXPECT_EQ(series.at(kStart, 99).temp_c, 20);
  const Air half = series.at(kStart, 0.5);
  EXPECT_NEAR(half.temp_c, 15, 1e-12);
  EXPECT_NEAR(half.pressure_pa, 100662.5, 1e-9);
  EXPECT_NEAR(vapour_pressure_pa(half), (saturation_pressure_pa(10) + saturation_pressure_pa(20)) / 4, 1e-9);
  EXPECT_TRUE(ClimateSeries::constant({}).is_constant());
}

TEST(Series, DampHoursNeverPassSaturation) {
  const ClimateSeries series = ClimateSeries::hourly(kStart, {{5, 1, 101325, 0.1}, {25, 1, 101325, 0.1}});
  for (double h = 0; h <= 1; h += 0.01) EXPECT_LE(series.at(kStart, h).rh, 1.0);
}

// A step outdoors: the closed form of a first-order lag, T = T1 + (T0 - T1) e^(-t/tau). The step is one hour long in
// the record, so the exact answer to that ramp is used from its end.
TEST(Room, AnswersAStepLikeAFirstOrderLag) {
  constexpr int kLead = 200;
  std::vector<Air> states(kLead, Air{0, 0.5, 101325, 1});
  states.resize(kLead + 60, Air{10, 0.5, 101325, 1});
  const ClimateSeries outdoors = ClimateSeries::hourly(kStart, states);
  RoomModel room;
  room.time_constant_h = 8;
  room.gain_c = 2;
  const Instant ramp = kStart + Minutes(60 * (kLead - 1));
  const ClimateSeries shop = shop_air(outdoors, room, ramp, 50);
  const double tau = 8, after_ramp = 10 * (1 - tau * (1 - std::exp(-1 / tau)));
  for (int h = 1; h <= 50; ++h)
    EXPECT_NEAR(shop.states()[static_cast<std::size_t>(h)].temp_c,
                2 + 10 + (after_ramp - 10) * std::exp(-(h - 1) / tau), 1e-9);
}

// A daily wave comes in weakened by 1/sqrt(1 + (w tau)²): the frequency response of a first-order lag. The record is
// straight between hours, which weakens the wave by sinc²(w/2) = 0.6 %.
TEST(Room, WeakensTheDailyWave) {
  RoomModel room;
  room.time_constant_h = 12;
  const ClimateSeries shop = shop_air(waves(20), room, kStart + Minutes(60 * 24 * 15), 24);
  double low = 99, high = -99;
  for (const Air& air : shop.states()) low = std::min(low, air.temp_c), high = std::max(high, air.temp_c);
  const double w = 2 * std::numbers::pi / 24;
  EXPECT_NEAR((high - low) / 2, 6 / std::sqrt(1 + w * w * 144), 0.03);
}

TEST(Room, KeepsItsSetPoints) {
  RoomModel room;
  room.heated_to_c = 16;
  room.cooled_to_c = 24;
  room.dried_to_rh = 0.55;
  const ClimateSeries kept = shop_air(waves(5, 18, 14), room, kStart, 100);
  for (const Air& air : kept.states()) {
    EXPECT_GE(air.temp_c, 16 - 1e-9);
    EXPECT_LE(air.temp_c, 24 + 1e-9);
    EXPECT_LE(air.rh, 0.55 + 1e-12);
  }
  RoomModel damp;
  damp.time_constant_h = 2;
  damp.gain_c = -8;  // a cellar: moisture condenses, air is never more than saturated
  const ClimateSeries cellar = shop_air(waves(5), damp, kStart, 100);
  for (const Air& air : cellar.states()) {
    EXPECT_LE(air.rh, 1);
    EXPECT_GE(air.rh, 0);
  }
}

TEST(Room, NoLagFollowsAtOnce) {
  RoomModel room;
  room.time_constant_h = 0;
  const ClimateSeries outdoors = waves(3);
  const ClimateSeries shop = shop_air(outdoors, room, kStart, 48);
  for (int h = 0; h <= 48; ++h) EXPECT_NEAR(shop.at(kStart, h).temp_c, outdoors.at(kStart, h).temp_c, 1e-9);
}

std::vector<Reading> log_of(const ClimateSeries& outdoors, const RoomModel& truth, const std::vector<int>& hours) {
  const ClimateSeries shop = shop_air(outdoors, truth, kStart, 24 * 12);
  std::vector<Reading> readings;
  for (int h : hours) readings.push_back({kStart + Minutes(60 * h), shop.at(kStart, h).temp_c});
  return readings;
}

TEST(LearnRoom, FindsTheRoomAgain) {
  const ClimateSeries outdoors = waves(12);
  for (double tau : {2.0, 6.0, 15.0, 30.0})
    for (double gain : {0.0, 3.0}) {
      RoomModel truth;
      truth.time_constant_h = tau;
      truth.gain_c = gain;
      const auto learned = learn_room(outdoors, log_of(outdoors, truth, {240, 246, 251, 260, 269}), {});
      ASSERT_TRUE(learned);
      EXPECT_NEAR(learned->time_constant_h / tau, 1, 0.05) << tau;
      EXPECT_NEAR(learned->gain_c, gain, 0.1) << tau;
    }
}

// What is said of the fit: exact readings fit to a hair, noise of a known size shows as such, and the true time
// constant lies in the range given.
TEST(FitRoom, SaysHowWellItFits) {
  const ClimateSeries outdoors = waves(12);
  RoomModel truth;
  truth.time_constant_h = 8;
  truth.gain_c = 2;
  auto readings = log_of(outdoors, truth, {240, 243, 246, 249, 252, 255, 258, 261, 264, 267});
  const auto exact = fit_room(outdoors, readings, {});
  ASSERT_TRUE(exact);
  EXPECT_EQ(exact->used, 10);
  EXPECT_EQ(exact->left_out, 0);
  EXPECT_TRUE(exact->lag_learned);
  EXPECT_LT(exact->rms_c, 0.05);
  EXPECT_LT(exact->time_constant_low_h, 8);
  EXPECT_GT(exact->time_constant_high_h, 8);
  for (std::size_t i = 0; i < readings.size(); ++i) readings[i].temp_c += i % 2 ? 0.5 : -0.5;
  const auto noisy = fit_room(outdoors, readings, {});
  ASSERT_TRUE(noisy);
  EXPECT_NEAR(noisy->rms_c, 0.5, 0.1);
  EXPECT_LE(noisy->time_constant_low_h, exact->time_constant_low_h);
  EXPECT_GE(noisy->time_constant_high_h, exact->time_constant_high_h);
  EXPECT_LT(noisy->time_constant_low_h, 8);
  EXPECT_GT(noisy->time_constant_high_h, 8);
  readings[4].temp_c += 12;
  const auto spoilt = fit_room(outdoors, readings, {});
  ASSERT_TRUE(spoilt);
  EXPECT_EQ(spoilt->worst_at, readings[4].when);
  EXPECT_GT(spoilt->worst_c, 8);
  RoomModel heated;
  heated.heated_to_c = 11;
  const auto held =
      fit_room(outdoors, log_of(outdoors, truth, {240, 243, 246, 249, 252, 255, 258, 261, 264, 267}), heated);
  ASSERT_TRUE(held);
  EXPECT_GT(held->left_out, 0);
  EXPECT_EQ(held->used + held->left_out, 10);
}

TEST(LearnRoom, OneReadingInTheSunDoesNotSpoilIt) {
  const ClimateSeries outdoors = waves(12);
  RoomModel truth;
  truth.time_constant_h = 8;
  truth.gain_c = 1;
  auto readings = log_of(outdoors, truth, {240, 243, 246, 249, 252, 255, 258, 261, 264, 267});
  readings[4].temp_c += 12;
  const auto learned = learn_room(outdoors, readings, {});
  ASSERT_TRUE(learned);
  EXPECT_NEAR(learned->time_constant_h, 8, 2);
  EXPECT_NEAR(learned->gain_c, 1, 0.5);
}

TEST(LearnRoom, SaysWhatItLacks) {
  const ClimateSeries outdoors = waves(3);
  EXPECT_FALSE(learn_room(outdoors, {}, {}));
  EXPECT_FALSE(learn_room(outdoors, {{kStart, 10}, {kStart + Minutes(60), 11}}, {}));
  const Reading late{kStart + Minutes(60 * 999), 10};
  EXPECT_FALSE(learn_room(outdoors, {late, late, late}, {}));
  const auto clash = learn_room(outdoors, {{kStart, 10}, {kStart + Minutes(5), 18}, {kStart + Minutes(300), 12}}, {});
  ASSERT_FALSE(clash);
  EXPECT_NE(clash.error().what.find("apart"), std::string::npos);
  EXPECT_FALSE(learn_room(outdoors, {{kStart, 200}, {kStart, 10}, {kStart, 10}}, {}));
  RoomModel heated;
  heated.heated_to_c = 18;
  EXPECT_FALSE(learn_room(outdoors, {{kStart, 18}, {kStart + Minutes(60), 18}, {kStart + Minutes(120), 18.1}}, heated));
}

TEST(LearnRoom, EvenWeatherTeachesOnlyTheGain) {
  const auto learned = learn_room(ClimateSeries::constant({10, 0.5, 101325, 0.1}),
                                  {{kStart, 13}, {kStart + Minutes(60), 13}, {kStart + Minutes(120), 13}}, {});
  ASSERT_TRUE(learned);
  EXPECT_NEAR(learned->gain_c, 3, 1e-9);
  EXPECT_EQ(learned->time_constant_h, RoomModel{}.time_constant_h);
  const auto fit = fit_room(ClimateSeries::constant({10, 0.5, 101325, 0.1}),
                            {{kStart, 13}, {kStart + Minutes(60), 13}, {kStart + Minutes(120), 13}}, {});
  ASSERT_TRUE(fit);
  EXPECT_FALSE(fit->lag_learned);
  EXPECT_EQ(fit->time_constant_low_h, 0.1);
  EXPECT_EQ(fit->time_constant_high_h, 240);
}

}  // namespace
}  // namespace tackcloth::climate
