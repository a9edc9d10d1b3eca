// Coats over coats: what lies beneath and has not dried makes the next one later.
#include <gtest/gtest.h>

#include <cmath>

#include "film/film.h"
#include "shop_catalog.h"
#include "small_catalog.h"

namespace tackcloth::film {
namespace {

using test::air;

class Beneath_ : public testing::Test {
 protected:
  const catalog::Catalog& catalog_ = test::shop_catalog();
  const Model model_{catalog_};
  bool films(const catalog::Product& p) const { return catalog::leaves_film(p) && p.solids_volume_fraction > 0.02; }
  Readiness ready(const Coat& coat, const climate::ClimateSeries& in) const {
    return model_.readiness(coat, in, Instant{});
  }
};

TEST_F(Beneath_, ARecoatAtTheLabelsTimeIsAtLabel) {
  for (const catalog::Product& p : catalog_.products) {
    if (!films(p)) continue;
    const auto label = air(p.label.temp_c, p.label.rh, p.label.air_m_s);
    Coat coat{&p, p.label.wet_um};
    const Readiness first = ready(coat, label);
    coat.beneath = model_.beneath(coat, label, Instant{}, p.label.recoat_h);
    const Readiness second = ready(coat, label);
    for (int n = 0; n < kNeeds; ++n) {
      const Need need = static_cast<Need>(n);
      EXPECT_NEAR(second[need].p50, first[need].p50, 1e-6 * first[need].p50) << p.id << ' ' << to_text(need);
    }
  }
}

TEST_F(Beneath_, LongerWaitLeavesLessAndNoneInTheEnd) {
  for (const catalog::Product& p : catalog_.products) {
    if (!films(p)) continue;
    const Coat coat{&p, p.label.wet_um};
    Beneath last{1e9, 1e9, 1e9};
    for (double hours : {0.0, 0.05, 0.2, 0.7, 2.0, 5.0, 12.0, 40.0, 150.0, 800.0, 2500.0}) {
      const Beneath b = model_.beneath(coat, air(20, 0.5), Instant{}, hours);
      EXPECT_LE(b.retained_g_m2, last.retained_g_m2 * (1 + 1e-9)) << p.id << ' ' << hours;
      EXPECT_LE(b.raw_um, last.raw_um + 1e-9) << p.id << ' ' << hours;
      EXPECT_LE(b.unripe_um, last.unripe_um + 1e-9) << p.id << ' ' << hours;
      last = b;
    }
    EXPECT_EQ(last.raw_um, 0) << p.id;
    EXPECT_EQ(last.unripe_um, 0) << p.id;
    EXPECT_EQ(last.retained_g_m2, 0) << p.id;
  }
}

TEST_F(Beneath_, MoreBeneathIsNeverEarlier) {
  for (const catalog::Product& p : catalog_.products) {
    if (!films(p)) continue;
    for (int which = 0; which < 3; ++which) {
      Readiness last = ready({&p, 60}, air(19, 0.5));
      const double load = 60 * p.density_kg_l * (1 - p.solids_mass_fraction), dry = 60 * p.solids_volume_fraction;
      for (double share : {0.02, 0.1, 0.3, 0.7, 1.5}) {
        Coat coat{&p, 60};
        if (which == 0) coat.beneath.retained_g_m2 = share * load;
        if (which == 1) coat.beneath.raw_um = share * dry;
        if (which == 2) coat.beneath.unripe_um = 2 * share * dry;
        const Readiness now = ready(coat, air(19, 0.5));
        for (int n = 0; n < kNeeds; ++n) {
          const Need need = static_cast<Need>(n);
          if (last[need].p50 == kNever) continue;
          EXPECT_GE(now[need].p50, last[need].p50 * (1 - 0.003)) << p.id << ' ' << which << ' ' << share << ' ' << n;
        }
        last = now;
      }
    }
  }
}

// Common practice, no source: three thin coats in a day are softer than one.
TEST_F(Beneath_, ThreeThinCoatsInADayAreSofterThanOne) {
  for (const char* id : {"shellac_dewaxed", "lacquer_nitro", "clear_water", "paint_acrylic", "varnish_wiping"}) {
    const catalog::Product& p = *catalog_.product(id);
    const auto room = air(21, 0.5);
    const double wet = 0.7 * p.label.wet_um;
    Coat coat{&p, wet};
    const Readiness one = ready(coat, room);
    coat.beneath = model_.beneath(coat, room, Instant{}, 4);
    const Readiness two = ready(coat, room);
    coat.beneath = model_.beneath(coat, room, Instant{}, 4);
    const Readiness three = ready(coat, room);
    for (Need need : {Need::handle, Need::stack, Need::use}) {
      EXPECT_GE(two[need].p50, one[need].p50 * (1 - 1e-9)) << id;
      EXPECT_GT(three[need].p50, 1.02 * one[need].p50) << id << ' ' << to_text(need);
    }
    // A day between coats is better than four hours.
    Coat slow{&p, wet};
    slow.beneath = model_.beneath(slow, room, Instant{}, 24);
    slow.beneath = model_.beneath(slow, room, Instant{}, 24);
    EXPECT_LE(ready(slow, room)[Need::use].p50, three[Need::use].p50) << id;
  }
}

TEST_F(Beneath_, ACoatCoveredTooSoonSlowsEverythingOnTop) {
  const catalog::Product& p = *catalog_.product("enamel_alkyd");
  const auto room = air(21, 0.5);
  Coat coat{&p, p.label.wet_um};
  const Readiness alone = ready(coat, room);
  coat.beneath = model_.beneath(coat, room, Instant{}, 2);  // the label says a day
  const Readiness over = ready(coat, room);
  EXPECT_GT(coat.beneath.raw_um, 0);
  EXPECT_GT(over[Need::touch].p50, 1.1 * alone[Need::touch].p50);
  EXPECT_GT(over[Need::recoat_same].p50, 1.3 * alone[Need::recoat_same].p50);
}

TEST_F(Beneath_, WhatWasRetainedComesOutThroughTheCurve) {
  const catalog::Product& p = *catalog_.product("varnish_brushing");
  Coat coat{&p, p.label.wet_um};
  coat.beneath = model_.beneath(coat, air(21, 0.5), Instant{}, 1);
  ASSERT_GT(coat.beneath.retained_g_m2, 1);
  const Model::Curve c = model_.curve(coat, air(21, 0.5), Instant{}, 200);
  double in = 0, gone = 0;
  for (std::size_t k = 0; k < c.g_m2.size(); ++k) in += c.g_m2[k].front(), gone += c.gone_g_m2[k].back();
  const double own = coat.wet_um * p.density_kg_l * (1 - p.solids_mass_fraction);
  EXPECT_NEAR(in, own + coat.beneath.retained_g_m2, 0.01 * own);
  EXPECT_NEAR(gone, in, 1e-3 * in);
}

TEST_F(Beneath_, BadInputIsRefusedOrNothing) {
  const catalog::Product& p = *catalog_.product("paint_acrylic");
  Coat coat{&p, 90};
  coat.beneath.raw_um = -1;
  EXPECT_EQ(ready(coat, air(21, 0.5))[Need::touch].p50, kNever);
  coat.beneath.raw_um = std::nan("");
  EXPECT_NE(ready(coat, air(21, 0.5)).why, "");
  EXPECT_EQ(model_.beneath({nullptr, 90}, air(21, 0.5), Instant{}, 3).raw_um, 0);
  EXPECT_EQ(model_.beneath({&p, 90}, air(21, 0.5), Instant{}, -3).raw_um, 0);
}

// The batch gives what single questions give.
TEST_F(Beneath_, StartsOfEveryHourAreTheSameAnswers) {
  std::vector<climate::Air> hours;
  for (int h = 0; h < 1500; ++h) {
    const double day = std::cos((h % 24 - 15) * 2 * 3.14159265 / 24), season = std::cos(h / 240.0);
    hours.push_back({15 + 5 * day + 4 * season, 0.6 - 0.15 * day, 101325, 0.1});
  }
  const auto series = climate::ClimateSeries::hourly(Instant{}, hours);
  const Instant first = Instant{} + Minutes{-90};
  for (const char* id : {"clear_water", "shellac_dewaxed", "mineral_spirits", "enamel_alkyd", "glue_epoxy"}) {
    const Coat coat{catalog_.product(id), 60};
    const std::vector<Readiness> all = model_.readiness_each_hour(coat, series, first, 40, {}, 3);
    ASSERT_EQ(all.size(), 40u);
    for (int h = 0; h < 40; h += 3) {
      const Readiness one = model_.readiness(coat, series, first + std::chrono::hours{h});
      for (int n = 0; n < kNeeds; ++n) {
        const Need need = static_cast<Need>(n);
        if (one[need].p90 == kNever) {
          EXPECT_EQ(all[static_cast<std::size_t>(h)][need].p90, kNever);
          continue;
        }
        EXPECT_NEAR(all[static_cast<std::size_t>(h)][need].p90, one[need].p90, 1e-9 * one[need].p90) << id << ' ' << h;
        EXPECT_NEAR(all[static_cast<std::size_t>(h)][need].p10, one[need].p10, 1e-9 * one[need].p10) << id << ' ' << h;
      }
    }
  }
}

}  // namespace
}  // namespace tackcloth::film
