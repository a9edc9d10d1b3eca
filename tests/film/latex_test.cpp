// Latex drying after Kiil, Progress in Organic Coatings 57 (2006) 236-250: the rate is constant until the polymer fills
// 74 % by volume, then water vapour crosses a porous layer at 7e-7 m2/s; films of 89-1322 µm, 19-47 % polymer.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "film/evaporate.h"
#include "small_catalog.h"

namespace tackcloth::film {
namespace {

catalog::Product latex(double polymer) {
  const double density = polymer * 1.1 + (1 - polymer) * 0.998;
  catalog::Product p =
      test::product("latex", catalog::Binder::acrylic, catalog::Carrier::water, catalog::Cure::coalescence, density,
                    polymer * 1.1 / density, polymer, {{"water", (1 - polymer) * 0.998 / density}},
                    test::label(100, 1, 4, 4, 72, 24, 504));
  return p;
}

struct Case {
  double wet_um, polymer;
};
class Kiil : public testing::TestWithParam<Case> {};

TEST_P(Kiil, ConstantRateUntilTheParticlesPackThenFalling) {
  catalog::Catalog catalog = test::small_catalog();
  const catalog::Product p = latex(GetParam().polymer);
  const Recipe recipe = make_recipe(p, catalog);
  const Laid laid = lay(recipe, {&p, GetParam().wet_um, Ground::sealed, Lie::horizontal});
  const climate::Air air{22, 0.5, 101325, 0.2};
  auto rate_at = [&](double solid, double& film_c) {
    State s = fresh(laid, air);
    s.kg_m2[0] = laid.solids_m * (1 / solid - 1) * recipe.parts[0].density_kg_m3;
    const Flow f = flow(laid, air, s, 60);
    film_c = s.film_c;
    return f.kg_m2_s[0];
  };
  double film_c = 0, wet_c = 0;
  const double plateau = rate_at(GetParam().polymer, wet_c);
  for (double solid = GetParam().polymer; solid <= 0.739; solid += 0.02) {
    // The law of the last thousandth takes up to a thousandth just before packing.
    EXPECT_NEAR(rate_at(solid, film_c), plateau, 0.0011 * plateau) << solid;
  }
  // Falling: an independent balance at the same film temperature. Vapour crosses the air's resistance, found from the
  // plateau, and that of the dry layer, whose thickness follows from the water left in pores of 26 %.
  const Part& water = recipe.parts[0];
  const double far = 0.5 * vapour_pressure_pa(water, 22);
  const double molar = water.molar_mass_kg / (kGas * (22 + kZeroC));
  const double open = plateau / (molar * (vapour_pressure_pa(water, wet_c) - far));  // m/s
  for (double solid : {0.78, 0.85, 0.92, 0.97}) {
    const double rate = rate_at(solid, film_c);
    const double bed = laid.solids_m / 0.74, left = laid.solids_m * (1 / solid - 1);
    const double dry = bed - left / 0.26;
    const double expected = molar * (vapour_pressure_pa(water, film_c) - far) / (1 / open + dry / 7e-7);
    EXPECT_LT(rate, plateau);
    EXPECT_NEAR(rate, expected, 0.06 * expected) << solid;  // the air's own resistance moves a little with temperature
  }
}

TEST_P(Kiil, TheStepsAddUpToTheConstantRateTime) {
  catalog::Catalog catalog = test::small_catalog();
  catalog.products = {latex(GetParam().polymer)};
  const Model model(catalog);
  const climate::Air air{22, 0.5, 101325, 0.2};
  const Model::Curve c = model.curve({&catalog.products[0], GetParam().wet_um, Ground::sealed, Lie::horizontal},
                                     climate::ClimateSeries::constant(air), Instant{}, 72);
  const double polymer = GetParam().polymer, wet_m = GetParam().wet_um * 1e-6;
  const double gone_g = wet_m * polymer * (1 / polymer - 1 / 0.74) * 998e3;  // until packed
  std::size_t i = 0;
  while (i + 1 < c.hours.size() && c.g_m2[0][0] - c.g_m2[0][i] < gone_g) ++i;
  ASSERT_GT(i, 0u);
  const double w = (gone_g - (c.g_m2[0][0] - c.g_m2[0][i - 1])) / (c.g_m2[0][i - 1] - c.g_m2[0][i]);
  const double packed_h = c.hours[i - 1] + w * (c.hours[i] - c.hours[i - 1]);
  const double rate = free_evaporation(part_of(*catalog.component("water"), 1), air, Lie::horizontal).kg_m2_s * 3.6e6;
  EXPECT_NEAR(packed_h, gone_g / rate, 0.03 * gone_g / rate);
}

// The whole curve against Kiil's equations put down again here and integrated on their own (classical Runge-Kutta, a
// thousand steps): vapour crosses the air's film and, from packing on, the dry layer; the face's temperature follows
// from its heat. The air's coefficients are those of the wet face and are kept.
TEST_P(Kiil, TheWholeCurveIsThatOfHisEquations) {
  catalog::Catalog catalog = test::small_catalog();
  catalog.products = {latex(GetParam().polymer)};
  const climate::Air air{22, 0.5, 101325, 0.2};
  const double polymer = GetParam().polymer, wet_m = GetParam().wet_um * 1e-6;

  const Part water = part_of(*catalog.component("water"), 1);
  const Free wet = free_evaporation(water, air, Lie::horizontal);
  auto pressure = [](double t) { return 133.322387 * std::pow(10, 7.99074 - 1687.537 / (230.170 + t)); };
  const double far = 0.5 * pressure(22), molar = 0.018015 / (8.314462618 * 295.15);
  const double k_m_s = wet.kg_m2_s / (molar * (pressure(wet.temp_c) - far));
  const double heat = wet.kg_m2_s * 2442e3 / (22 - wet.temp_c);
  const double bed_m = wet_m * polymer / 0.74, full_kg = wet_m * (1 - polymer) * 998;
  auto rate = [&](double left_kg) {
    const double dry_m = std::clamp(bed_m - left_kg / 998 / 0.26, 0.0, bed_m);
    const double through = 1 / (1 / k_m_s + dry_m / 7e-7);
    double t = wet.temp_c;
    for (int i = 0; i < 30; ++i) {
      const double miss = heat * (22 - t) - through * molar * (pressure(t) - far) * 2442e3;
      const double slope = heat + through * molar * (pressure(t + 0.01) - pressure(t)) / 0.01 * 2442e3;
      t += miss / slope;
    }
    return through * molar * (pressure(t) - far);
  };
  // In even bites of water instead of time: dt = dm / rate.
  auto hours_until = [&](double left_kg, double from_kg) {
    const int n = 1000;
    const double bite = (from_kg - left_kg) / n;
    double seconds = 0;
    for (int i = 0; i < n; ++i) {
      const double a = from_kg - i * bite;
      seconds += bite / 6 * (1 / rate(a) + 4 / rate(a - 0.5 * bite) + 1 / rate(a - bite));
    }
    return seconds / 3600;
  };
  const double packed_kg = wet_m * polymer * (1 / 0.74 - 1) * 998;
  const double packed_h = hours_until(packed_kg, full_kg);
  struct {
    double left_kg, hours;
  } expected[] = {{0.5 * (full_kg + packed_kg), 0.5 * packed_h},
                  {packed_kg, packed_h},
                  {0.5 * packed_kg, packed_h + hours_until(0.5 * packed_kg, packed_kg)},
                  {0.05 * full_kg, hours_until(0.05 * full_kg, full_kg)},
                  {0.01 * full_kg, hours_until(0.01 * full_kg, full_kg)}};

  const Model model(catalog);
  const Model::Curve c = model.curve({&catalog.products[0], GetParam().wet_um, Ground::sealed, Lie::horizontal},
                                     climate::ClimateSeries::constant(air), Instant{}, 1.5 * expected[4].hours);
  for (const auto& mark : expected) {
    std::size_t i = 1;
    while (i + 1 < c.hours.size() && c.g_m2[0][i] > 1000 * mark.left_kg) ++i;
    const double w = (c.g_m2[0][i - 1] - 1000 * mark.left_kg) / (c.g_m2[0][i - 1] - c.g_m2[0][i]);
    const double at_h = c.hours[i - 1] + w * (c.hours[i] - c.hours[i - 1]);
    EXPECT_NEAR(at_h, mark.hours, 0.03 * mark.hours) << "left " << mark.left_kg / full_kg;
  }
}

INSTANTIATE_TEST_SUITE_P(OverTheRange, Kiil,
                         testing::Values(Case{89, 0.19}, Case{89, 0.47}, Case{300, 0.35}, Case{700, 0.25},
                                         Case{1322, 0.19}, Case{1322, 0.47}));

}  // namespace
}  // namespace tackcloth::film
