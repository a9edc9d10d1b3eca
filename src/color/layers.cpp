#include "color/layers.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::color {

namespace {

// Cell wall of wood (from memory: 1.53 to 1.56).
constexpr double kWoodIndex = 1.55;
// Share of light that bare, rough wood throws back inside: between 0 (no film) and 0.6 (a film). Model: set so that a
// waterborne clear takes 2 to 5 off L and an oil 6 to 12 (common practice, no source).
constexpr Surface kBareWood{0.0, 0.55, false};

}  // namespace

LayerSpectrum layer_of(const std::vector<Load>& loads) {
  LayerSpectrum out;
  for (const Load& load : loads)
    for (std::size_t i = 0; i < kSamples; ++i) {
      out.k[i] += load.g_m2 * load.colorant->k[i];
      out.s[i] += load.g_m2 * load.colorant->s[i];
    }
  return out;
}

Spectrum amber(const Clear& clear, double dry_um, double years) {
  const double peak =
      (clear.amber_new + clear.amber_old * -std::expm1(-std::max(years, 0.0) / clear.amber_years)) * dry_um / 100;
  Spectrum out;
  // Held below 400 nm: what happens there is outside what is seen.
  for (std::size_t i = 0; i < kSamples; ++i) out[i] = peak * std::exp(-(std::max(wavelength_nm(i), 400.0) - 420) / 45);
  return out;
}

Spectrum cleared(const Spectrum& bare, const Clear& clear, double dry_um, double years) {
  const double step = (kWoodIndex - clear.index) / (kWoodIndex - 1);
  const double scattering = 1 - clear.wets * (1 - step * step);
  const Surface surface = surface_of(clear.index);
  const Spectrum yellow = amber(clear, dry_um, years);
  Spectrum out;
  for (std::size_t i = 0; i < kSamples; ++i) {
    const double inside = internal_from_measured(bare[i], kBareWood);
    const double wetted = opaque_reflectance(k_over_s(inside) / scattering);
    out[i] = measured_from_internal(reflectance_over({yellow[i], 0}, wetted), surface);
  }
  return out;
}

Spectrum with_layer(const Spectrum& below, const LayerSpectrum& layer, const Surface& surface) {
  Spectrum out;
  for (std::size_t i = 0; i < kSamples; ++i) {
    const double ground = internal_from_measured(below[i], surface);
    out[i] = measured_from_internal(reflectance_over({layer.k[i], layer.s[i]}, ground), surface);
  }
  return out;
}

Spectrum stained(const Spectrum& bare, const LayerSpectrum& layer) { return with_layer(bare, layer, kBareWood); }

Spectrum seen_at_gloss(const Spectrum& measured, double gloss) {
  const double diffuse = Surface{}.k1 * (1 - std::clamp(gloss, 0.0, 100.0) / 100);
  Spectrum out;
  for (std::size_t i = 0; i < kSamples; ++i) out[i] = std::min(measured[i] + diffuse, 1.0);
  return out;
}

const std::vector<GlossLevel>& gloss_levels() {
  static const std::vector<GlossLevel> levels{{"dead matt", 0, 5},    {"matt", 5, 10},        {"satin", 10, 30},
                                              {"silk gloss", 30, 45}, {"semi-gloss", 45, 65}, {"gloss", 65, 85},
                                              {"high gloss", 85, 100}};
  return levels;
}

std::string_view gloss_word(double gloss) {
  for (const GlossLevel& level : gloss_levels())
    if (gloss < level.to_gu) return level.word;
  return gloss_levels().back().word;
}

Result<GlossLevel> gloss_of(std::string_view word) {
  std::string all;
  for (const GlossLevel& level : gloss_levels()) {
    if (level.word == word) return level;
    all += (all.empty() ? "" : ", ") + std::string(level.word);
  }
  return tl::unexpected<Problem>(
      {"", 0, 0, "there is no gloss '" + std::string(word.substr(0, 40)) + "'", "one of " + all, "satin is the usual"});
}

}  // namespace tackcloth::color
