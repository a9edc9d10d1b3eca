// Coats on wood as layers of light: a clear over bare wood, its ambering, tints and glazes over it. A model: what it
// rests on is written beside each function and in docs/color.md. Reflectances are as measured with the specular light
// left out (45:0 or de:8) unless said otherwise.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "color/kubelka_munk.h"
#include "color/palette.h"
#include "color/spectrum.h"
#include "units/result.h"

namespace tackcloth::color {

// A colourant on a square metre.
struct Load {
  const Colorant* colorant = nullptr;
  double g_m2 = 0;
};

struct LayerSpectrum {
  Spectrum k, s;  // K X and S X
};
LayerSpectrum layer_of(const std::vector<Load>& loads);

// g/m2 from g/l in one coat of this wet film: 1 g/l at 1000 um is 1 g/m2.
constexpr double g_per_m2(double g_per_l, double wet_um) { return g_per_l * wet_um / 1000; }

// Bare wood, then cleared: the resin fills a share (`clear.wets`) of the boundaries between air and cell wall, whose
// scattering falls with the square of the step in refractive index ((n_wood - n_resin) / (n_wood - 1))^2 (Rayleigh and
// Gans: weak steps scatter as their square); absorption stays, so K/S rises and the wood deepens. On top comes the
// surface of the film, which throws light back inside (surface_of(clear.index)); bare wood already does that in part.
// Then the amber of the film itself (`amber`). Oil wets much, waterborne little.
Spectrum cleared(const Spectrum& bare, const Clear& clear, double dry_um, double years = 0);

// K X of a clear film: (amber_new + amber_old (1 - exp(-years / amber_years))) dry_um / 100, falling from 420 nm as
// exp(-(w - 420) / 45). Yellowing by age is an absorption growing from the violet side.
Spectrum amber(const Clear& clear, double dry_um, double years);

// A layer within or on the film, seen through the film's surface: measured reflectance of what is there, to measured
// reflectance with the layer. S = 0 is a glaze: Beer and Lambert, twice through, and all internal reflections.
Spectrum with_layer(const Spectrum& below, const LayerSpectrum& layer, const Surface& surface);

// The same on bare wood before any clear: colour held in the surface of the wood (dye, wiped pigment), no film.
Spectrum stained(const Spectrum& bare, const LayerSpectrum& layer);

// What the eye sees in a room rather than a 45:0 instrument: a matt surface sends the k1 it throws back everywhere, so
// that it looks lighter and weaker; a full gloss sends it one way, where one can look past it. Linear in gloss.
Spectrum seen_at_gloss(const Spectrum& measured, double gloss_60_gu);

// Words of ISO 4618 for gloss, with usual ranges at 60 degrees (ISO 2813). The standard gives no numbers: the ranges
// are common practice, no source.
struct GlossLevel {
  std::string_view word;
  double from_gu, to_gu;
};
const std::vector<GlossLevel>& gloss_levels();
std::string_view gloss_word(double gloss_60_gu);
Result<GlossLevel> gloss_of(std::string_view word);

}  // namespace tackcloth::color
