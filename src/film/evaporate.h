// The wet stage: several volatile parts leaving a film at its own temperature, and the progress of the clock meanwhile.
#pragma once

#include "film/recipe.h"

namespace tackcloth::film {

// A coat with everything that does not change while it dries.
struct Laid {
  const Recipe* recipe = nullptr;
  Lie lie = Lie::vertical;
  double solids_m = 0;          // solids, volume per area
  double surface_solids_m = 0;  // of these, what is not drawn into bare wood
  double pore_s_m = 0;          // resistance of the wood the drawn-in part has to come back through
  double thickness_rate = 1;    // thickness_factor
  double volatile_m = 0;        // volume of volatile parts at the start
  double wet_kg_m2 = 0;
  double load_kg_m2 = 0;  // all volatile parts at the start
};
Laid lay(const Recipe& recipe, const Coat& coat);

struct State {
  double t_h = 0;
  double progress = 0;  // of the clock, label hours
  double film_c = 20;
  double lighter = 0;  // density deficit at the face, see gas.h
  double lighter_per_h = 0;
  std::array<double, kMaxParts> kg_m2{};  // still in the film
};
State fresh(const Laid& laid, const climate::Air& air);

struct Flow {
  std::array<double, kMaxParts> kg_m2_s{};
  std::array<double, kMaxParts> relax_s{};  // how fast a part comes to its balance with the air, 1/s
  double volume_m_s = 0;                    // volume leaving
  double lasting_m_s = 0;                   // of it, what does not merely settle into balance with the air
  double rate = 0;                          // of the clock, per hour
};
// Rates at `state` in `air`; brings the film temperature of `state` into balance (`passes` Newton steps).
Flow flow(const Laid& laid, const climate::Air& air, State& state, int passes);

double volatile_volume_m(const Laid& laid, const State& state);
// Share of the wet coat by volume that is solid, on the surface.
double solid_share(const Laid& laid, double volatile_m);

// One step of the exponential midpoint rule, second order, positive whatever the step. `mid` is the air half way, `now`
// the rates at `from`; `half_rate` returns the clock rate half way.
State step(const Laid& laid, const climate::Air& mid, const State& from, double dt_h, const Flow& now,
           double& half_rate);
// Progress the clock loses, against a dry film, while the last of the volatile parts leaves exponentially.
// `volume_m` is left and `leaving_m_h` went last.
double last_delay(const Laid& laid, double rate, double volume_m, double leaving_m_h);
// The step that takes a small part of what is left.
double step_limit_h(const Laid& laid, const State& state, const Flow& now);

}  // namespace tackcloth::film
