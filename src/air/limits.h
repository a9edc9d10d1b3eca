// Exposure and ignition limits of the vapours in the air, with safe stand-ins where none is set.
#pragma once

#include <string>
#include <vector>

#include "air/vapour.h"

namespace tackcloth::air {

struct Limit {
  std::string id, name;
  double molar_mass_g = 100;
  double twa_ppm = 0, stel_ppm = 0;
  double lel_share = 0;      // volume fraction at the lower explosive limit; 0: does not burn
  double boiling_c = 100;    // from the Antoine equation at 760 mmHg
  std::string source;        // of the limits
  bool twa_assumed = false;  // no limit in the catalogue
  bool unknown = false;      // not in the catalogue at all
};

// One for every vapour but water, in the order first met.
std::vector<Limit> limits_of(const std::vector<Source>& sources, const catalog::Catalog& catalog);

// g/m³ -> ppm at 25 °C and 1 atm: 24.45 l/mol (NIOSH Pocket Guide to Chemical Hazards, introduction).
double ppm_per_g_m3(const Limit& limit);

}  // namespace tackcloth::air
