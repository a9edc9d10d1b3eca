// What all sources give off together, as straight pieces in time.
#pragma once

#include <vector>

#include "air/limits.h"

namespace tackcloth::air {

// Emission of every vapour over a grid that holds every bend and jump: between hours[i] and hours[i+1] it goes linearly
// from `from[v][i]` to `to[v][i]`, g/h.
struct Emission {
  std::vector<double> hours;
  std::vector<std::vector<double>> from, to;  // [vapour][piece]
};

// Grid from 0 to `hours`, no piece longer than `longest_h`. Points of a curve that are not finite or go back in time
// are left out; negative rates (vapour taken up) count as none.
Emission emission_of(const std::vector<Source>& sources, const std::vector<Limit>& vapours, double hours,
                     double longest_h);

}  // namespace tackcloth::air
