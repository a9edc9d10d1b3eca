// Rules of thumb of the trade. Common practice, no source: they are checks of sense, not of truth.
#include <gtest/gtest.h>

#include <cmath>

#include "film/film.h"
#include "shop_catalog.h"
#include "small_catalog.h"

namespace tackcloth::film {
namespace {

using test::air;

class CommonPractice : public testing::Test {
 protected:
  const catalog::Catalog& catalog_ = test::shop_catalog();
  const Model model_{catalog_};
  double hours(const char* id, Need need, double wet_um, double temp_c, double rh = 0.5, double speed = 0.1) const {
    return model_.readiness({catalog_.product(id), wet_um}, air(temp_c, rh, speed), Instant{})[need].p50;
  }
};

TEST_F(CommonPractice, TenDegreesHalveOrDoubleTheWait) {
  for (const char* id :
       {"varnish_brushing", "enamel_alkyd", "clear_water", "paint_acrylic", "glue_epoxy", "hardwax_oil"}) {
    const double wet = catalog_.product(id)->label.wet_um;
    for (Need need : {Need::recoat_same, Need::handle}) {
      const double cool = hours(id, need, wet, 16), warm = hours(id, need, wet, 26);
      EXPECT_GT(cool / warm, 1.6) << id;
      EXPECT_LT(cool / warm, 2.8) << id;
    }
  }
}

TEST_F(CommonPractice, TwoThinCoatsWaitLessThanOneThick) {
  for (const char* id : {"varnish_brushing", "enamel_alkyd", "shellac_dewaxed", "lacquer_nitro"}) {
    const double wet = catalog_.product(id)->label.wet_um;
    const double thin = hours(id, Need::recoat_same, wet, 20), thick = hours(id, Need::recoat_same, 2 * wet, 20);
    EXPECT_GT(thick, 2 * thin) << id;
  }
}

TEST_F(CommonPractice, ThreeDaysBetweenOilAndWaterSystems) {
  for (const char* id : {"paint_acrylic", "clear_water", "varnish_brushing", "enamel_alkyd"}) {
    const catalog::Product& p = *catalog_.product(id);
    EXPECT_NEAR(hours(id, Need::recoat_other, p.label.wet_um, p.label.temp_c, p.label.rh, p.label.air_m_s), 72, 0.1)
        << id;
    EXPECT_GT(hours(id, Need::recoat_other, p.label.wet_um, 14), 90) << id;
  }
}

TEST_F(CommonPractice, SpiritsOvernight) {
  const double h = hours("mineral_spirits", Need::recoat_same, 30, 20);
  EXPECT_GT(h, 8);
  EXPECT_LT(h, 24);
}

}  // namespace
}  // namespace tackcloth::film
