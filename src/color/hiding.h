// Does the paint hide what is under it, and in how many coats.
#pragma once

#include <vector>

#include "color/layers.h"
#include "color/light.h"
#include "color/palette.h"
#include "units/result.h"

namespace tackcloth::color {

// A paint as absorption and scattering of a wet film of 1 um.
struct Paint {
  Spectrum k, s;               // 1/um of wet film
  std::vector<Load> pigments;  // g/l, not g/m2: what the model put in
  double de00 = 0;             // how far its opaque look is from the wanted one
};

// A full paint of this look (Lab of D50), made of the palette's pigments up to their paint_g_l: their shares of those
// limits add up to 1. So a white is full of titanium dioxide and hides well, and a clean strong red or yellow doesn't.
// A model of a good paint, not of the can in your hand.
Result<Paint> paint_of(const Lab& d50, const Palette& palette, const Surface& surface = {});

// The look of so many coats over a ground, measured with the specular light left out.
Spectrum painted(const Spectrum& ground, const Paint& paint, double wet_um, int coats, const Surface& surface = {});
Spectrum opaque_look(const Paint& paint, const Surface& surface = {});

struct HidingCoat {
  Spectrum look;
  double de00 = 0;            // from the opaque look, over the old colour
  double contrast_ratio = 0;  // Y over black by Y over white (ISO 6504-3's grounds: Y = 0.03 and 0.80)
};

struct Hiding {
  std::vector<HidingCoat> coats;  // 1, 2, ... up to the most asked
  int needed = 0;                 // coats until the old colour no longer grins through; 0: not within those
};

// The old colour has stopped grinning through when the look is within `tolerance_de00` of the opaque one.
Hiding hiding(const Spectrum& ground, const Paint& paint, double wet_um, const Viewer& viewer,
              double tolerance_de00 = 1.0, int most_coats = 8, const Surface& surface = {});

// Scales a paint so that one wet coat has this contrast ratio (from a label's or a drawdown card's); 0.05..0.9995.
Result<Paint> with_contrast_ratio(Paint paint, double wet_um, double contrast_ratio, const Viewer& viewer,
                                  const Surface& surface = {});

}  // namespace tackcloth::color
