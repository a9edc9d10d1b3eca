#include "climate/real_air.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::climate {

namespace {

// Hyland and Wexler's own constants; equation numbers are those of the paper named in the header, "a" those of its
// companion on the saturated phases of H2O (same volume). Moles, Pa, K, m³.
constexpr double kGas = 8.31441, kMassAir = 0.0289645, kMassWater = 0.01801528;
constexpr double kTripleK = 273.16;

// A virial coefficient and its derivative by temperature.
struct Virial {
  double value, slope;
};

Virial b_air(double t) {  // eq. 10
  const double u = 1 / t;
  return {0.349568e-4 + u * (-0.668772e-2 + u * (-0.210141e1 + u * 0.924746e2)),
          -u * u * (-0.668772e-2 + u * (2 * -0.210141e1 + u * 3 * 0.924746e2))};
}
Virial c_air(double t) {  // eq. 11
  const double u = 1 / t;
  return {0.125975e-8 + u * (-0.190905e-6 + u * 0.632467e-4), -u * u * (-0.190905e-6 + u * 2 * 0.632467e-4)};
}
Virial b_cross(double t) {  // eq. 15
  const double u = 1 / t;
  return {0.32366097e-4 + u * (-0.141138e-1 + u * (-0.1244535e1 + u * u * -0.2348789e4)),
          -u * u * (-0.141138e-1 + u * (2 * -0.1244535e1 + u * u * 4 * -0.2348789e4))};
}
Virial c_air_air_water(double t) {  // eq. 16
  const double u = 1 / t;
  return {0.482737e-9 + u * (0.105678e-6 + u * (-0.656394e-4 + u * (0.294442e-1 + u * -0.319317e1))),
          -u * u * (0.105678e-6 + u * (2 * -0.656394e-4 + u * (3 * 0.294442e-1 + u * 4 * -0.319317e1)))};
}
Virial c_air_water_water(double t) {  // eq. 17
  const double u = 1 / t;
  const double value = -1e-6 * std::exp(-0.10728876e2 + u * (0.347802e4 + u * (-0.383383e6 + u * 0.33406e8)));
  return {value, value * -u * u * (0.347802e4 + u * (2 * -0.383383e6 + u * 3 * 0.33406e8))};
}
// Water alone, in powers of pressure (eq. 15a and 16a), turned into powers of density (eq. 19 and 20).
Virial b_pressure(double t) {
  const double e = 0.147184e-8 * std::exp(1734.29 / t);
  return {0.70e-8 - e, e * 1734.29 / (t * t)};
}
Virial c_pressure(double t) {
  const double e = 0.335297e-17 * std::exp(3645.09 / t);
  return {0.104e-14 - e, e * 3645.09 / (t * t)};
}
Virial b_water(double t) {
  const Virial b = b_pressure(t);
  return {kGas * t * b.value, kGas * (b.value + t * b.slope)};
}
Virial c_water(double t) {
  const Virial b = b_pressure(t), c = c_pressure(t);
  const double rt = kGas * t, sum = c.value + b.value * b.value;
  return {rt * rt * sum, rt * rt * (c.slope + 2 * b.value * b.slope) + 2 * kGas * rt * sum};
}

Virial blend(Virial a, double wa, Virial b, double wb, Virial c, double wc) {
  return {wa * a.value + wb * b.value + wc * c.value, wa * a.slope + wb * b.slope + wc * c.slope};
}

struct Mixture {
  Virial b, c;  // eq. 2 and 3
};
Mixture mixture(double t, double water) {
  const double air = 1 - water;
  Mixture m;
  m.b = blend(b_air(t), air * air, b_cross(t), 2 * air * water, b_water(t), water * water);
  m.c = blend(c_air(t), air * air * air, c_air_air_water(t), 3 * air * air * water, c_air_water_water(t),
              3 * air * water * water);
  const Virial pure = c_water(t);
  m.c.value += water * water * water * pure.value;
  m.c.slope += water * water * water * pure.slope;
  return m;
}

// Molar volume from eq. 1, p v / RT = 1 + B/v + C/v²; Newton from the perfect gas.
double molar_volume(double t, double pressure_pa, const Mixture& m) {
  const double ideal = kGas * t / pressure_pa;
  double v = ideal;
  for (int i = 0; i < 50; ++i) {
    const double miss = v - ideal * (1 + (m.b.value + m.c.value / v) / v);
    const double slope = 1 + ideal * (m.b.value + 2 * m.c.value / v) / (v * v);
    const double next = v - miss / slope;
    if (std::fabs(next - v) <= 1e-14 * v) return next;
    v = next;
  }
  return v;
}

// Molar volume of ice (eq. 2a) and water (eq. 5a), and how far pressure squeezes them (eq. 22 and 21).
double condensed_volume(double t) {
  if (t < kTripleK) return kMassWater * (0.1070003e-2 + t * (-0.249936e-7 + t * 0.371611e-9));
  const double above =
      -0.2403360201e4 +
      t * (-0.140758895e1 + t * (0.1068287657 + t * (-0.2914492351e-3 + t * (0.373497936e-6 + t * -0.21203787e-9))));
  return kMassWater * (-0.3424442728e1 + 0.1619785e-1 * t) / above;
}
double compressibility(double t) {
  if (t < kTripleK) return (8.875 + 0.0165 * t) * 1e-11;
  const double c = t - 273.15;
  const double above =
      50.88496 + c * (0.6163813 + c * (1.459187e-3 + c * (20.08438e-6 + c * (-58.47727e-9 + c * 0.4104110e-9))));
  return above / (1 + 0.1967348e-1 * c) * 1e-11;
}

// Air dissolved in water, mole fraction per Pa (eq. 23 to 25, from Himmelblau 1960).
double solubility(double t) {
  if (t < kTripleK) return 0;
  const auto henry = [&](double a, double b, double c, double d, double e) {
    const double x = 1000 / t, square = a, linear = c * x + d, rest = b * x * x + e * x - 1;
    return std::pow(10, (-linear - std::sqrt(linear * linear - 4 * square * rest)) / (2 * square));
  };
  const double oxygen = henry(-0.0005943, -0.1470, -0.05120, -0.1076, 0.8447);
  const double nitrogen = henry(-0.1021, -0.1482, -0.019, -0.03741, 0.851);
  return (0.22 / oxygen + 0.78 / nitrogen) * 1e-4 / 101325;
}

double perfect_saturation_pa(double t) { return saturation_pressure_pa(t - 273.15); }

// Right side of eq. 18, with `a` the mole fraction of air at saturation.
double log_enhancement(double t, double p, double a) {
  const double rt = kGas * t, ps = perfect_saturation_pa(t), k = compressibility(t), w = 1 - a;
  const double baa = b_air(t).value, baw = b_cross(t).value, bww = b_water(t).value;
  const double pr = p / rt, psr = ps / rt, a2 = a * a;
  double sum = condensed_volume(t) / rt * ((1 + k * ps) * (p - ps) - k * (p * p - ps * ps) / 2);
  sum += std::log(1 - solubility(t) * a * p);
  sum += a2 * pr * (baa - 2 * baw) - (pr - psr - a2 * pr) * bww;
  const double second = a2 * a * c_air(t).value + 1.5 * a2 * (1 - 2 * a) * c_air_air_water(t).value -
                        3 * a2 * w * c_air_water_water(t).value - (1 + 2 * a) * w * w / 2 * c_water(t).value -
                        a2 * (1 - 3 * a) * w * baa * bww - 2 * a2 * a * (2 - 3 * a) * baa * baw +
                        6 * a2 * w * w * bww * baw - 1.5 * a2 * a2 * baa * baa - 2 * a2 * w * (1 - 3 * a) * baw * baw +
                        (1 + 3 * a) * w * w * w / 2 * bww * bww;
  return sum + pr * pr * second + psr * psr / 2 * (c_water(t).value - bww * bww);
}

double water_fraction(const Air& air) {
  const double most =
      enhancement_factor(air.temp_c, air.pressure_pa) * saturation_pressure_pa(air.temp_c) / air.pressure_pa;
  return air.rh * std::min(most, 1.0);
}

}  // namespace

