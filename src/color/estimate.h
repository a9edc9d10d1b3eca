// A reflectance for a colour that was measured without its spectrum.
#pragma once

#include "color/light.h"
#include "color/spectrum.h"
#include "units/result.h"

namespace tackcloth::color {

// The smoothest reflectance, everywhere between 0 and 1, that has exactly this Lab (to 1e-7) for this viewer: least
// sum of squared slopes of artanh(2 R - 1) (Burns 2020, "Numerical methods for smoothest reflectance reconstruction",
// Color Research and Application 45, 8-21; his LHTSS). One of many that would look the same (metamers).
// With `like`, the slopes of the difference from that reflectance are made small: its shape is kept.
// Fails when no reflectance can have that colour.
Result<Spectrum> estimate_reflectance(const Lab& lab, const Viewer& viewer, const Spectrum* like = nullptr);

// `reflectance` changed smoothly and little, so that its XYZ changes by `step` to first order (for sensitivities).
Spectrum nudged(const Spectrum& reflectance, const Viewer& viewer, const Xyz& step);

}  // namespace tackcloth::color
