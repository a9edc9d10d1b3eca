#include "color/spectrum.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::color {

namespace {

// CIE 167:2005: coefficients of Sprague's quintic through six neighbours p[0..5], t from p[2] to p[3].
double sprague(const double* p, double t) {
  const double a0 = p[2];
  const double a1 = (2 * p[0] - 16 * p[1] + 16 * p[3] - 2 * p[4]) / 24;
  const double a2 = (-p[0] + 16 * p[1] - 30 * p[2] + 16 * p[3] - p[4]) / 24;
  const double a3 = (-9 * p[0] + 39 * p[1] - 70 * p[2] + 66 * p[3] - 33 * p[4] + 7 * p[5]) / 24;
  const double a4 = (13 * p[0] - 64 * p[1] + 126 * p[2] - 124 * p[3] + 61 * p[4] - 12 * p[5]) / 24;
  const double a5 = (-5 * p[0] + 25 * p[1] - 50 * p[2] + 50 * p[3] - 25 * p[4] + 5 * p[5]) / 24;
  return ((((a5 * t + a4) * t + a3) * t + a2) * t + a1) * t + a0;
}

// Two more points at either end (CIE 167:2005, appendix).
std::vector<double> extended(const std::vector<double>& v) {
  const std::size_t n = v.size();
  static constexpr double kOuter[6] = {884, -1960, 3033, -2648, 1080, -180};
  static constexpr double kInner[6] = {508, -540, 488, -367, 144, -24};
  double left2 = 0, left1 = 0, right1 = 0, right2 = 0;
  for (std::size_t i = 0; i < 6; ++i) {
    left2 += kOuter[i] * v[i] / 209;
    left1 += kInner[i] * v[i] / 209;
    right2 += kOuter[i] * v[n - 1 - i] / 209;
    right1 += kInner[i] * v[n - 1 - i] / 209;
  }
  std::vector<double> out{left2, left1};
  out.insert(out.end(), v.begin(), v.end());
  out.push_back(right1);
  out.push_back(right2);
  return out;
}

}  // namespace

Spectrum Spectrum::flat(double value) {
  Spectrum s;
  s.values.fill(value);
  return s;
}

double value_at(const Spectrum& spectrum, double nm) {
  const double place = std::clamp((nm - kFirstNm) / kStepNm, 0.0, static_cast<double>(kSamples - 1));
  const auto i = std::min(static_cast<std::size_t>(place), kSamples - 2);
  return std::lerp(spectrum[i], spectrum[i + 1], place - static_cast<double>(i));
}

Result<Spectrum> resample(const std::vector<double>& nm, const std::vector<double>& values) {
  const auto refuse = [](std::string what, std::string expected) {
    return tl::unexpected<Problem>({"", 0, 0, std::move(what), std::move(expected), "check the file's first column"});
  };
  if (nm.size() != values.size() || nm.size() < 2)
    return refuse("a spectrum has " + std::to_string(nm.size()) + " samples", "at least 2");
  for (std::size_t i = 0; i + 1 < nm.size(); ++i)
    if (!(nm[i + 1] > nm[i])) return refuse("the wavelengths do not rise", "every one larger than the one before");
  for (const double v : values)
    if (!std::isfinite(v)) return refuse("a sample is not a number", "numbers only");
  const double step = (nm.back() - nm.front()) / static_cast<double>(nm.size() - 1);
  bool even = true;
  for (std::size_t i = 0; i < nm.size(); ++i)
    even = even && std::abs(nm[i] - nm.front() - step * static_cast<double>(i)) < 1e-6 * step;
  const bool smooth = even && nm.size() >= 6;
  const std::vector<double> around = smooth ? extended(values) : std::vector<double>{};
  Spectrum out;
  std::size_t at = 0;
  for (std::size_t i = 0; i < kSamples; ++i) {
    const double w = wavelength_nm(i);
    if (w <= nm.front()) {
      out[i] = values.front();
    } else if (w >= nm.back()) {
      out[i] = values.back();
    } else {
      while (at + 2 < nm.size() && nm[at + 1] <= w) ++at;
      const double t = (w - nm[at]) / (nm[at + 1] - nm[at]);
      if (t < 1e-9)
        out[i] = values[at];
      else
        out[i] = smooth ? sprague(&around[at], t) : std::lerp(values[at], values[at + 1], t);
    }
  }
  return out;
}

}  // namespace tackcloth::color
