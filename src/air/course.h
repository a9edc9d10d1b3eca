// Concentrations of all vapours in all zones over one emission grid.
#pragma once

#include <vector>

#include "air/emission.h"
#include "air/zones.h"

namespace tackcloth::air {

enum Zone { kBench = 0, kRoom = 1, kHouse = 2 };

Zones zones_of(const Room& room);

// [vapour][time]: concentration, g/m³, and its integral from 0, g h/m³.
struct Followed {
  std::vector<std::vector<PerZone>> g_m3;
  std::vector<std::vector<PerZone>> g_h_m3;
};
Followed follow(const Zones& zones, const Emission& emission);

// Largest mean over any `window_h` within the grid, of a quantity given by its values and its integral at the grid.
double worst_mean(const std::vector<double>& hours, const std::vector<double>& value,
                  const std::vector<double>& integral, double window_h);

}  // namespace tackcloth::air
