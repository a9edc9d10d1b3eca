#include "color/light.h"

#include <cctype>
#include <charconv>
#include <cmath>

#include "color/cie_tables.h"

namespace tackcloth::color {

static_assert(cie::kSamples == kSamples);

Light light_a() {
  Light a{"A", {}};
  const auto planck = [](double nm) { return std::pow(560 / nm, 5) / std::expm1(1.435e7 / (2848 * nm)); };
  for (std::size_t i = 0; i < kSamples; ++i) a.power[i] = 100 * planck(wavelength_nm(i)) / planck(560);
  return a;
}

Light equal_energy() { return {"E", Spectrum::flat(100)}; }

Result<Light> daylight(double cct) {
  if (!(cct >= 4000 && cct <= 25000))
    return tl::unexpected<Problem>(
        {"", 0, 0, "daylight of " + std::to_string(cct) + " K", "4000 to 25000 K", "a lamp is named A or LED-B1"});
  // CIE 15:2018, equations 4.1 to 4.4.
  const double x = cct <= 7000 ? ((-4.6070e9 / cct + 2.9678e6) / cct + 0.09911e3) / cct + 0.244063
                               : ((-2.0064e9 / cct + 1.9018e6) / cct + 0.24748e3) / cct + 0.237040;
  const double y = (-3.000 * x + 2.870) * x - 0.275;
  const double m = 0.0241 + 0.2562 * x - 0.7341 * y;
  // Rounded to three decimals, as section 4.1.2 note 5 and the published tables do.
  const double m1 = std::round(1000 * (-1.3515 - 1.7703 * x + 5.9114 * y) / m) / 1000;
  const double m2 = std::round(1000 * (0.0300 - 31.4424 * x + 30.0717 * y) / m) / 1000;
  Light out{"D" + std::to_string(std::lround(cct)) + "K", {}};
  const auto coarse = [&](std::size_t i) {
    return cie::kDaylight0[i] + m1 * cie::kDaylight1[i] + m2 * cie::kDaylight2[i];
  };
  for (std::size_t i = 0; i < kSamples; ++i)
    out.power[i] = i % 2 == 0 ? coarse(i / 2) : (coarse(i / 2) + coarse(i / 2 + 1)) / 2;
  return out;
}

std::vector<std::string> light_names() {
  std::vector<std::string> names{"A", "D50", "D55", "D65", "D75", "E"};
  for (const auto& led : cie::kLeds) names.emplace_back(led.name);
  return names;
}

Result<Light> light_named(std::string_view given) {
  std::string name(given.substr(0, 16));
  for (char& c : name) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  if (name == "A") return light_a();
  if (name == "E") return equal_energy();
  for (const char* d : {"D50", "D55", "D65", "D75"})
    if (name == d)
      // The nominal temperature rests on c2 = 1.4380e-2; today's is 1.4388e-2 m K (CIE 15:2018, section 4.1.2, note 4).
      return daylight(100 * std::stod(name.substr(1)) * 1.4388 / 1.4380).map([&](Light light) {
        light.name = name;
        return light;
      });
  for (const auto& led : cie::kLeds)
    if (name == led.name) {
      Light light{name, {}};
      for (std::size_t i = 0; i < led.power.size(); ++i) light.power[i + (380 - kFirstNm) / kStepNm] = led.power[i];
      return light;
    }
  if (name.size() > 2 && name.front() == 'D' && name.back() == 'K') {
    double cct = 0;
    const char* last = name.data() + name.size() - 1;
    const auto [end, error] = std::from_chars(name.data() + 1, last, cct);
    if (error == std::errc() && end == last) return daylight(cct);
  }
  std::string all;
  for (const auto& known : light_names()) all += known + ", ";
  return tl::unexpected<Problem>({"", 0, 0, "there is no light '" + std::string(given.substr(0, 16)) + "'",
                                  "one of " + all + "or daylight as D5300K", "a shop lamp is near LED-B3"});
}

Viewer::Viewer(const Light& light, Observer observer) : name_(light.name) {
  const cie::Functions& f = observer == Observer::two_degrees ? cie::kObserver1931 : cie::kObserver1964;
  double sum = 0;
  for (std::size_t i = 0; i < kSamples; ++i) sum += light.power[i] * f.y[i];
  for (std::size_t i = 0; i < kSamples; ++i) {
    x_[i] = light.power[i] * f.x[i] / sum;
    y_[i] = light.power[i] * f.y[i] / sum;
    z_[i] = light.power[i] * f.z[i] / sum;
  }
  white_ = xyz(Spectrum::flat(1));
}

Xyz Viewer::xyz(const Spectrum& r) const {
  Xyz out;
  for (std::size_t i = 0; i < kSamples; ++i) {
    out.x += x_[i] * r[i];
    out.y += y_[i] * r[i];
    out.z += z_[i] * r[i];
  }
  return out;
}

Viewer standard_viewer() { return Viewer(*light_named("D50")); }

}  // namespace tackcloth::color
