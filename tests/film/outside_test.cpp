// The air side against published tables: every vapour pressure of the catalogue that a table has, relative evaporation
// of fifteen liquids, free water against three correlations. Beside each number: read, or from memory.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>

#include "film/gas.h"
#include "shop_catalog.h"

namespace tackcloth::film {
namespace {

// Perry's Chemical Engineers' Handbook, 8th ed., table 2-8: ln(p/Pa) = C1 + C2/T + C3 ln T + C4 T^C5, T in K. Read in
// the data file of an open property library that carries the table.
struct Perry {
  const char* id;
  double c1, c2, c3, c4, c5;
  double within;  // held at 10 to 40 °C
};
// Propylene glycol and benzyl alcohol are fitted to this table. Butyl acetate is not: published tables differ by a
// tenth and more, and the catalogue's agrees better with measured evaporation rates (below). The heavy spirits follow
// another table, which lies a tenth below this one at 10 °C.
constexpr Perry kPerry[] = {
    {"water", 73.649, -7258.2, -7.3037, 4.1653e-06, 2, 0.01},
    {"ms_light", 109.35, -9030.4, -12.882, 7.8544e-06, 2, 0.035},  // nonane
    {"ms_heavy", 131, -11143, -15.855, 8.1871e-06, 2, 0.12},       // undecane
    {"naphtha", 96.084, -7900.2, -11.003, 7.1802e-06, 2, 0.02},    // octane
    {"heptane", 87.829, -6996.4, -9.8802, 7.2099e-06, 2, 0.02},
    {"ethanol", 73.304, -7122.3, -7.1424, 2.8853e-06, 2, 0.02},
    {"methanol", 82.718, -6904.5, -8.8622, 7.4664e-06, 2, 0.02},
    {"isopropanol", 96.094, -8575.4, -10.292, 1.6665e-17, 6, 0.05},
    {"acetone", 69.006, -5599.6, -7.0985, 6.2237e-06, 2, 0.02},
    {"ethyl_acetate", 66.824, -6227.6, -6.41, 1.7914e-17, 6, 0.03},
    {"butyl_acetate", 122.82, -9253.2, -14.99, 1.047e-05, 2, 0.19},
    {"toluene", 76.945, -6729.8, -8.179, 5.3017e-06, 2, 0.02},
    {"xylene", 85.099, -7615.9, -9.3072, 5.5643e-06, 2, 0.05},  // the meta form
    {"propylene_glycol", 212.8, -15420, -28.109, 2.1564e-05, 2, 0.02},
    {"benzyl_alcohol", 100.68, -11059, -10.709, 3.0582e-18, 6, 0.02},
};
double pressure(const Perry& p, double temp_c) {
  const double t = temp_c + 273.15;
  return std::exp(p.c1 + p.c2 / t + p.c3 * std::log(t) + p.c4 * std::pow(t, p.c5));
}

TEST(VapourPressureTables, PerryForEveryPartOfTheCatalogueItHas) {
  for (const Perry& row : kPerry) {
    const Part part = part_of(*test::shop_catalog().component(row.id), 1);
    double worst = 0;
    for (double t : {10.0, 20.0, 25.0, 30.0, 40.0}) {
      const double off = vapour_pressure_pa(part, t) / pressure(row, t) - 1;
      if (std::fabs(off) > std::fabs(worst)) worst = off;
      EXPECT_NEAR(off, 0, row.within) << row.id << ' ' << t;
    }
    std::printf("  %-18s %+.1f %% at worst, 10 to 40 C\n", row.id, 100 * worst);
  }
}

// NIST Chemistry WebBook, Antoine: log10(p/bar) = A - B / (T + C), T in K, inside the range of each fit. Read as quoted
// by several open programs that agree with each other.
TEST(VapourPressureTables, NistAntoine) {
  const struct {
    const char* id;
    double a, b, c, low_k, high_k;
  } table[] = {
      {"water", 4.6543, 1435.264, -64.848, 255.9, 373},
      {"acetone", 4.42448, 1312.253, -32.445, 259.16, 507.6},
      {"ethanol", 5.37229, 1670.409, -40.191, 273, 351.7},
      {"methanol", 5.20409, 1581.341, -33.5, 288.1, 356.83},
      {"heptane", 4.02832, 1268.636, -56.199, 299.07, 372.43},
      {"ethyl_acetate", 4.22809, 1245.702, -55.189, 288.73, 348.98},
      {"toluene", 4.23679, 1426.448, -45.957, 273.13, 297.89},
  };
  for (const auto& row : table) {
    const Part part = part_of(*test::shop_catalog().component(row.id), 1);
    for (double t : {12.0, 16.0, 20.0, 24.0, 28.0, 34.0}) {
      const double k = t + 273.15;
      if (k < row.low_k || k > row.high_k) continue;
      const double nist = 1e5 * std::pow(10, row.a - row.b / (k + row.c));
      EXPECT_NEAR(vapour_pressure_pa(part, t) / nist, 1, 0.03) << row.id << ' ' << t;
    }
  }
}

// A liquid the catalogue does not carry: vapour pressure through two points.
Part liquid(double molar_mass_g, double density_kg_l, double latent_kj_kg, double diffusivity, double t1, double p1,
            double t2, double p2) {
  catalog::Component c;
  c.molar_mass_g = molar_mass_g;
  c.density_kg_l = density_kg_l;
  c.latent_kj_kg = latent_kj_kg;
  c.diffusivity_air_m2_s = diffusivity;
  Part part = part_of(c, 1);
  part.c = 230;
  part.ln_b = std::log(p2 / p1) / (1 / (part.c + t1) - 1 / (part.c + t2));
  part.ln_a = std::log(p1) + part.ln_b / (part.c + t1);
  return part;
}

// Relative evaporation by volume, n-butyl acetate = 1, thin film at 25 °C in dry moving air (ASTM D3539 type).
// The paper hangs in a gentle stream, 0.2 m/s taken. Read: acetone, methyl ethyl ketone, xylene, water, 95 % ethanol,
// naphtha, mineral spirits in a public glossary of safety data sheets; methoxypropanol 0.62, dipropylene glycol methyl
// ether 0.035 and butyl ether 0.006 as suppliers' data sheets are quoted. From memory: the others (published lists
// scatter: ethyl acetate 2.8 to 4.2, isopropanol 1.4 to 1.7, butanol 0.3 to 0.46).
TEST(RelativeEvaporationTables, PureLiquidsRankAndRatio) {
  const catalog::Catalog& shop = test::shop_catalog();
  const Perry ketone{"", 72.698, -6143.6, -7.5779, 5.6476e-06, 2, 0};
  const Perry butanol{"", 106.295, -9866.4, -11.655, 1.0832e-17, 6, 0};
  auto own = [&](const char* id) { return part_of(*shop.component(id), 1); };
  auto perry = [](const Perry& p, double m, double rho, double latent, double d) {
    return liquid(m, rho, latent, d, 5, pressure(p, 5), 25, pressure(p, 25));
  };
  const struct {
    const char* name;
    Part part;
    double rate;
    double high = 0;  // where published values differ
  } table[] = {
      {"acetone", own("acetone"), 5.6},
      {"ethyl acetate", own("ethyl_acetate"), 4.1},
      // Vapour pressure: Perry, table 2-8, read. Density, latent heat, Fuller diffusivity: from memory.
      {"methyl ethyl ketone", perry(ketone, 72.11, 0.805, 481, 9.3e-6), 3.8},
      {"toluene", own("toluene"), 1.9},
      {"isopropanol", own("isopropanol"), 1.5},
      {"ethanol", own("ethanol"), 1.5},
      {"naphtha", own("naphtha"), 1.4},
      {"butyl acetate", own("butyl_acetate"), 1.0},
      // 1.6 kPa at 25 °C, boils at 120 °C, 0.75 as the high rate: from memory.
      {"methoxypropanol", liquid(90.12, 0.919, 430, 8.9e-6, 25, 1600, 120, 101325), 0.62, 0.75},
      {"xylene", own("xylene"), 0.6},
      {"butanol", perry(butanol, 74.12, 0.806, 707, 9.3e-6), 0.45},
      {"water", own("water"), 0.3},
      {"butoxyethanol", own("butoxyethanol"), 0.07},
      // 37 Pa at 20 °C, boils at 190 °C: read in a national report on coformulants.
      {"dipropylene glycol methyl ether", liquid(148.2, 0.951, 330, 6.3e-6, 20, 37, 190, 101325), 0.035},
      {"dipropylene glycol butyl ether", own("dpnb"), 0.006},
  };
  const climate::Air air{25, 0.0, 101325, 0.2};
  auto speed = [&](const Part& p) { return free_evaporation(p, air, Lie::vertical).kg_m2_s / p.density_kg_m3; };
  const double reference = speed(own("butyl_acetate"));
  std::vector<double> rates;
  for (const auto& row : table) {
    rates.push_back(speed(row.part) / reference);
    std::printf("  %-32s table %.3f  model %.3f  %+.0f %%\n", row.name, row.rate, rates.back(),
                100 * (rates.back() / row.rate - 1));
    EXPECT_GT(rates.back(), 0.75 * row.rate) << row.name;
    EXPECT_LT(rates.back(), 1.25 * std::max(row.rate, row.high)) << row.name;
  }
  for (std::size_t i = 1; i < rates.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      // Rank, where the table sets two apart by more than its own scatter of a tenth.
      if (table[i].rate < 0.9 * table[j].rate) {
        EXPECT_LT(rates[i], rates[j]) << table[i].name << " after " << table[j].name;
      }
    }
  }
}

// A blend is timed until nine tenths have gone: light parts first, Raoult's law. Mineral spirits 0.1, read in the same
// glossary; 25 %.
TEST(RelativeEvaporationTables, MineralSpiritsToNineTenths) {
  const catalog::Catalog& shop = test::shop_catalog();
  const climate::Air air{25, 0.0, 101325, 0.2};
  auto to_ninety = [&](const catalog::Product& p) {
    std::vector<Part> parts;
    std::vector<double> mass, free_kg;
    double whole = 0;
    for (const catalog::Volatile& v : p.volatiles) {
      parts.push_back(part_of(*shop.component(v.component), v.mass_fraction));
      mass.push_back(0.05 * v.mass_fraction);
      free_kg.push_back(free_evaporation(parts.back(), air, Lie::vertical).kg_m2_s);
      whole += mass.back() / parts.back().density_kg_m3;
    }
    double seconds = 0, left = whole;
    for (const double dt = 1; left > 0.1 * whole; seconds += dt) {
      double moles = 0;
      for (std::size_t i = 0; i < parts.size(); ++i) moles += mass[i] / parts[i].molar_mass_kg;
      left = 0;
      for (std::size_t i = 0; i < parts.size(); ++i) {
        mass[i] = std::max(0.0, mass[i] - dt * free_kg[i] * mass[i] / parts[i].molar_mass_kg / moles);
        left += mass[i] / parts[i].density_kg_m3;
      }
    }
    return std::pair{seconds, whole};
  };
  const auto [seconds, whole] = to_ninety(*shop.product("mineral_spirits"));
  const Part acetate = part_of(*shop.component("butyl_acetate"), 1);
  const double reference = free_evaporation(acetate, air, Lie::vertical).kg_m2_s / acetate.density_kg_m3;
  const double rate = 0.9 * whole / seconds / reference;
  std::printf("  mineral spirits %.3f\n", rate);
  EXPECT_GT(rate, 0.075);
  EXPECT_LT(rate, 0.125);
}

// Free water, face told by the model, against three published correlations, in nearly still air. A pool is metres wide
// and its air is stirred; a panel of 0.3 m is not: what is asked is that we lie among them and follow their trend.
TEST(FreeWaterTables, LiesAmongThreeCorrelations) {
  const Part water = part_of(*test::shop_catalog().component("water"), 1);
  double low = kNever, high = 0, still_low = kNever, still_high = 0;
  for (double temp : {12.0, 18.0, 24.0, 30.0}) {
    for (double rh : {0.2, 0.4, 0.6, 0.8}) {
      for (double speed : {0.05, 0.15}) {
        const Free e = free_evaporation(water, {temp, rh, 101325, speed}, Lie::horizontal);
        const double drive = vapour_pressure_pa(water, e.temp_c) - rh * vapour_pressure_pa(water, temp);
        const double latent = 2442;
        // Carrier, as the ASHRAE Handbook, HVAC Applications (natatoriums) gives it: from memory.
        const double ashrae = (0.089 + 0.0782 * speed) * drive / 1000 / latent;
        // Smith, Loef and Jones, ASHRAE Transactions 100(1), 1994, unoccupied pools: (30.6 + 32.1 v) drive / latent, in
        // mmHg, kJ/kg and kg/(h m2): from memory.
        const double smith = (30.6 + 32.1 * speed) * (drive / 133.322) / latent / 3600;
        // Shah, ASHRAE Transactions 120(2), 2014: air currents alone, 5e-5 kg/(h m2 Pa): from memory.
        const double shah = 5e-5 / 3600 * drive;
        EXPECT_LT(e.kg_m2_s, ashrae) << temp << ' ' << rh << ' ' << speed;
        if (speed < 0.1) {  // undisturbed
          EXPECT_NEAR(e.kg_m2_s / shah, 1, 0.25) << temp << ' ' << rh;
          still_low = std::min(still_low, e.kg_m2_s / shah), still_high = std::max(still_high, e.kg_m2_s / shah);
        } else {  // the stir of a room: between the two pools
          const double ratio = e.kg_m2_s / std::sqrt(shah * smith);
          EXPECT_NEAR(ratio, 1, 0.25) << temp << ' ' << rh;
          low = std::min(low, ratio), high = std::max(high, ratio);
        }
      }
    }
  }
  std::printf("  still: %.2f to %.2f of Shah; at 0.15 m/s: %.2f to %.2f of the middle of Shah and Smith\n", still_low,
              still_high, low, high);
}

}  // namespace
}  // namespace tackcloth::film
