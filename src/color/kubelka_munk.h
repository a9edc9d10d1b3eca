// Two-flux theory of a layer that scatters and absorbs (Kubelka and Munk 1931; Kubelka 1948, J. Opt. Soc. Am. 38,
// 448-457), and the correction for its surface (Saunderson 1942, J. Opt. Soc. Am. 32, 727-736). One wavelength a call.
// K and S are the layer's absorption and scattering times its thickness (K X and S X): plain numbers, at least 0.
#pragma once

#include "color/spectrum.h"

namespace tackcloth::color {

struct Layer {
  double k = 0, s = 0;  // K X, S X
};

// Reflectance of a layer over a ground of reflectance `ground`, no surface counted. Closed hyperbolic form; the limits
// S = 0 (exp(-2 K X) twice through) and K = 0 are met exactly, and it doesn't overflow however thick the layer.
double reflectance_over(const Layer& layer, double ground);
double transmittance(const Layer& layer);
// Opaque: R of K/S and back. K/S of R = 0 is taken as 1e6.
double opaque_reflectance(double k_over_s);
double k_over_s(double opaque_reflectance);

// k1: share of the light that is thrown back at the surface from outside; k2: diffuse light thrown back inside.
struct Surface {
  double k1 = 0.04;   // Fresnel, n = 1.5, normal incidence
  double k2 = 0.596;  // diffuse, n = 1.5 (Orchard 1969; Saunderson used 0.6 and practice 0.4 to 0.6)
  // Whether the instrument or the eye sees the k1 (specular included) or looks past it (45:0, specular excluded).
  bool specular_included = false;
};

// Fresnel for a film of this refractive index: k1 at normal incidence, k2 = 1 - (1 - r_ext) / n^2 with r_ext the
// diffuse external reflectance (Walsh 1926; Duntley 1942).
Surface surface_of(double refractive_index, bool specular_included = false);
double measured_from_internal(double internal, const Surface& surface);
double internal_from_measured(double measured, const Surface& surface);  // clamped to 0..1

Spectrum measured_from_internal(const Spectrum& internal, const Surface& surface);
Spectrum internal_from_measured(const Spectrum& measured, const Surface& surface);

}  // namespace tackcloth::color
