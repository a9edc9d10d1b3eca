// Mass and heat of every product's curve close, and the fast form of the solvent films keeps to the moving grid.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>

#include "film/model_impl.h"
#include "film/slab_film.h"
#include "shop_catalog.h"
#include "small_catalog.h"

namespace tackcloth::film {
namespace {

class Balance : public testing::Test {
 protected:
  const catalog::Catalog& catalog_ = test::shop_catalog();
  const Model model_{catalog_};
};

climate::ClimateSeries changing() {
  std::vector<climate::Air> hours;
  for (int h = 0; h < 100; ++h) {
    const double wave = std::cos((h % 24 - 15) * 2 * 3.14159265 / 24);
    hours.push_back({19 + 5 * wave, 0.55 - 0.15 * wave, 100500, 0.15 + 0.05 * wave});
  }
  return climate::ClimateSeries::hourly(Instant{}, hours);
}

// Mass in = left + gone through the face, part by part; heat from air and radiation = latent heat of what went. The
// film stores none in the model: it is thin and the work behind it is taken as insulated.
TEST_F(Balance, MassAndHeatCloseForEveryProduct) {
  double worst_mass = 0, worst_heat = 0;
  int films = 0;
  for (const catalog::Product& p : catalog_.products) {
    if (!catalog::leaves_film(p) || p.volatiles.empty()) continue;
    for (const auto& air : {test::air(21, 0.5, 0.1), test::air(29, 0.35, 0.8), changing()}) {
      for (Ground ground : {Ground::sealed, Ground::bare_wood}) {
        const Model::Curve c = model_.curve({&p, p.label.wet_um, ground}, air, test::at_hour(6), 36);
        ASSERT_GT(c.hours.size(), 10u) << p.id;
        ++films;
        for (std::size_t i = 0; i < c.hours.size(); ++i) {
          double latent = 0, went = 0;
          for (std::size_t k = 0; k < c.components.size(); ++k) {
            const double in = p.label.wet_um * p.density_kg_l * p.volatiles[k].mass_fraction;
            EXPECT_NEAR(c.g_m2[k][i] + c.gone_g_m2[k][i], in, 1e-8 * in) << p.id << ' ' << c.components[k];
            worst_mass = std::max(worst_mass, std::fabs(c.g_m2[k][i] + c.gone_g_m2[k][i] - in) / in);
            const double heat = catalog_.component(c.components[k])->latent_kj_kg;
            latent += (in - c.g_m2[k][i]) * heat;  // g times kJ/kg is J
            went += std::fabs(in - c.g_m2[k][i]) * heat;
          }
          if (i == 0) continue;
          EXPECT_NEAR(c.heat_j_m2[i], latent, 1e-8 * went) << p.id << " at " << c.hours[i];
          worst_heat = std::max(worst_heat, std::fabs(c.heat_j_m2[i] - latent) / went);
        }
      }
    }
  }
  std::printf("  %d curves: mass to %.1e, heat to %.1e\n", films, worst_mass, worst_heat);
}

// The heat told is that of the air at the film's own temperature: integrated again from the curve.
TEST_F(Balance, TheHeatIsThatOfTheFilmsTemperature) {
  const catalog::Product& p = *catalog_.product("lacquer_nitro");
  const climate::Air air{21, 0.5, 101325, 0.5};
  const Model::Curve c = model_.curve({&p, 90}, climate::ClimateSeries::constant(air), Instant{}, 4);
  double low = 0, high = 0;
  for (std::size_t i = 1; i < c.hours.size(); ++i) {
    const double depression = (air.temp_c - c.film_temp_c[i]) * (c.hours[i] - c.hours[i - 1]) * 3600;
    low += depression * (heat_transfer_w_m2k(air.speed_m_s, 0, Lie::vertical) + radiation_w_m2k(air.temp_c));
    high += depression * (heat_transfer_w_m2k(air.speed_m_s, 0.15, Lie::vertical) + radiation_w_m2k(air.temp_c));
  }
  EXPECT_GT(c.heat_j_m2.back(), 0.999 * low);  // natural convection brings a little more
  EXPECT_LT(c.heat_j_m2.back(), high);
}

struct Course {
  double half_h = 0, ninety_h = 0, ninety_nine_h = 0, lag_h = 0;
};

// Hours to half, nine tenths, 99 % gone, and the hours the clock of ripening loses to the wet film.
template <class Step>
Course course(const Laid& laid, const climate::Air& air, Step step) {
  State state = fresh(laid, air);
  Course out;
  const double start = laid.volatile_m;
  while (state.t_h < 500) {
    const double before = volatile_volume_m(laid, state);
    if (before < 2e-3 * start) break;
    const State next = step(state);
    const double after = volatile_volume_m(laid, next);
    for (auto [share, at] : {std::pair{0.5, &out.half_h}, {0.1, &out.ninety_h}, {0.01, &out.ninety_nine_h}}) {
      if (before > share * start && after <= share * start)
        *at = state.t_h + (next.t_h - state.t_h) * (before - share * start) / (before - after);
    }
    state = next;
  }
  out.lag_h = state.t_h - state.progress / clock_rate(laid, 1, air);
  return out;
}

// `readiness` uses the first mode of the slab; `curve` the grid. Over every solvent film of the catalogue.
TEST_F(Balance, TheFastFormKeepsToTheGrid) {
  // Bounds measured, at half to twice the label's thickness: the first mode holds back a little too much at first and
  // too little at the end.
  double worst[4] = {0, 0, 0, 0}, worst_promise = 0;
  for (const catalog::Product& p : catalog_.products) {
    if (!catalog::leaves_film(p) || p.volatiles.empty()) continue;
    Recipe recipe = make_recipe(p, catalog_);
    anchor(recipe);
    for (double times : {0.5, 1.0, 2.0}) {
      const Laid laid = lay(recipe, {&p, times * p.label.wet_um, Ground::sealed, Lie::vertical});
      if (!dries_through_binder(laid)) continue;
      for (const climate::Air& air : {climate::Air{21, 0.5, 101325, 0.1}, climate::Air{28, 0.4, 101325, 0.6}}) {
        bool first = true;
        const Course fast = course(laid, air, [&](State& state) {
          const Flow now = flow(laid, air, state, first ? 4 : 1);
          first = false;
          double half_rate = 0;
          return step(laid, air, state, 0.3 * step_limit_h(laid, state, now), now, half_rate);
        });
        SlabFilm slab(laid, 20);
        Tally tally;
        const Course grid = course(laid, air, [&](State& state) {
          double now_rate = 0, half_rate = 0;
          const double dt = std::min(0.3 * slab.step_limit_h(state), 0.001 + 0.2 * state.t_h);
          return slab.step(air, air, state, dt, 1e-8, now_rate, half_rate, tally);
        });
        const double off[4] = {fast.half_h / grid.half_h - 1, fast.ninety_h / grid.ninety_h - 1,
                               fast.ninety_nine_h / grid.ninety_nine_h - 1, fast.lag_h / grid.lag_h - 1};
        for (int i = 0; i < 4; ++i) worst[i] = std::max(worst[i], std::fabs(off[i]));
        EXPECT_NEAR(off[0], 0, 0.14) << p.id << ' ' << times;  // half gone
        EXPECT_NEAR(off[1], 0, 0.12) << p.id << ' ' << times;  // nine tenths
        EXPECT_NEAR(off[2], 0, 0.17) << p.id << ' ' << times;  // 99 %
        // What it moves of a promise: the difference in the clock's loss, less the one the label's anchor takes up,
        // against the hours to recoat.
        const double recoat = fast.lag_h + p.label.recoat_h / clock_rate(laid, 1, air);
        const double promise = std::fabs(fast.lag_h - grid.lag_h) / recoat;
        worst_promise = std::max(worst_promise, promise);
        EXPECT_LT(promise, 0.05) << p.id << ' ' << times << " lag " << fast.lag_h << ' ' << grid.lag_h;
      }
    }
  }
  std::printf(
      "  fast form off the grid at worst: half %.1f %%, 90 %% %.1f %%, 99 %% %.1f %%, lag %.1f %%, promise %.1f %%\n",
      100 * worst[0], 100 * worst[1], 100 * worst[2], 100 * worst[3], 100 * worst_promise);
}

// Hotter, thinner, more air, sooner: on the grid too.
TEST_F(Balance, HotterThinnerMoreAirNeverLaterOnTheGrid) {
  for (const char* id : {"lacquer_nitro", "shellac_dewaxed", "varnish_wiping", "enamel_alkyd"}) {
    const catalog::Product& p = *catalog_.product(id);
    auto dry_h = [&](double wet, double temp, double speed) {
      const Model::Curve c = model_.curve({&p, wet}, test::air(temp, 0.5, speed), Instant{}, 60);
      double start = 0;
      for (const auto& part : c.g_m2) start += part[0];
      for (std::size_t i = 1; i < c.hours.size(); ++i) {
        double before = 0, after = 0;
        for (const auto& part : c.g_m2) before += part[i - 1], after += part[i];
        if (after <= 0.05 * start)
          return c.hours[i - 1] + (c.hours[i] - c.hours[i - 1]) * (before - 0.05 * start) / (before - after);
      }
      return kNever;
    };
    const double middle = dry_h(70, 20, 0.2);
    ASSERT_LT(middle, kNever) << id;
    EXPECT_LT(dry_h(50, 20, 0.2), middle) << id;
    EXPECT_LT(dry_h(70, 26, 0.2), middle) << id;
    EXPECT_LT(dry_h(70, 20, 0.6), middle) << id;
    EXPECT_GT(dry_h(110, 20, 0.2), middle) << id;
    EXPECT_GT(dry_h(70, 13, 0.2), middle) << id;
  }
}

}  // namespace
}  // namespace tackcloth::film
