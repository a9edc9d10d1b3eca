// The air side against published values. What was read and what is from memory is said beside each number.
#include <gtest/gtest.h>

#include <cmath>

#include "film/gas.h"
#include "small_catalog.h"

namespace tackcloth::film {
namespace {

Part part(const char* id) { return part_of(*test::small_catalog().component(id), 1.0); }

// Saturation over water, kPa: ASHRAE Handbook, Fundamentals (2017), chapter 1, table 3 (from memory).
TEST(VapourPressure, WaterAgainstTheSteamTable) {
  const double table[][2] = {{5, 0.8726}, {10, 1.2282}, {20, 2.3393}, {25, 3.1693}, {30, 4.2470}, {40, 7.3853}};
  for (const auto& row : table) EXPECT_NEAR(vapour_pressure_pa(part("water"), row[0]) / 1000, row[1], 0.006 * row[1]);
}

// CRC Handbook of Chemistry and Physics, vapour pressures at 25 °C, kPa (from memory).
TEST(VapourPressure, SolventsAgainstTheHandbook) {
  const struct {
    const char* id;
    double kpa;
  } table[] = {{"acetone", 30.8}, {"ethanol", 7.87},       {"isopropanol", 6.02}, {"ethyl_acetate", 12.6},
               {"toluene", 3.79}, {"butyl_acetate", 1.66}, {"ms_light", 0.57}};
  for (const auto& row : table)
    EXPECT_NEAR(vapour_pressure_pa(part(row.id), 25) / 1000, row.kpa, 0.05 * row.kpa) << row.id;
}

TEST(VapourPressure, SlopeIsTheDerivative) {
  for (const char* id : {"water", "acetone", "ms_heavy"}) {
    const Part p = part(id);
    const double by_hand = std::log(vapour_pressure_pa(p, 20.01) / vapour_pressure_pa(p, 19.99)) / 0.02;
    EXPECT_NEAR(vapour_pressure_slope(p, 20), by_hand, 1e-6);
  }
}

// A wet, thin thermometer in fast air shows the wet bulb: 20 °C, 50 % is 13.8 °C (ASHRAE chart, from memory). Ours
// sits above by what radiation brings, and comes nearer with speed.
TEST(FilmTemperature, NearsTheWetBulbInFastAir) {
  const Free still = free_evaporation(part("water"), {20, 0.5, 101325, 0.1}, Lie::vertical);
  const Free fast = free_evaporation(part("water"), {20, 0.5, 101325, 10}, Lie::vertical);
  EXPECT_GT(still.temp_c, fast.temp_c);
  EXPECT_NEAR(fast.temp_c, 13.8, 0.8);
  EXPECT_LT(still.temp_c, 19);
}

TEST(FilmTemperature, SaturatedAirTakesNothing) {
  const Free wet = free_evaporation(part("water"), {20, 1.0, 101325, 0.5}, Lie::horizontal);
  EXPECT_NEAR(wet.kg_m2_s, 0, 1e-12);
  EXPECT_NEAR(wet.temp_c, 20, 1e-6);
}

// Free water in nearly still air. Carrier's equation as in the ASHRAE Handbook, HVAC Applications (natatoriums):
// (0.089 + 0.0782 v) (pw - pa) / latent, kPa and kJ/kg, times 0.5 for an unoccupied pool; and Shah, ASHRAE Transactions
// 120(2), 2014: 5e-5 kg/(h m2 Pa) for undisturbed water. Both from memory. A pool is not a panel: 30 % asked.
TEST(FreeWater, AgreesWithTwoCorrelations) {
  for (double temp : {15.0, 20.0, 25.0, 30.0}) {
    for (double rh : {0.3, 0.5, 0.7}) {
      const Part water = part("water");
      const Free e = free_evaporation(water, {temp, rh, 101325, 0.1}, Lie::horizontal);
      const double drive = vapour_pressure_pa(water, e.temp_c) - rh * vapour_pressure_pa(water, temp);
      const double ashrae = 0.5 * (0.089 + 0.0782 * 0.1) * drive / 1000 / 2442;
      const double shah = 5e-5 / 3600 * drive;
      EXPECT_NEAR(e.kg_m2_s / ashrae, 1, 0.30) << temp << ' ' << rh;
      EXPECT_NEAR(e.kg_m2_s / shah, 1, 0.30) << temp << ' ' << rh;
    }
  }
}

// Relative evaporation rates by volume, n-butyl acetate = 1, thin film at 25 °C in dry moving air (ASTM D3539 type).
// Acetone, xylene, water and 95 % ethanol as listed by a public solvent glossary; the others from memory.
TEST(RelativeEvaporation, PureSolventsRankAndRatio) {
  const struct {
    const char* id;
    double rate;
  } table[] = {{"acetone", 5.6}, {"ethyl_acetate", 4.1}, {"toluene", 1.9}, {"isopropanol", 1.5},
               {"ethanol", 1.5}, {"xylene", 0.6},        {"water", 0.3}};
  const climate::Air air{25, 0.0, 101325, 1.0};
  auto speed = [&](const char* id) {
    const Part p = part(id);
    return free_evaporation(p, air, Lie::horizontal).kg_m2_s / p.density_kg_m3;
  };
  const double reference = speed("butyl_acetate");
  double last = kNever;
  for (const auto& row : table) {
    const double rate = speed(row.id) / reference;
    EXPECT_NEAR(rate / row.rate, 1, 0.25) << row.id << ' ' << rate;
    if (std::string(row.id) != "ethanol") {  // it ties with isopropanol
      EXPECT_LT(rate, last) << row.id;
    }
    last = rate;
  }
}

}  // namespace
}  // namespace tackcloth::film