double enhancement_factor(double temp_c, double pressure_pa) {
  const double t = temp_c + 273.15, ps = perfect_saturation_pa(t);
  if (!(pressure_pa > ps)) return 1;  // it boils
  double f = 1;
  for (int i = 0; i < 50; ++i) {
    const double next = std::exp(log_enhancement(t, pressure_pa, std::max(0.0, 1 - f * ps / pressure_pa)));
    if (std::fabs(next - f) < 1e-12) return next;
    f = next;
  }
  return f;
}

double real_humidity_ratio(const Air& air) {
  const double water = water_fraction(air);
  return kMassWater / kMassAir * water / (1 - water);
}

double real_volume_m3_kg(const Air& air) {
  const double t = air.temp_c + 273.15, water = water_fraction(air);
  return molar_volume(t, air.pressure_pa, mixture(t, water)) / (kMassAir * (1 - water));
}

double real_enthalpy_j_kg(const Air& air) {
  const double t = air.temp_c + 273.15, water = water_fraction(air);
  const Mixture m = mixture(t, water);
  const double v = molar_volume(t, air.pressure_pa, m);
  // Perfect-gas enthalpies of dry air and vapour, J/mol, with the zero points of the paper (eq. 4 and 13).
  const double dry =
      -0.79078691e4 +
      t * (0.28709015e2 + t * (0.26431805e-2 + t * (-0.10405863e-4 + t * (0.18660410e-7 + t * -0.97843331e-11))));
  const double vapour =
      35994.17 - 0.5008e-2 +
      t * (0.32491829e2 + t * (0.65576345e-2 + t * (-0.26442147e-4 + t * (0.51751789e-7 + t * -0.31541624e-10))));
  const double real = kGas * t * ((m.b.value - t * m.b.slope) / v + (m.c.value - t / 2 * m.c.slope) / (v * v));
  return ((1 - water) * dry + water * vapour + real) / (kMassAir * (1 - water));
}

}  // namespace tackcloth::climate
