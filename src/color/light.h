// Lights, observers, and how a reflectance looks under them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "color/space.h"
#include "color/spectrum.h"
#include "units/result.h"

namespace tackcloth::color {

enum class Observer { two_degrees, ten_degrees };  // CIE 1931, CIE 1964

struct Light {
  std::string name;
  Spectrum power;  // relative
};

// CIE 15:2018, section 4.1.1: Planck's law at 2848 K with c2 = 1.435e-2 m K, 100 at 560 nm.
Light light_a();
Light equal_energy();
// CIE 15:2018, section 4.1.2: daylight of a correlated colour temperature from 4000 to 25000 K.
Result<Light> daylight(double cct_k);
// "A", "E", "D50", "D55", "D65", "D75" (CCT by the constants of today: D65 is 6504 K), "D5300K" for any other, and the
// typical white LEDs of CIE 15:2018, "LED-B1" (2733 K), "LED-B3" (4103 K), "LED-B5" (6598 K), "LED-BH1" (2851 K).
Result<Light> light_named(std::string_view name);
std::vector<std::string> light_names();

// One light and one observer. Reflectances are weighted by summation every 5 nm over 360 to 830 nm (CIE 15:2018, 7.1;
// ASTM E308, 5 nm, no correction of the instrument's band pass). Y = 1 is the perfect reflecting diffuser.
class Viewer {
 public:
  explicit Viewer(const Light& light, Observer observer = Observer::two_degrees);
  const Xyz& white() const { return white_; }
  Xyz xyz(const Spectrum& reflectance) const;
  Lab lab(const Spectrum& reflectance) const { return lab_from_xyz(xyz(reflectance), white_); }
  const std::string& name() const { return name_; }
  // Weights of the summation: xyz = sum of weight * reflectance.
  const Spectrum& weight_x() const { return x_; }
  const Spectrum& weight_y() const { return y_; }
  const Spectrum& weight_z() const { return z_; }

 private:
  std::string name_;
  Spectrum x_, y_, z_;
  Xyz white_;
};

// The viewer of lab() in CSS: D50, 2 degrees.
Viewer standard_viewer();

}  // namespace tackcloth::color
