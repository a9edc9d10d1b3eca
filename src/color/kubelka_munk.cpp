#include "color/kubelka_munk.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::color {

namespace {

// sinh(b s) / b and cosh(b s), both times exp(-b s) so that nothing overflows, and b s itself.
struct Hyperbolic {
  double a_sinh, cosh, bs;
};

Hyperbolic of(const Layer& layer) {
  // b S X = sqrt(K X (K X + 2 S X)); written so, S = 0 and K = 0 need no case of their own.
  const double bs = std::sqrt(layer.k * (layer.k + 2 * layer.s));
  const double e2 = std::exp(-2 * bs);
  // sinh(x) / x * exp(-x), by its series where x is small.
  const double over = bs < 1e-4 ? (1 + bs * bs / 6) * std::exp(-bs) : (1 - e2) / (2 * bs);
  return {over, (1 + e2) / 2, bs};
}

}  // namespace

double reflectance_over(const Layer& layer, double ground) {
  // R = (1 - Rg (a - b coth)) / (a - Rg + b coth), multiplied through by S X sinh(b S X) / (b S X).
  const Hyperbolic h = of(layer);
  const double a = layer.k + layer.s;  // a S X
  const double up = layer.s * h.a_sinh + ground * (h.cosh - a * h.a_sinh);
  const double down = (a - ground * layer.s) * h.a_sinh + h.cosh;
  return std::clamp(up / down, 0.0, 1.0);
}

double transmittance(const Layer& layer) {
  const Hyperbolic h = of(layer);
  return std::exp(-h.bs) / ((layer.k + layer.s) * h.a_sinh + h.cosh);
}

double opaque_reflectance(double q) { return 1 / (1 + q + std::sqrt(q * (q + 2))); }

double k_over_s(double r) {
  if (r <= 0) return 1e6;
  if (r >= 1) return 0;
  return std::min((1 - r) * (1 - r) / (2 * r), 1e6);
}

Surface surface_of(double n, bool specular_included) {
  const double k1 = (n - 1) * (n - 1) / ((n + 1) * (n + 1));
  // Walsh's closed form of the diffuse external reflectance.
  const double n2 = n * n, n4 = n2 * n2;
  const double external = 0.5 + (n - 1) * (3 * n + 1) / (6 * (n + 1) * (n + 1)) +
                          n2 * (n2 - 1) * (n2 - 1) / std::pow(n2 + 1, 3) * std::log((n - 1) / (n + 1)) -
                          2 * n2 * n * (n2 + 2 * n - 1) / ((n2 + 1) * (n4 - 1)) +
                          8 * n4 * (n4 + 1) / ((n2 + 1) * (n4 - 1) * (n4 - 1)) * std::log(n);
  return {k1, 1 - (1 - external) / n2, specular_included};
}

double measured_from_internal(double r, const Surface& s) {
  return (s.specular_included ? s.k1 : 0) + (1 - s.k1) * (1 - s.k2) * r / (1 - s.k2 * r);
}

double internal_from_measured(double measured, const Surface& s) {
  const double m = measured - (s.specular_included ? s.k1 : 0);
  return std::clamp(m / ((1 - s.k1) * (1 - s.k2) + s.k2 * m), 0.0, 1.0);
}

Spectrum measured_from_internal(const Spectrum& r, const Surface& surface) {
  Spectrum out;
  for (std::size_t i = 0; i < kSamples; ++i) out[i] = measured_from_internal(r[i], surface);
  return out;
}

Spectrum internal_from_measured(const Spectrum& r, const Surface& surface) {
  Spectrum out;
  for (std::size_t i = 0; i < kSamples; ++i) out[i] = internal_from_measured(r[i], surface);
  return out;
}

}  // namespace tackcloth::color
