// A spectrum as 95 samples, 360 to 830 nm in steps of 5 nm: a reflectance (0..1), a light's power, K or S of a film.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "units/result.h"

namespace tackcloth::color {

inline constexpr int kFirstNm = 360, kLastNm = 830, kStepNm = 5;
inline constexpr std::size_t kSamples = (kLastNm - kFirstNm) / kStepNm + 1;

constexpr double wavelength_nm(std::size_t sample) { return kFirstNm + kStepNm * static_cast<double>(sample); }

struct Spectrum {
  std::array<double, kSamples> values{};

  double& operator[](std::size_t i) { return values[i]; }
  double operator[](std::size_t i) const { return values[i]; }
  static Spectrum flat(double value);
};

// At any wavelength, linearly between samples; the end values are held outside.
double value_at(const Spectrum& spectrum, double nm);

// Samples at other wavelengths (rising, at least 2), brought to ours. Evenly spaced ones are interpolated by Sprague's
// quintic (CIE 167:2005, CIE 15:2018 section 7.2.1.1), or linearly when there are fewer than 6; uneven ones linearly.
// Outside their range the end values are held, as ASTM E308 section 7.3 does with its weights. Samples closer than
// 5 nm are taken where they meet ours.
Result<Spectrum> resample(const std::vector<double>& nm, const std::vector<double>& values);

}  // namespace tackcloth::color
