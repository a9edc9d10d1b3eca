// A film of solids and solvent on the moving grid: every part is followed through the depth, the face gives to the air,
// and the film's temperature closes the heat of each step.
#pragma once

#include "film/evaporate.h"
#include "film/slab.h"

namespace tackcloth::film {

// Whether a coat's volatile parts have to come through a binder that swells: not those of a latex or a pure liquid.
bool dries_through_binder(const Laid& laid);

class SlabFilm {
 public:
  static constexpr int kCells =
      10;  // 1 % of what is left against 60 cells, in a film that skins (tests/film/slab_test)
  explicit SlabFilm(const Laid& laid, int cells = kCells);

  // One step of `dt_h` from `state` in the air half way. Masses, temperature, heat and what went are carried in the
  // state; the mean temperature of the step solves (h + h_rad)(T_air - T) = sum of latent heats to `tolerance_k`.
  // `now_rate` and `half_rate`: of the clock, at the start and half way.
  State step(const climate::Air& air, const climate::Air& mid, const State& from, double dt_h, double tolerance_k,
             double& now_rate, double& half_rate, Tally& tally);
  // A step that takes a small part of what is left.
  double step_limit_h(const State& state) const;
  const Slab& slab() const { return slab_; }

 private:
  // What the air takes of each part, given the ratios right at the face; returns the heat transfer coefficient.
  double breathe(const climate::Air& air, double film_c, double lighter);
  void warm(double film_c);
  void settle_face(bool mid);

  const Laid* laid_;
  Slab slab_;
  FaceTake take_;
  std::array<double, kMaxParts> face_{};        // ratios at the face
  std::array<double, kMaxParts> saturation_{};  // vapour pressures at the film's temperature
  double lighter_ = 0;                          // found by breathe()
  double miss_slope_ = -2;                      // of the temperature's search, from the step before
  double leaving_m_h_ = 0;                      // mean over the last step
  std::vector<double> gone_m_;
};

}  // namespace tackcloth::film
