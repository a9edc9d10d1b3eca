// How far two colours that match under one light come apart under another.
#pragma once

#include "color/light.h"

namespace tackcloth::color {

// CIE 15:2018, section 9.2 leaves the correction open when the pair does not quite match under the reference light.
enum class Correction { none, additive, multiplicative };

struct Metamerism {
  double de00 = 0;               // the special index for a change of illuminant, in CIEDE2000
  double de76 = 0;               // the same in CIE 1976 L*a*b*
  double de00_at_reference = 0;  // how well they match where they should
};

// CIE 15:2018, section 9.2.2: special metamerism index, change of illuminant. The correction makes the pair match
// exactly under the reference: `sample`'s XYZ under the test light is shifted by the difference of XYZ under the
// reference (additive), or scaled by their ratios (multiplicative).
Metamerism metamerism(const Spectrum& standard, const Spectrum& sample, const Viewer& reference, const Viewer& test,
                      Correction correction = Correction::multiplicative);

}  // namespace tackcloth::color
