// Volatile components against published properties.
#include <algorithm>
#include <cmath>

#include "support.h"

namespace tackcloth::catalog {
namespace {

using test::shipped;

double vapour_mmhg(const Component& c, double temp_c) {
  return std::pow(10.0, c.antoine_a - c.antoine_b / (c.antoine_c + temp_c));
}

const Component& component(const char* id) {
  const Component* c = shipped().component(id);
  if (!c) ADD_FAILURE() << id;
  static const Component none;
  return c ? *c : none;
}

// Normal boiling points, CRC Handbook of Chemistry and Physics (from memory); 2-butoxyethanol from the NIOSH Pocket
// Guide, 339 °F. The two coalescents are fitted through theirs and prove nothing, so they are not here. Benzyl alcohol
// and propylene glycol are fitted at 0 to 45 °C, where coats dry, and are held to a table there
// (tests/film/outside_test.cpp).
TEST(Component, BoilsWhereItShould) {
  struct {
    const char* id;
    double boiling_c;
  } table[] = {
      {"water", 100.0},         {"methanol", 64.6},      {"ethanol", 78.3},        {"isopropanol", 82.3},
      {"acetone", 56.05},       {"ethyl_acetate", 77.1}, {"butyl_acetate", 126.1}, {"toluene", 110.6},
      {"xylene", 139.1},        {"heptane", 98.4},       {"naphtha", 125.7},       {"ms_light", 150.8},
      {"ms_heavy", 195.9},      {"turpentine", 156.2},   {"butoxyethanol", 170.6}, {"propellant_butane", -11.7},
      {"dimethyl_ether", -24.8}};
  for (const auto& row : table) EXPECT_NEAR(vapour_mmhg(component(row.id), row.boiling_c), 760, 760 * 0.03) << row.id;
}

// Vapour pressures at 25 °C, CRC Handbook (from memory), kPa.
TEST(Component, VapourPressureAtRoomTemperature) {
  struct {
    const char* id;
    double kpa, share;
  } table[] = {{"water", 3.169, 0.01},        {"methanol", 16.94, 0.02},  {"ethanol", 7.87, 0.02},
               {"isopropanol", 6.02, 0.03},   {"acetone", 30.8, 0.02},    {"ethyl_acetate", 12.6, 0.02},
               {"butyl_acetate", 1.66, 0.03}, {"toluene", 3.79, 0.02},    {"xylene", 1.13, 0.03},
               {"heptane", 6.09, 0.02},       {"naphtha", 1.86, 0.02},    {"ms_light", 0.571, 0.03},
               {"ms_heavy", 0.0523, 0.05},    {"turpentine", 0.633, 0.10}};
  for (const auto& row : table) {
    EXPECT_NEAR(vapour_mmhg(component(row.id), 25) * 0.133322, row.kpa, row.kpa * row.share) << row.id;
  }
  // NIOSH Pocket Guide (from memory): Stoddard solvent 2 mmHg and 2-butoxyethanol 0.8 mmHg at 20 °C.
  const auto& light = component("ms_light");
  const auto& heavy = component("ms_heavy");
  const double n_light = 0.5 / light.molar_mass_g, n_heavy = 0.5 / heavy.molar_mass_g;
  const double blend = (n_light * vapour_mmhg(light, 20) + n_heavy * vapour_mmhg(heavy, 20)) / (n_light + n_heavy);
  EXPECT_NEAR(blend, 2.0, 0.3);
  EXPECT_NEAR(vapour_mmhg(component("butoxyethanol"), 20), 0.7, 0.2);
}

// Clausius-Clapeyron: the slope of the vapour pressure gives the latent heat of an ideal vapour. Fits made far above
// room temperature are further off; propellants are gases at 25 °C and are taken at their boiling point.
TEST(Component, LatentHeatAgreesWithTheSlopeOfVapourPressure) {
  for (const auto& c : shipped().components) {
    const double boiling_c = c.antoine_b / (c.antoine_a - std::log10(760.0)) - c.antoine_c;
    const double celsius = std::min(25.0, boiling_c), kelvin = celsius + 273.15;
    const double slope = std::log(10.0) * c.antoine_b / std::pow(c.antoine_c + celsius, 2);  // d ln p / dT
    const double latent = 8.314462 * kelvin * kelvin * slope / c.molar_mass_g;               // J/g = kJ/kg
    const bool fitted_hot = c.id == "benzyl_alcohol" || c.id == "propylene_glycol";
    EXPECT_NEAR(latent / c.latent_kj_kg, 1, fitted_hot ? 0.20 : 0.06) << c.id;
  }
}

// Measured diffusivities in air at 25 °C: Lugg (1968), Anal. Chem. 40, 1072 (from memory), cm2/s; water: 0.249 to 0.26.
TEST(Component, DiffusivityInAirNearMeasured) {
  struct {
    const char* id;
    double cm2_s;
  } table[] = {{"water", 0.250},         {"methanol", 0.152},      {"ethanol", 0.118}, {"isopropanol", 0.101},
               {"acetone", 0.105},       {"ethyl_acetate", 0.086}, {"toluene", 0.085}, {"xylene", 0.069},
               {"butyl_acetate", 0.067}, {"naphtha", 0.062}};
  for (const auto& row : table) {
    EXPECT_NEAR(component(row.id).diffusivity_air_m2_s * 1e4 / row.cm2_s, 1, 0.10) << row.id;
  }
}

// What is entered must never be laxer than any list that could be read: 29 CFR 1910.1000 tables Z-1 and Z-2 and NIOSH
// REL (NIOSH, Documentation for IDLHs, 1994; OSHA sampling information), Ontario Reg. 833, which follows ACGIH,
// Cal/OSHA for toluene; 0: none set there.
TEST(Component, LimitsAreNoLaxerThanAnyListRead) {
  struct {
    const char* id;
    double osha_ppm, niosh_ppm, acgih_ppm, short_ppm;
  } table[] = {
      {"ethanol", 1000, 1000, 0, 1000},  {"methanol", 200, 200, 200, 250},    {"isopropanol", 400, 400, 200, 400},
      {"acetone", 1000, 250, 250, 500},  {"ethyl_acetate", 400, 400, 400, 0}, {"butyl_acetate", 150, 150, 50, 150},
      {"toluene", 200, 100, 10, 150},    {"xylene", 100, 100, 100, 150},      {"heptane", 500, 85, 400, 440},
      {"naphtha", 500, 75, 300, 385},    {"turpentine", 100, 100, 20, 0},     {"butoxyethanol", 50, 5, 20, 0},
      {"ms_light", 500, 66.8, 100, 344}, {"ms_heavy", 500, 54.8, 100, 282},   {"propellant_butane", 0, 800, 800, 1000},
      {"propylene_glycol", 0, 0, 50, 0}};
  for (const auto& row : table) {
    const Component& c = component(row.id);
    EXPECT_GT(c.twa_ppm, 0) << row.id;
    for (double list : {row.osha_ppm, row.niosh_ppm, row.acgih_ppm})
      if (list > 0) {
        EXPECT_LE(c.twa_ppm, list) << row.id;
      }
    if (row.short_ppm > 0) {
      EXPECT_GT(c.stel_ppm, 0) << row.id;
      EXPECT_LE(c.stel_ppm, row.short_ppm) << row.id;
    }
  }
}

// NFPA 497 (2008), lower flammable limits, as tabulated in the open chemicals library: none may be entered higher.
TEST(Component, ExplosiveLimitsAreNoHigherThanNfpa497) {
  struct {
    const char* id;
    double percent;
  } table[] = {{"ethanol", 3.3},       {"methanol", 6.0},      {"isopropanol", 2.0},       {"acetone", 2.5},
               {"ethyl_acetate", 2.0}, {"butyl_acetate", 1.7}, {"toluene", 1.1},           {"xylene", 0.9},
               {"heptane", 1.0},       {"naphtha", 1.0},       {"turpentine", 0.8},        {"butoxyethanol", 1.1},
               {"ms_light", 0.8},      {"ms_heavy", 0.7},      {"propellant_butane", 1.8}, {"dimethyl_ether", 3.4}};
  for (const auto& row : table) {
    EXPECT_LE(component(row.id).lel_percent, row.percent) << row.id;
    EXPECT_GT(component(row.id).lel_percent, 0.5 * row.percent) << row.id;
  }
}

TEST(Component, OrganicsBurnAndWaterDoesNot) {
  for (const auto& c : shipped().components) {
    if (c.id == "water") {
      EXPECT_EQ(c.lel_percent, 0);
    } else {
      EXPECT_GT(c.lel_percent, 0.3) << c.id;
      EXPECT_LT(c.lel_percent, 10) << c.id;
    }
  }
}

}  // namespace
}  // namespace tackcloth::catalog
