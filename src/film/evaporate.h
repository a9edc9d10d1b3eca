// The wet stage: several volatile parts leaving a film at its own temperature, and the progress of the clock meanwhile.
#pragma once

#include "film/recipe.h"

namespace tackcloth::film {

constexpr double kPacked = 0.74;  // close packed spheres: where the rate falls (Kiil 2006)

// A coat with everything that does not change while it dries.
struct Laid {
  const Recipe* recipe = nullptr;
  Lie lie = Lie::vertical;
  double solids_m = 0;          // solids, volume per area
  double surface_solids_m = 0;  // of these, what is not drawn into bare wood
  double pore_s_m = 0;          // resistance of the wood the drawn-in part has to come back through
  double thickness_rate = 1;    // thickness_factor, with what is raw beneath
  double hard_slower = 1;       // how much later than the clock the hard needs are met, for what is unripe beneath
  double under_kg_m2 = 0;       // retained beneath, more than a label contains; leaves as the slowest part
  int slowest = 0;              // that part
  double volatile_m = 0;        // volume of volatile parts at the start
  double wet_kg_m2 = 0;
  double load_kg_m2 = 0;                        // all volatile parts at the start
  std::array<double, kMaxParts> trace_kg_m2{};  // of each part, what leaves ever slower
};
Laid lay(const Recipe& recipe, const Coat& coat);

struct State {
  double t_h = 0;
  double progress = 0;  // of the clock, label hours
  double film_c = 20;
  double lighter = 0;  // density deficit at the face, see gas.h
  double lighter_per_h = 0;
  std::array<double, kMaxParts> kg_m2;          // still in the film, of the parts there are
  std::array<double, kMaxParts> drift_kg_m2_s;  // of its balance with the air, of a part that follows it quickly
};
State fresh(const Laid& laid, const climate::Air& air);

// Solvent diffusion rises by this power of ten from the dry binder to pure solvent (from memory: 1e-13 to 1e-9).
inline constexpr double kSwollenDecades = 4;
// Interaction of binder and solvent, the middle of good solvents (from memory: 0.3 to 0.5).
inline constexpr double kInteraction = 0.4;
// Activity of the volatile parts together over a binder in which they fill the share `share` by volume: 1 over the pure
// liquids, in line with the share when little is left (Flory, Principles of Polymer Chemistry, 1953, ch. XII).
double swollen_activity(double share);

struct Flow {
  std::array<double, kMaxParts> kg_m2_s;  // of the parts there are; so are the others
  std::array<double, kMaxParts> relax_s;  // how fast a part comes to its balance with the air, 1/s
  double volatile_m = 0;                  // volume still in the film
  double volume_m_s = 0;                  // volume leaving
  double lasting_m_s = 0;                 // of it, what does not merely settle into balance with the air
  double rate = 0;                        // of the clock, per hour
  double heat_transfer_w_m2k = 0;         // convection and radiation
};
// Rates at `state` in `air`; brings the film temperature of `state` into balance (`passes` Newton steps; 0: as it is).
Flow flow(const Laid& laid, const climate::Air& air, State& state, int passes);

double volatile_volume_m(const Laid& laid, const State& state);
// Share of the wet coat by volume that is solid, on the surface.
double solid_share(const Laid& laid, double volatile_m);
// Rate of the clock, label hours per hour, in a film of which `solid` is solid by volume.
double clock_rate(const Laid& laid, double solid, const climate::Air& air);

// One step of the exponential midpoint rule, second order, positive whatever the step. `mid` is the air half way, `now`
// the rates at `from`; `half_rate` returns the clock rate half way.
State step(const Laid& laid, const climate::Air& mid, const State& from, double dt_h, const Flow& now,
           double& half_rate);
// What a drying film has given and been given since the start.
struct Tally {
  std::array<double, kMaxParts> gone_kg_m2{};  // through the face
  double heat_j_m2 = 0;                        // from air and radiation
};
// The same step, but the film's mean temperature solves (h + h_rad)(T_air - T) = sum of latent heats of what the step
// takes away, to `tolerance_k`: heat and mass close whatever the step.
State step_closed(const Laid& laid, const climate::Air& mid, const State& from, double dt_h, const Flow& now,
                  double tolerance_k, double& half_rate, Tally& tally);

// A temperature by guarded secants. `miss`: how far the balance would lift it, K, falling as the temperature rises.
class Root {
 public:
  // `slope`: of the miss, per K, before two points have shown it.
  explicit Root(double guess_c, double slope = -3) : guess_(guess_c), slope_(slope) {}
  double slope() const { return slope_; }
  double guess() const { return guess_; }
  bool close(double miss_k, double tolerance_k);

 private:
  double guess_, slope_, last_guess_ = 0, last_miss_ = 0;
  double low_ = -kNever, high_ = kNever;
  int passes_ = 0;
};

// Progress the clock loses, against a dry film, while the last of the volatile parts leaves exponentially.
// `volume_m` is left and `leaving_m_h` went last.
double last_delay(const Laid& laid, double rate, double volume_m, double leaving_m_h);
double lasting_m_h(const Laid& laid, const State& state, const Flow& now);
// The step that takes a small part of what is left.
double step_limit_h(const Laid& laid, const State& state, const Flow& now);

}  // namespace tackcloth::film
