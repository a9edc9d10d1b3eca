#include "climate/air.h"

#include <gtest/gtest.h>

#include <cmath>

namespace tackcloth::climate {
namespace {

// An independent equation for the same curve: Wagner and Pruss, IAPWS SR1-86(1992), saturation line of ordinary water.
double iapws_water_pa(double temp_c) {
  const double t = 1 - (temp_c + 273.15) / 647.096;
  const double sum = -7.85951783 * t + 1.84408259 * std::pow(t, 1.5) - 11.7866497 * std::pow(t, 3) +
                     22.6807411 * std::pow(t, 3.5) - 15.9618719 * std::pow(t, 4) + 1.80122502 * std::pow(t, 7.5);
  return 22.064e6 * std::exp(647.096 / (temp_c + 273.15) * sum);
}

// IAPWS R14-08(2011), sublimation line of ice Ih.
double iapws_ice_pa(double temp_c) {
  const double x = (temp_c + 273.15) / 273.16;
  const double sum = -0.212144006e2 * std::pow(x, 0.333333333e-2) + 0.273203819e2 * std::pow(x, 0.120666667e1) -
                     0.610598130e1 * std::pow(x, 0.170333333e1);
  return 611.657 * std::exp(sum / x);
}

TEST(Saturation, AgreesWithIapwsOverWater) {
  for (double t = 0.01; t <= 100; t += 0.5) EXPECT_NEAR(saturation_pressure_pa(t) / iapws_water_pa(t), 1, 5e-4) << t;
}

TEST(Saturation, AgreesWithIapwsOverIce) {
  for (double t = -60; t < 0; t += 0.5) EXPECT_NEAR(saturation_pressure_pa(t) / iapws_ice_pa(t), 1, 1e-3) << t;
}

// ASHRAE Fundamentals, ch. 1, table 3 (thermodynamic properties of water at saturation), kPa; from memory.
TEST(Saturation, AshraeTable) {
  const double cells[][2] = {{0.01, 0.6117}, {10, 1.2282}, {20, 2.3392}, {25, 3.1698},
                             {30, 4.2467},   {40, 7.3844}, {50, 12.351}};
  for (const auto& [t, kpa] : cells) EXPECT_NEAR(saturation_pressure_pa(t) / 1000 / kpa, 1, 1e-3) << t;
}

// The curve must not step at the triple point, or dew points near frost would jump.
TEST(Saturation, RisesThroughTheTriplePoint) {
  double last = 0;
  for (double t = -1; t <= 1; t += 0.001) {
    const double p = saturation_pressure_pa(t);
    EXPECT_GT(p, last) << t;
    last = p;
  }
}

TEST(Saturation, InverseClosesOnAGrid) {
  for (double t = -90; t < 190; t += 0.37) EXPECT_NEAR(saturation_temp_c(saturation_pressure_pa(t)), t, 1e-8) << t;
  EXPECT_EQ(saturation_temp_c(0), -100);
  EXPECT_EQ(saturation_temp_c(-5), -100);
  EXPECT_EQ(saturation_temp_c(NAN), -100);
}

// Altitude: ASHRAE Fundamentals 2017, ch. 1, table 1, kPa.
TEST(Altitude, AshraeTable1) {
  const double cells[][2] = {{0, 101.325},   {500, 95.461},  {1000, 89.875},
                             {1500, 84.556}, {2000, 79.495}, {3000, 70.108}};
  for (const auto& [metres, kpa] : cells) EXPECT_NEAR(pressure_at_altitude_pa(metres) / 1000, kpa, 0.002) << metres;
}

// ASHRAE Fundamentals, ch. 1, worked example: 40 °C dry bulb, 20 °C wet bulb, 101.325 kPa gives W = 6.5 g/kg, dew point
// 7 °C, 14 % humidity, h = 56.7 kJ/kg, v = 0.896 m³/kg, read off the chart (example 1; from memory).
TEST(Psychrometrics, AshraeWorkedExample) {
  const Air air{40, 0.14, 101325, 0.1};
  EXPECT_NEAR(wet_bulb_c(air), 20, 0.15);
  EXPECT_NEAR(humidity_ratio(air), 0.0065, 0.0001);
  EXPECT_NEAR(dew_point_c(air), 7, 0.6);
  EXPECT_NEAR(enthalpy_j_kg(air) / 1000, 56.7, 0.6);
  EXPECT_NEAR((1 + humidity_ratio(air)) / density_kg_m3(air), 0.896, 0.002);
}

// The wet bulb must satisfy the energy balance it is defined by (ASHRAE Fundamentals 2017, ch. 1, eq. 33 and 35),
// checked here with enthalpies instead of the rearranged form: h + (Ws - W) h_water(t*) = hs.
TEST(Psychrometrics, WetBulbClosesTheEnergyBalance) {
  for (double t = -15; t <= 45; t += 1.7)
    for (double rh = 0.02; rh <= 1; rh += 0.07) {
      const Air air{t, rh, 95000, 0.1};
      const double wet = wet_bulb_c(air);
      const Air saturated{wet, 1, 95000, 0.1};
      const double condensate = wet >= 0.01 ? 4186 * wet : 1000 * (-334 + 2.1 * wet);
      const double left = enthalpy_j_kg(air) + (humidity_ratio(saturated) - humidity_ratio(air)) * condensate;
      // 2830 - 2501 = 329 in the ice equation against the 334 kJ/kg of melting: the handbook's own rounding.
      const double slack = wet >= 0.01 ? 1.0 : 6000 * (humidity_ratio(saturated) - humidity_ratio(air)) + 1;
      EXPECT_NEAR(left, enthalpy_j_kg(saturated), slack) << t << " " << rh;
    }
}

TEST(Psychrometrics, OrderAndMonotony) {
  for (double t = -20; t <= 50; t += 1.3) {
    double dew_before = -200, wet_before = -200, ratio_before = -1;
    for (double rh = 0.01; rh <= 1.0001; rh += 0.03) {
      const Air air{t, std::min(1.0, rh), 101325, 0.1};
      const double dew = dew_point_c(air), wet = wet_bulb_c(air);
      EXPECT_LE(dew, wet + 1e-6) << t << " " << rh;
      EXPECT_LE(wet, t + 1e-9) << t << " " << rh;
      EXPECT_GT(dew, dew_before);
      EXPECT_GT(wet, wet_before - 1e-6);
      EXPECT_GT(humidity_ratio(air), ratio_before);
      EXPECT_NEAR(saturation_pressure_pa(dew), vapour_pressure_pa(air), 1e-6 * vapour_pressure_pa(air));
      dew_before = dew, wet_before = wet, ratio_before = humidity_ratio(air);
    }
    EXPECT_NEAR(dew_point_c({t, 1, 101325, 0.1}), t, 1e-12);
    EXPECT_NEAR(wet_bulb_c({t, 1, 101325, 0.1}), t, 1e-12);
  }
}

TEST(Psychrometrics, DryAirHasAnAnswer) {
  const Air air{20, 0, 101325, 0.1};
  EXPECT_EQ(humidity_ratio(air), 0);
  EXPECT_EQ(dew_point_c(air), -100);
  EXPECT_TRUE(std::isfinite(wet_bulb_c(air)));
  EXPECT_NEAR(density_kg_m3(air), 101325 / (287.042 * 293.15), 1e-9);
}

TEST(CheckAir, RefusesWhatAShopCannotHave) {
  EXPECT_TRUE(check_air({}));
  EXPECT_FALSE(check_air({20, 1.01, 101325, 0.1}));
  EXPECT_FALSE(check_air({20, -0.1, 101325, 0.1}));
  EXPECT_FALSE(check_air({70, 0.5, 101325, 0.1}));
  EXPECT_FALSE(check_air({20, 0.5, 1013, 0.1}));
  EXPECT_FALSE(check_air({20, 0.5, 101325, -1}));
  EXPECT_FALSE(check_air({NAN, 0.5, 101325, 0.1}));
  EXPECT_FALSE(check_air({20, NAN, 101325, 0.1}));
  EXPECT_FALSE(check_air({20, 1.5, 101325, 0.1}).error().remedy.empty());
}

}  // namespace
}  // namespace tackcloth::climate
