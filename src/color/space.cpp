#include "color/space.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "color/difference.h"

namespace tackcloth::color {

namespace {

constexpr double kEpsilon = 216.0 / 24389.0, kKappa = 24389.0 / 27.0;  // CIE 15:2018, exact forms of 0.008856 and 903.3

struct Matrix {
  double m[3][3];
  void times(double x, double y, double z, double& a, double& b, double& c) const {
    a = m[0][0] * x + m[0][1] * y + m[0][2] * z;
    b = m[1][0] * x + m[1][1] * y + m[1][2] * z;
    c = m[2][0] * x + m[2][1] * y + m[2][2] * z;
  }
};

constexpr Matrix inverse(const Matrix& a) {
  const auto& m = a.m;
  const double c00 = m[1][1] * m[2][2] - m[1][2] * m[2][1], c01 = m[1][2] * m[2][0] - m[1][0] * m[2][2],
               c02 = m[1][0] * m[2][1] - m[1][1] * m[2][0];
  const double d = m[0][0] * c00 + m[0][1] * c01 + m[0][2] * c02;
  return {{{c00 / d, (m[0][2] * m[2][1] - m[0][1] * m[2][2]) / d, (m[0][1] * m[1][2] - m[0][2] * m[1][1]) / d},
           {c01 / d, (m[0][0] * m[2][2] - m[0][2] * m[2][0]) / d, (m[0][2] * m[1][0] - m[0][0] * m[1][2]) / d},
           {c02 / d, (m[0][1] * m[2][0] - m[0][0] * m[2][1]) / d, (m[0][0] * m[1][1] - m[0][1] * m[1][0]) / d}}};
}

// From the chromaticities of the primaries (IEC 61966-2-1) and the white, as every RGB space is defined.
constexpr Matrix primaries() {
  constexpr double x[3] = {0.64, 0.30, 0.15}, y[3] = {0.33, 0.60, 0.06};
  Matrix p{};
  for (int i = 0; i < 3; ++i) {
    p.m[0][i] = x[i] / y[i];
    p.m[1][i] = 1;
    p.m[2][i] = (1 - x[i] - y[i]) / y[i];
  }
  const Matrix q = inverse(p);
  for (int i = 0; i < 3; ++i) {
    const double s = q.m[i][0] * kD65.x + q.m[i][1] * kD65.y + q.m[i][2] * kD65.z;
    for (int row = 0; row < 3; ++row) p.m[row][i] *= s;
  }
  return p;
}

constexpr Matrix kRgbToXyz = primaries();
constexpr Matrix kXyzToRgb = inverse(kRgbToXyz);

// Lam 1985, as in ICC.1:2010 annex E.
constexpr Matrix kBradford = {{{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}};
// Li et al. 2017 (CIE 248:2022).
constexpr Matrix kCat16 = {
    {{0.401288, 0.650173, -0.051461}, {-0.250268, 1.204414, 0.045854}, {-0.002079, 0.048952, 0.953127}}};

// CSS Color 4, section 10.2 note and sample code: linear sRGB to LMS and LMS' to Oklab (Ottosson 2020).
constexpr Matrix kRgbToLms = {{{0.4122214708, 0.5363325363, 0.0514459929},
                               {0.2119034982, 0.6806995451, 0.1073969566},
                               {0.0883024619, 0.2817188376, 0.6299787005}}};
constexpr Matrix kLmsToOklab = {{{0.2104542553, 0.7936177850, -0.0040720468},
                                 {1.9779984951, -2.4285922050, 0.4505937099},
                                 {0.0259040371, 0.7827717662, -0.8086757660}}};
constexpr Matrix kLmsToRgb = inverse(kRgbToLms), kOklabToLms = inverse(kLmsToOklab);

double forward(double t) { return t > kEpsilon ? std::cbrt(t) : (kKappa * t + 16) / 116; }
double backward(double f) { return f * f * f > kEpsilon ? f * f * f : (116 * f - 16) / kKappa; }

LinearRgb clipped(const LinearRgb& c) {
  return {std::clamp(c.r, 0.0, 1.0), std::clamp(c.g, 0.0, 1.0), std::clamp(c.b, 0.0, 1.0)};
}
double oklab_distance(const Oklab& a, const Oklab& b) { return std::hypot(a.l - b.l, a.a - b.a, a.b - b.b); }

}  // namespace

Lab lab_from_xyz(const Xyz& c, const Xyz& white) {
  const double x = forward(c.x / white.x), y = forward(c.y / white.y), z = forward(c.z / white.z);
  return {116 * y - 16, 500 * (x - y), 200 * (y - z)};
}

Xyz xyz_from_lab(const Lab& lab, const Xyz& white) {
  const double y = (lab.l + 16) / 116, x = y + lab.a / 500, z = y - lab.b / 200;
  return {backward(x) * white.x, backward(y) * white.y, backward(z) * white.z};
}

Lch lch_from_lab(const Lab& lab) {
  double h = std::atan2(lab.b, lab.a) * 180 / std::numbers::pi;
  if (h < 0) h += 360;
  if (h >= 360) h -= 360;
  return {lab.l, std::hypot(lab.a, lab.b), h};
}

Lab lab_from_lch(const Lch& lch) {
  const double h = lch.h_deg * std::numbers::pi / 180;
  return {lch.l, lch.c * std::cos(h), lch.c * std::sin(h)};
}

LinearRgb linear_rgb_from_xyz(const Xyz& c) {
  LinearRgb out;
  kXyzToRgb.times(c.x, c.y, c.z, out.r, out.g, out.b);
  return out;
}

Xyz xyz_from_linear_rgb(const LinearRgb& c) {
  Xyz out;
  kRgbToXyz.times(c.r, c.g, c.b, out.x, out.y, out.z);
  return out;
}

double encode_srgb(double v) {
  const double u = std::abs(v), e = u > 0.0031308 ? 1.055 * std::pow(u, 1 / 2.4) - 0.055 : 12.92 * u;
  return std::copysign(e, v);
}

double decode_srgb(double v) {
  const double u = std::abs(v), e = u > 0.04045 ? std::pow((u + 0.055) / 1.055, 2.4) : u / 12.92;
  return std::copysign(e, v);
}

Oklab oklab_from_linear_rgb(const LinearRgb& c) {
  double l, m, s;
  kRgbToLms.times(c.r, c.g, c.b, l, m, s);
  Oklab out;
  kLmsToOklab.times(std::cbrt(l), std::cbrt(m), std::cbrt(s), out.l, out.a, out.b);
  return out;
}

LinearRgb linear_rgb_from_oklab(const Oklab& lab) {
  double l, m, s;
  kOklabToLms.times(lab.l, lab.a, lab.b, l, m, s);
  LinearRgb out;
  kLmsToRgb.times(l * l * l, m * m * m, s * s * s, out.r, out.g, out.b);
  return out;
}

Xyz adapt(const Xyz& c, const Xyz& from, const Xyz& to, Adaptation how) {
  const Matrix& m = how == Adaptation::bradford ? kBradford : kCat16;
  const Matrix back = inverse(m);
  double a, b, d, fa, fb, fd, ta, tb, td;
  m.times(c.x, c.y, c.z, a, b, d);
  m.times(from.x, from.y, from.z, fa, fb, fd);
  m.times(to.x, to.y, to.z, ta, tb, td);
  Xyz out;
  back.times(a * ta / fa, b * tb / fb, d * td / fd, out.x, out.y, out.z);
  return out;
}

Lab lab_from_linear_rgb(const LinearRgb& rgb) {
  return lab_from_xyz(adapt(xyz_from_linear_rgb(rgb), kD65, kD50), kD50);
}

LinearRgb linear_rgb_from_lab(const Lab& d50) {
  return linear_rgb_from_xyz(adapt(xyz_from_lab(d50, kD50), kD50, kD65));
}

bool in_gamut(const LinearRgb& c, double slack) {
  return std::min({c.r, c.g, c.b}) >= -slack && std::max({c.r, c.g, c.b}) <= 1 + slack;
}

LinearRgb map_to_gamut(const LinearRgb& rgb) {
  if (in_gamut(rgb, 0)) return rgb;
  const Oklab start = oklab_from_linear_rgb(rgb);
  if (start.l >= 1) return {1, 1, 1};
  if (start.l <= 0) return {0, 0, 0};
  // CSS Color 4, section 13.2.2: bisect chroma; a clipped colour that can't be told from the wanted one will do.
  constexpr double kNoticeable = 0.02, kFine = 0.0001;
  const auto with_chroma = [&](double k) { return Oklab{start.l, start.a * k, start.b * k}; };
  LinearRgb best = clipped(rgb);
  if (oklab_distance(oklab_from_linear_rgb(best), start) < kNoticeable) return best;
  double low = 0, high = 1;
  bool low_inside = true;
  const double chroma = std::hypot(start.a, start.b);
  while ((high - low) * chroma > kFine) {
    const double k = (low + high) / 2;
    const Oklab now = with_chroma(k);
    const LinearRgb c = linear_rgb_from_oklab(now);
    if (low_inside && in_gamut(c, 0)) {
      low = k;
      continue;
    }
    best = clipped(c);
    const double e = oklab_distance(oklab_from_linear_rgb(best), now);
    if (e >= kNoticeable) {
      high = k;
    } else if (kNoticeable - e < kFine) {
      return best;
    } else {
      low_inside = false;
      low = k;
    }
  }
  return best;
}

}  // namespace tackcloth::color
