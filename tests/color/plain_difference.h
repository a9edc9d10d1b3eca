// CIEDE2000 word for word as printed, angles and all: slow, and what the fast one is held against.
#pragma once

#include <cmath>
#include <numbers>

#include "color/space.h"

namespace tackcloth::color {

inline constexpr double kDegree = std::numbers::pi / 180;

inline double plain_hue(double a, double b) {
  if (a == 0 && b == 0) return 0;
  const double h = std::atan2(b, a);
  return h < 0 ? h + 2 * std::numbers::pi : h;
}

// Equation numbers are those of Sharma, Wu and Dalal 2005.
inline double plain_difference_2000(const Lab& x, const Lab& y) {
  constexpr double pi = std::numbers::pi, k25_7 = 6103515625.0;
  const double c_mean = (std::hypot(x.a, x.b) + std::hypot(y.a, y.b)) / 2;  // (3)
  const double c3 = c_mean * c_mean * c_mean, c7 = c3 * c3 * c_mean;
  const double g = 0.5 * (1 - std::sqrt(c7 / (c7 + k25_7)));        // (4)
  const double a1 = (1 + g) * x.a, a2 = (1 + g) * y.a;              // (5)
  const double c1 = std::hypot(a1, x.b), c2 = std::hypot(a2, y.b);  // (6)
  const double h1 = plain_hue(a1, x.b), h2 = plain_hue(a2, y.b);    // (7)
  const double dl = y.l - x.l, dc = c2 - c1;                        // (8), (9)
  double dh = 0;                                                    // (10)
  const bool grey = c1 * c2 == 0;
  if (!grey) {
    dh = h2 - h1;
    if (dh > pi) dh -= 2 * pi;
    if (dh < -pi) dh += 2 * pi;
  }
  const double big_h = 2 * std::sqrt(c1 * c2) * std::sin(dh / 2);  // (11)
  const double l = (x.l + y.l) / 2, c = (c1 + c2) / 2;             // (12), (13)
  double h = h1 + h2;                                              // (14)
  if (!grey) {
    if (std::abs(h1 - h2) <= pi)
      h = (h1 + h2) / 2;
    else
      h = h1 + h2 < 2 * pi ? (h1 + h2 + 2 * pi) / 2 : (h1 + h2 - 2 * pi) / 2;
  }
  const double t = 1 - 0.17 * std::cos(h - 30 * kDegree) + 0.24 * std::cos(2 * h) +
                   0.32 * std::cos(3 * h + 6 * kDegree) - 0.20 * std::cos(4 * h - 63 * kDegree);  // (15)
  const double turn = (h / kDegree - 275) / 25;
  const double theta = 30 * kDegree * std::exp(-turn * turn);  // (16)
  const double m3 = c * c * c, m7 = m3 * m3 * c;
  const double rc = 2 * std::sqrt(m7 / (m7 + k25_7));  // (17)
  const double l50 = (l - 50) * (l - 50);
  const double sl = 1 + 0.015 * l50 / std::sqrt(20 + l50);  // (18)
  const double sc = 1 + 0.045 * c, sh = 1 + 0.015 * c * t;  // (19), (20)
  const double rt = -std::sin(2 * theta) * rc;              // (21)
  const double el = dl / sl, ec = dc / sc, eh = big_h / sh;
  return std::sqrt(el * el + ec * ec + eh * eh + rt * ec * eh);  // (22)
}

}  // namespace tackcloth::color
