#include "color/difference.h"

#include <cmath>
#include <numbers>

namespace tackcloth::color {

namespace {

constexpr double kDegree = std::numbers::pi / 180;
constexpr double kHalfRoot3 = std::numbers::sqrt3 / 2;
// Cosines and sines of 6, 63 and 275 degrees.
constexpr double kCos6 = 0.99452189536827333692, kSin6 = 0.10452846326765347140;
constexpr double kCos63 = 0.45399049973954679156, kSin63 = 0.89100652418836786236;
constexpr double kCos275 = 0.08715574274765817356, kSin275 = -0.99619469809174553230;

// A hue angle of 0..360 degrees below 180.
bool first_half(double a, double b) { return b > 0 || (b == 0 && a >= 0); }
bool hue_below(double a1, double b1, double a2, double b2) {
  const bool one = first_half(a1, b1), other = first_half(a2, b2);
  return one != other ? one : a1 * b2 - b1 * a2 > 0;
}

}  // namespace

double difference_1976(const Lab& x, const Lab& y) { return std::hypot(x.l - y.l, x.a - y.a, x.b - y.b); }

// Equation numbers are those of Sharma, Wu and Dalal 2005. Hues are kept as vectors instead of angles, so that of the
// paper's two arc tangents, five cosines and two sines one of each at most is left; the results are the same.
double difference_2000(const Lab& x, const Lab& y) {
  constexpr double k25_7 = 6103515625.0;
  const double bx = x.b * x.b, by = y.b * y.b;
  const double c_mean = (std::sqrt(x.a * x.a + bx) + std::sqrt(y.a * y.a + by)) / 2;  // (3)
  const double c3 = c_mean * c_mean * c_mean, c7 = c3 * c3 * c_mean;
  const double g1 = 1.5 - 0.5 * std::sqrt(c7 / (c7 + k25_7));                              // 1 + G, (4)
  const double a1 = g1 * x.a, a2 = g1 * y.a;                                               // (5)
  const double c1 = std::sqrt(a1 * a1 + bx), c2 = std::sqrt(a2 * a2 + by), c12 = c1 * c2;  // (6)
  const double dl = y.l - x.l, dc = c2 - c1;                                               // (8), (9)

  // (7), (10), (11), (14): the difference of hue, and the direction halfway between.
  double big_h = 0, u = a1 + a2, v = x.b + y.b;  // of a grey and a colour: the colour's
  if (c12 > 0) {
    const double cross = (a1 * y.b - x.b * a2) / c12, dot = (a1 * a2 + x.b * y.b) / c12;
    const double root = 2 * std::sqrt(c12);
    if (dot > -0.5) {
      const double half_cos = std::sqrt((1 + dot) / 2);
      big_h = root * cross / (2 * half_cos);
      u = a1 / c1 + a2 / c2;
      v = x.b / c1 + y.b / c2;
    } else {
      // Nearly opposite: their sum is nothing, their difference stands across the halfway direction.
      const bool ahead = cross != 0 ? cross > 0 : hue_below(a1, x.b, a2, y.b);
      const double half_sin = std::sqrt((1 - dot) / 2);
      big_h = ahead ? root * half_sin : -root * half_sin;
      const double du = a1 / c1 - a2 / c2, dv = x.b / c1 - y.b / c2;
      u = ahead ? -dv : dv;
      v = ahead ? du : -du;
    }
  }
  const double length = std::sqrt(u * u + v * v);
  const double cs = length > 0 ? u / length : 1, sn = length > 0 ? v / length : 0;

  const double l = (x.l + y.l) / 2, c = (c1 + c2) / 2;  // (12), (13)
  const double cos2 = cs * cs - sn * sn, sin2 = 2 * cs * sn;
  const double cos3 = cs * cos2 - sn * sin2, sin3 = sn * cos2 + cs * sin2;
  const double cos4 = cos2 * cos2 - sin2 * sin2, sin4 = 2 * cos2 * sin2;
  const double t = 1 - 0.17 * (cs * kHalfRoot3 + sn / 2) + 0.24 * cos2 + 0.32 * (cos3 * kCos6 - sin3 * kSin6) -
                   0.20 * (cos4 * kCos63 + sin4 * kSin63);  // (15)
  const double l50 = (l - 50) * (l - 50);
  const double sl = 1 + 0.015 * l50 / std::sqrt(20 + l50);  // (18)
  const double sc = 1 + 0.045 * c, sh = 1 + 0.015 * c * t;  // (19), (20)
  const double el = dl / sl, ec = dc / sc, eh = big_h / sh;
  double turned = 0;
  // (16), (17), (21): blues only. 150 degrees from 275 the exponential is 2e-16.
  if (cs * kCos275 + sn * kSin275 > -kHalfRoot3) {
    double h = std::atan2(sn, cs) / kDegree;
    if (h < 0) h += 360;
    const double turn = (h - 275) / 25;
    const double m3 = c * c * c, m7 = m3 * m3 * c;
    turned = -2 * std::sqrt(m7 / (m7 + k25_7)) * std::sin(60 * kDegree * std::exp(-turn * turn)) * ec * eh;
  }
  return std::sqrt(el * el + ec * ec + eh * eh + turned);  // (22)
}

}  // namespace tackcloth::color
