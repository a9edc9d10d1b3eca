#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "film/film.h"
#include "small_catalog.h"

namespace tackcloth::film {
namespace {

using test::air;

class Readiness_ : public testing::Test {
 protected:
  const catalog::Catalog catalog_ = test::small_catalog();
  const Model model_{catalog_};
  const catalog::Product& product(const char* id) const { return *catalog_.product(id); }
  Readiness at_label(const catalog::Product& p) const {
    return model_.readiness({&p, p.label.wet_um}, air(p.label.temp_c, p.label.rh, p.label.air_m_s), Instant{});
  }
  double recoat(const char* id, double wet_um, double temp_c, double rh, double speed) const {
    return model_.readiness({&product(id), wet_um}, air(temp_c, rh, speed), Instant{})[Need::recoat_same].p50;
  }
};

TEST_F(Readiness_, EveryLabelIsGivenBackExactly) {
  for (const catalog::Product& p : catalog_.products) {
    const Readiness r = at_label(p);
    EXPECT_EQ(r.why, "") << p.id;
    EXPECT_NEAR(r[Need::touch].p50, p.label.touch_h, 1e-6 * p.label.touch_h) << p.id;
    EXPECT_NEAR(r[Need::scuff].p50, p.label.scuff_h, 1e-6 * p.label.scuff_h) << p.id;
    EXPECT_NEAR(r[Need::recoat_same].p50, p.label.recoat_h, 1e-6 * p.label.recoat_h) << p.id;
    EXPECT_NEAR(r[Need::recoat_other].p50, p.label.recoat_other_h, 1e-6 * p.label.recoat_other_h) << p.id;
    EXPECT_NEAR(r[Need::handle].p50, p.label.handle_h, 1e-6 * p.label.handle_h) << p.id;
    EXPECT_NEAR(r[Need::use].p50, p.label.use_h, 1e-6 * p.label.use_h) << p.id;
    for (const Band& b : r.by_need) {
      EXPECT_LT(b.p10, b.p50) << p.id;
      EXPECT_LT(b.p50, b.p90) << p.id;
    }
  }
}

TEST_F(Readiness_, HourlyAirThatNeverChangesIsConstantAir) {
  for (const catalog::Product& p : catalog_.products) {
    const climate::Air steady{p.label.temp_c, p.label.rh, 101325.0, p.label.air_m_s};
    const auto hourly = climate::ClimateSeries::hourly(test::at_hour(-3), std::vector<climate::Air>(900, steady));
    const Readiness a = model_.readiness({&p, 60}, hourly, Instant{} + Minutes{17});
    const Readiness b = model_.readiness({&p, 60}, climate::ClimateSeries::constant(steady), Instant{});
    for (int n = 0; n < kNeeds; ++n) {
      const Need need = static_cast<Need>(n);
      if (b[need].p90 == kNever) continue;
      EXPECT_NEAR(a[need].p50, b[need].p50, 2e-3 * b[need].p50 + 1e-3) << p.id << ' ' << to_text(need);
      EXPECT_NEAR(a[need].p90, b[need].p90, 2e-3 * b[need].p90 + 1e-3) << p.id << ' ' << to_text(need);
    }
  }
}

// Common practice, no source: a wiping varnish labelled for 12 to 24 h.
TEST_F(Readiness_, ThinWipingVarnishInWarmDryMovingAirIsReadyNearSixHours) {
  for (double wet : {25.0, 30.0}) {
    const double h = recoat("wiping", wet, 27.5, 0.37, 0.7);
    EXPECT_GT(h, 5.0) << wet;
    EXPECT_LT(h, 7.5) << wet;
  }
}

TEST_F(Readiness_, ThickWipingVarnishInColdDampAirIsLaterThanADay) {
  EXPECT_GT(recoat("wiping", 100, 12, 0.8, 0.1), 24.0);
  EXPECT_GT(recoat("wiping", 130, 12, 0.8, 0.1), recoat("wiping", 100, 12, 0.8, 0.1));
}

TEST_F(Readiness_, SpiritsWaitOvernightInAStillRoomAndLessInWarmMovingAir) {
  EXPECT_GT(recoat("spirits", 30, 20, 0.5, 0.1), 10.0);
  EXPECT_LT(recoat("spirits", 30, 28, 0.4, 1.0), 6.0);
  EXPECT_NEAR(recoat("spirits", 30, 20, 0.8, 0.1), recoat("spirits", 30, 20, 0.2, 0.1),
              1e-9);  // damp air does not slow
}

TEST_F(Readiness_, OilOverWaterbornePaintScalesWithTheClimateFromThreeDays) {
  auto other = [&](double temp_c) {
    return model_.readiness({&product("paint"), 90}, air(temp_c, 0.5), Instant{})[Need::recoat_other].p50;
  };
  EXPECT_NEAR(other(21), 72, 0.01);
  EXPECT_GT(other(14), 100);
  EXPECT_LT(other(28), 60);
  // A thin coat does not shorten the three days, but for the hours in which it is wet.
  EXPECT_GT(model_.readiness({&product("paint"), 40}, air(21, 0.5), Instant{})[Need::recoat_other].p50, 69);
}

TEST_F(Readiness_, HumiditySlowsWaterAndNotSpirits) {
  auto touch = [&](const char* id, double rh) {
    return model_.readiness({&product(id), 75}, air(21, rh), Instant{})[Need::touch].p50;
  };
  EXPECT_GT(touch("paint", 0.85), 1.5 * touch("paint", 0.4));
  EXPECT_LT(touch("wiping", 0.85), 1.3 * touch("wiping", 0.4));
  EXPECT_NEAR(touch("wax", 0.85), touch("wax", 0.4), 0.01 * touch("wax", 0.4));
}

// Hotter, drier, thinner, more air: never later. 300 random pairs a product and direction.
TEST_F(Readiness_, HotterDrierThinnerMoreAirNeverDriesLater) {
  std::mt19937 random(7);
  auto between = [&](double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); };
  for (const catalog::Product& p : catalog_.products) {
    for (int trial = 0; trial < 300; ++trial) {
      const double temp = between(8, 32), rh = between(0.2, 0.92), speed = between(0, 1.5), wet = between(15, 180);
      const double step[4] = {between(0, 4), between(0, 0.2), between(0, 0.5), between(0, 40)};
      const Lie lie = trial % 2 ? Lie::vertical : Lie::horizontal;
      const Readiness a = model_.readiness({&p, wet, Ground::sealed, lie}, air(temp, rh, speed), Instant{});
      for (int way = 0; way < 4; ++way) {
        const Readiness b =
            model_.readiness({&p, std::max(5.0, wet - (way == 3 ? step[3] : 0)), Ground::sealed, lie},
                             air(temp + (way == 0 ? step[0] : 0), std::max(0.0, rh - (way == 1 ? step[1] : 0)),
                                 speed + (way == 2 ? step[2] : 0)),
                             Instant{});
        for (int n = 0; n < kNeeds; ++n) {
          const Need need = static_cast<Need>(n);
          if (a[need].p50 == kNever) continue;
          // The integrator's own error is well under 0.3 %.
          EXPECT_LE(b[need].p50, a[need].p50 * 1.003 + 1e-4) << p.id << " way " << way << ' ' << to_text(need) << " at "
                                                             << temp << " °C " << rh << ' ' << speed << ' ' << wet;
        }
      }
    }
  }
}

TEST_F(Readiness_, IsContinuousInTemperatureHumidityAndThickness) {
  for (const catalog::Product& p : catalog_.products) {
    double last[3] = {0, 0, 0};
    for (int i = 0; i <= 400; ++i) {
      const double x = i / 400.0;
      const double now[3] = {
          model_.readiness({&p, 70}, air(p.min_temp_c + 4 + 14 * x, 0.5), Instant{})[Need::recoat_same].p50,
          model_.readiness({&p, 70}, air(21, 0.2 + 0.6 * x), Instant{})[Need::recoat_same].p50,
          model_.readiness({&p, 20 + 130 * x}, air(21, 0.5), Instant{})[Need::recoat_same].p50};
      for (int k = 0; k < 3; ++k) {
        if (i > 0) {
          EXPECT_LT(std::fabs(std::log(now[k] / last[k])), 0.06) << p.id << ' ' << k << ' ' << x;
        }
        last[k] = now[k];
      }
    }
  }
}

TEST_F(Readiness_, TooColdOrTooDampIsNeverAndSaysWhy) {
  const Readiness cold = model_.readiness({&product("wiping"), 75}, air(4, 0.5), Instant{});
  EXPECT_EQ(cold[Need::recoat_same].p50, kNever);
  EXPECT_NE(cold.why.find("cold"), std::string::npos) << cold.why;
  const Readiness damp = model_.readiness({&product("paint"), 90}, air(21, 1.0), Instant{});
  EXPECT_EQ(damp[Need::touch].p50, kNever);
  EXPECT_NE(damp.why.find("damp"), std::string::npos) << damp.why;
  const Readiness film = model_.readiness({&product("clear"), 90}, air(9.6, 0.4), Instant{});
  EXPECT_EQ(film[Need::recoat_same].p90, kNever);
  EXPECT_NE(film.why.find("minimum film temperature"), std::string::npos) << film.why;
}

TEST_F(Readiness_, BadInputIsASafeAnswer) {
  EXPECT_EQ(model_.readiness({nullptr, 50}, air(21, 0.5), Instant{})[Need::touch].p10, kNever);
  EXPECT_EQ(model_.readiness({&product("paint"), -1}, air(21, 0.5), Instant{})[Need::touch].p10, kNever);
  EXPECT_EQ(model_.readiness({&product("paint"), std::nan("")}, air(21, 0.5), Instant{})[Need::touch].p10, kNever);
  EXPECT_NE(model_.readiness({&product("paint"), 50}, air(std::nan(""), 0.5), Instant{}).why, "");
  catalog::Product odd = product("paint");
  odd.volatiles.push_back({"unheard_of", 0.1});
  EXPECT_NE(model_.readiness({&odd, 50}, air(21, 0.5), Instant{}).why.find("unheard_of"), std::string::npos);
}

TEST_F(Readiness_, ACoatLaidInTheEveningOfAColdNightWaitsForTheMorning) {
  std::vector<climate::Air> day;
  for (int h = 0; h < 240; ++h) {
    const double warm = std::cos((h % 24 - 15) * 2 * 3.14159265 / 24);
    day.push_back({13 + 6 * warm, 0.7 - 0.2 * warm, 101325, 0.1});
  }
  const auto series = climate::ClimateSeries::hourly(Instant{}, day);
  const catalog::Product& p = product("clear");
  const Readiness noon = model_.readiness({&p, 90}, series, test::at_hour(11));
  const Readiness dusk = model_.readiness({&p, 90}, series, test::at_hour(18));
  EXPECT_GT(dusk[Need::recoat_same].p90, noon[Need::recoat_same].p90 + 4);
}

TEST_F(Readiness_, BareWoodTakesPartOfTheCoat) {
  const auto ordinary = air(21, 0.5);
  const double sealed =
      model_.readiness({&product("wiping"), 75, Ground::sealed}, ordinary, Instant{})[Need::recoat_same].p50;
  const double bare =
      model_.readiness({&product("wiping"), 75, Ground::bare_wood}, ordinary, Instant{})[Need::recoat_same].p50;
  EXPECT_LT(bare, sealed);
  EXPECT_GT(bare, 0.5 * sealed);
}

TEST_F(Readiness_, TheWindowClosesNoLaterThanTheLabelSays) {
  const Readiness r = at_label(product("wiping"));
  EXPECT_LT(r.recoat_closes_h, 24);
  EXPECT_GT(r.recoat_closes_h, 12);
  EXPECT_EQ(at_label(product("paint")).recoat_closes_h, kNever);
}

TEST_F(Readiness_, CalibrationMovesAndTightens) {
  Calibration calibration;
  calibration.product["paint"] = {std::log(1.3), 0.05};
  const catalog::Product& p = product("paint");
  const Readiness plain = at_label(p);
  const Readiness learned = model_.readiness({&p, p.label.wet_um}, air(21, 0.5), Instant{}, calibration);
  EXPECT_NEAR(learned[Need::recoat_same].p50, 1.3 * plain[Need::recoat_same].p50, 1e-6);
  EXPECT_LT(learned[Need::recoat_same].p90 / learned[Need::recoat_same].p50,
            plain[Need::recoat_same].p90 / plain[Need::recoat_same].p50);
}

TEST_F(Readiness_, CurveLosesWhatIsInTheCanAndNoMore) {
  for (const catalog::Product& p : catalog_.products) {
    const Model::Curve c = model_.curve({&p, 80}, air(21, 0.5), Instant{}, 48);
    ASSERT_GT(c.hours.size(), 10u);
    EXPECT_DOUBLE_EQ(c.hours.back(), 48);
    ASSERT_EQ(c.components.size(), c.g_m2.size());
    for (std::size_t k = 0; k < c.g_m2.size(); ++k) {
      double left = 0;
      for (std::size_t i = 1; i < c.hours.size(); ++i) {
        EXPECT_LE(c.g_m2[k][i], c.g_m2[k][i - 1] + 1e-9);
        left += 0.5 * (c.g_m2_h[k][i] + c.g_m2_h[k][i - 1]) * (c.hours[i] - c.hours[i - 1]);
      }
      const double went = c.g_m2[k].front() - c.g_m2[k].back();
      EXPECT_NEAR(c.g_m2[k].front(), 80 * p.density_kg_l * p.volatiles[k].mass_fraction, 1e-9);
      EXPECT_NEAR(left, went, 1e-8 * went) << p.id << ' ' << c.components[k];
    }
  }
}

}  // namespace
}  // namespace tackcloth::film
