#include "materials/spread.h"

#include <cmath>

#include "units/normal.h"

namespace tackcloth::materials {

double quantile_90(double mean, double variance) {
  if (mean <= 0) return 0;
  const double sigma2 = std::log1p(variance / (mean * mean));
  return mean * std::exp(kNormal90 * std::sqrt(sigma2) - sigma2 / 2);
}

}  // namespace tackcloth::materials
