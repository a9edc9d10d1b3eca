// For this room only: few colourants that bring a reflectance to a target, by bounded least squares.
#pragma once

#include <array>
#include <functional>
#include <vector>

#include "color/light.h"

namespace tackcloth::color {

inline constexpr std::size_t kMostParts = 4;

// Distances in Lab under two lights, scaled by CIEDE2000's weighting functions at the target so that 1 is about one
// unit of it; and, if asked, the spectrum itself.
class Goal {
 public:
  Goal(const Spectrum& target, const Viewer& first, const Viewer& second, double second_weight, double spectral_weight);
  std::size_t size() const { return spectral_weight_ > 0 ? 6 + kSamples : 6; }
  void distances(const Spectrum& reflectance, double* out) const;
  // d(distances) / d(ln R) at `around`, for the six in Lab: [6][95].
  using Slopes = std::array<std::array<double, kSamples>, 6>;
  Slopes slopes(const Spectrum& around) const;

 private:
  struct Seen {
    const Viewer* viewer;
    Lab lab;
    double sl, sc, sh, cos_h, sin_h, weight;
  };
  std::array<Seen, 2> seen_;
  Spectrum target_;
  double spectral_weight_;
};

struct Fit {
  std::array<std::size_t, kMostParts> parts{};  // indices of candidates
  std::array<double, kMostParts> shares{};      // 0..1 of each one's upper limit
  std::size_t count = 0;
  double cost = 0;  // root of the sum of squared distances
};

// `reflectance(parts, shares, count)` is the model.
using Model = std::function<Spectrum(const std::size_t*, const double*, std::size_t)>;

// Levenberg and Marquardt with the bounds 0..1 kept by an active set, from `fit.shares`. The shares' sum is pressed
// below `most_sum`; `exact_sum` presses it to that value.
void refine(Fit& fit, const Model& model, const Goal& goal, double most_sum, bool exact_sum = false);

}  // namespace tackcloth::color
