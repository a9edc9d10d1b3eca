#include "climate/wood.h"

#include <gtest/gtest.h>

#include <cmath>

namespace tackcloth::climate {
namespace {

// USDA Wood Handbook, table 4-2, moisture content at equilibrium, percent, 5 to 95 % humidity by fives. Rows from
// memory.
struct TableRow {
  double temp_c;
  double percent[19];
};
constexpr TableRow kTable[] = {
    {-1.1, {1.4, 2.6, 3.7, 4.6, 5.5, 6.3, 7.1, 7.9, 8.7, 9.5, 10.4, 11.3, 12.4, 13.5, 14.9, 16.5, 18.5, 21.0, 24.3}},
    {4.4, {1.4, 2.6, 3.7, 4.6, 5.5, 6.3, 7.1, 7.9, 8.7, 9.5, 10.4, 11.3, 12.3, 13.5, 14.9, 16.5, 18.5, 21.0, 24.3}},
    {10, {1.4, 2.6, 3.6, 4.6, 5.5, 6.3, 7.1, 7.9, 8.7, 9.5, 10.3, 11.2, 12.3, 13.4, 14.8, 16.4, 18.4, 20.9, 24.3}},
    {15.6, {1.3, 2.5, 3.6, 4.6, 5.4, 6.2, 7.0, 7.8, 8.6, 9.4, 10.2, 11.1, 12.1, 13.3, 14.6, 16.2, 18.2, 20.7, 24.1}},
    {21.1, {1.3, 2.5, 3.5, 4.5, 5.4, 6.2, 6.9, 7.7, 8.5, 9.2, 10.1, 11.0, 12.0, 13.1, 14.4, 16.0, 17.9, 20.5, 23.9}},
    {26.7, {1.3, 2.4, 3.5, 4.4, 5.3, 6.1, 6.8, 7.6, 8.3, 9.1, 9.9, 10.8, 11.7, 12.9, 14.2, 15.7, 17.7, 20.2, 23.6}},
    {32.2, {1.2, 2.3, 3.4, 4.3, 5.1, 5.9, 6.7, 7.4, 8.1, 8.9, 9.7, 10.5, 11.5, 12.6, 13.9, 15.4, 17.3, 19.8, 23.3}},
    {37.8, {1.2, 2.3, 3.3, 4.2, 5.0, 5.8, 6.5, 7.2, 7.9, 8.7, 9.5, 10.3, 11.2, 12.3, 13.6, 15.1, 17.0, 19.5, 22.9}},
};

TEST(WoodMoisture, HandbookTable) {
  for (const TableRow& row : kTable)
    for (int i = 0; i < 19; ++i)
      EXPECT_NEAR(wood_moisture_percent(row.temp_c, 0.05 * (i + 1)), row.percent[i], 0.1 + 1e-9)
          << row.temp_c << " °C, " << 5 * (i + 1) << " %";
}

// Two worked values of others, at 65 °F: a wood science lesson that cites the Wood Handbook of 2010, page 4-3.
TEST(WoodMoisture, PublishedWorkedValues) {
  EXPECT_NEAR(wood_moisture_percent((65 - 32) / 1.8, 0.60), 11.1, 0.1);
  EXPECT_NEAR(wood_moisture_percent((65 - 32) / 1.8, 0.30), 6.2, 0.1);
}

TEST(WoodMoisture, RisesWithHumidityFallsWithHeat) {
  for (double t = 0; t <= 45; t += 2.5)
    for (double rh = 0.05; rh < 0.99; rh += 0.02) {
      EXPECT_GT(wood_moisture_percent(t, rh + 0.01), wood_moisture_percent(t, rh));
      if (t >= 5) {
        EXPECT_LT(wood_moisture_percent(t + 2.5, rh), wood_moisture_percent(t, rh) + 0.02);
      }
    }
  EXPECT_EQ(wood_moisture_percent(20, 0), 0);
}

// Wood Handbook, ch. 13, form of eq. 13-2: a 200 mm flat-sawn board with coefficient 0.00365 (white oak, tangential;
// table 13-5, from memory) from 6 to 10 %.
TEST(Movement, AcrossTheGrain) {
  EXPECT_NEAR(movement_mm(200, 0.00365, 6, 10), 2.92, 1e-9);
  EXPECT_NEAR(movement_mm(200, 0.00365, 10, 6), -2.92, 1e-9);
}

TEST(Movement, CoefficientsHoldBetweenSixAndFourteen) {
  EXPECT_TRUE(coefficients_hold(6, 14));
  EXPECT_TRUE(coefficients_hold(14, 6));
  EXPECT_FALSE(coefficients_hold(5.9, 10));
  EXPECT_FALSE(coefficients_hold(10, 14.1));
}

TEST(SurfaceDrying, MoreWaterDamperColderStillerNeverDriesSooner) {
  for (double t = 5; t <= 35; t += 5)
    // Below 20 % the target itself, one point above a balance of 2 to 4 %, is so dry that the last point is the slow
    // one: there damper air can reach its own, damper target a few minutes sooner.
    for (double rh = 0.2; rh <= 0.8; rh += 0.1)
      for (double water = 20; water <= 300; water += 70) {
        const double hours = surface_drying_h({t, rh, 101325, 0.1}, water);
        EXPECT_GT(hours, 0);
        EXPECT_LE(hours, surface_drying_h({t, rh, 101325, 0.1}, water + 20));
        EXPECT_LE(hours, surface_drying_h({t, rh + 0.05, 101325, 0.1}, water));
        EXPECT_GE(hours, surface_drying_h({t + 3, rh, 101325, 0.1}, water));
        EXPECT_GE(hours, surface_drying_h({t, rh, 101325, 0.5}, water));
      }
}

// Above fibre saturation the surface dries at the constant rate: the extra time for extra water is the water over the
// rate of a free surface. The rate is checked against the evaporation of a still indoor water surface, 0.05 to 0.25
// kg/(m² h) at 20 °C and 50 % (ASHRAE Applications, natatoriums: w = A (pw - pa)(0.089 + 0.0782 V)/Y, kPa, m/s; from
// memory).
TEST(SurfaceDrying, ConstantRateIsThatOfAFreeWaterSurface) {
  const Air air{20, 0.5, 101325, 0.1};
  const double more = surface_drying_h(air, 400) - surface_drying_h(air, 300);
  const double rate_kg_h = 0.1 / more;
  const double wet_pa = saturation_pressure_pa(wet_bulb_c(air));
  const double handbook = (wet_pa - vapour_pressure_pa(air)) / 1000 * (0.089 + 0.0782 * air.speed_m_s) / 2.454e3 * 3600;
  EXPECT_GT(rate_kg_h, 0.4 * handbook);
  EXPECT_LT(rate_kg_h, 1.3 * handbook);
}

TEST(SurfaceDrying, Ends) {
  EXPECT_EQ(surface_drying_h({20, 0.5, 101325, 0.1}, 0), 0);
  EXPECT_EQ(surface_drying_h({20, 0.5, 101325, 0.1}, -3), 0);
  EXPECT_TRUE(std::isinf(surface_drying_h({20, 1, 101325, 0.1}, 50)));
  EXPECT_TRUE(std::isfinite(surface_drying_h({0, 0.9, 101325, 0}, 50)));
}

TEST(DewPoint, ThreeDegreesOfMargin) {
  const Air air{20, 0.8, 101325, 0.1};  // dew point 16.4 °C
  EXPECT_TRUE(surface_above_dew_point(air, 20));
  EXPECT_FALSE(surface_above_dew_point(air, 19));
  EXPECT_TRUE(surface_above_dew_point(air, 19, 2));
}

}  // namespace
}  // namespace tackcloth::climate
