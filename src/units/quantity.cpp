#include "units/quantity.h"

#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <optional>
#include <span>
#include <vector>

namespace tackcloth::units {

namespace {

// NIST SP 811 (2008), appendix B.8: exact definitions.
constexpr double kInchMm = 25.4, kFootMm = 304.8, kYardMm = 914.4;
constexpr double kUsGallonL = 3.785411784;
constexpr double kPoundKg = 0.45359237;

struct Unit {
  std::string_view word;
  double factor;      // to the base unit of the quantity
  double offset = 0;  // degrees only: base = (value + offset) * factor
};

constexpr std::array kLength = {
    Unit{"mm", 1},         Unit{"cm", 10},          Unit{"m", 1000},     Unit{"um", 0.001},    Unit{"µm", 0.001},
    Unit{"micron", 0.001}, Unit{"microns", 0.001},  Unit{"mil", 0.0254}, Unit{"mils", 0.0254}, Unit{"in", kInchMm},
    Unit{"inch", kInchMm}, Unit{"inches", kInchMm}, Unit{"\"", kInchMm}, Unit{"″", kInchMm},   Unit{"ft", kFootMm},
    Unit{"foot", kFootMm}, Unit{"feet", kFootMm},   Unit{"'", kFootMm},  Unit{"′", kFootMm},   Unit{"yd", kYardMm},
    Unit{"yard", kYardMm}, Unit{"yards", kYardMm}};
constexpr std::array kArea = {Unit{"m2", 1},
                              Unit{"m²", 1},
                              Unit{"cm2", 1e-4},
                              Unit{"cm²", 1e-4},
                              Unit{"mm2", 1e-6},
                              Unit{"mm²", 1e-6},
                              Unit{"ft2", 0.09290304},
                              Unit{"ft²", 0.09290304},
                              Unit{"sq ft", 0.09290304},
                              Unit{"sqft", 0.09290304},
                              Unit{"in2", 0.00064516},
                              Unit{"in²", 0.00064516}};
constexpr std::array kVolume = {Unit{"l", 1},
                                Unit{"L", 1},
                                Unit{"litre", 1},
                                Unit{"litres", 1},
                                Unit{"liter", 1},
                                Unit{"liters", 1},
                                Unit{"ml", 1e-3},
                                Unit{"mL", 1e-3},
                                Unit{"cl", 1e-2},
                                Unit{"m3", 1000},
                                Unit{"m³", 1000},
                                Unit{"gal", kUsGallonL},
                                Unit{"gallon", kUsGallonL},
                                Unit{"gallons", kUsGallonL},
                                Unit{"qt", kUsGallonL / 4},
                                Unit{"quart", kUsGallonL / 4},
                                Unit{"quarts", kUsGallonL / 4},
                                Unit{"pt", kUsGallonL / 8},
                                Unit{"pint", kUsGallonL / 8},
                                Unit{"pints", kUsGallonL / 8},
                                Unit{"fl oz", kUsGallonL / 128},
                                Unit{"floz", kUsGallonL / 128},
                                Unit{"ft3", 28.316846592},
                                Unit{"ft³", 28.316846592},
                                Unit{"cu ft", 28.316846592}};
constexpr std::array kMass = {Unit{"kg", 1},        Unit{"g", 1e-3},       Unit{"mg", 1e-6},
                              Unit{"lb", kPoundKg}, Unit{"lbs", kPoundKg}, Unit{"oz", kPoundKg / 16}};
constexpr std::array kTemperature = {Unit{"C", 1},
                                     Unit{"°C", 1},
                                     Unit{"c", 1},
                                     Unit{"degC", 1},
                                     Unit{"F", 5.0 / 9, -32},
                                     Unit{"°F", 5.0 / 9, -32},
                                     Unit{"f", 5.0 / 9, -32},
                                     Unit{"degF", 5.0 / 9, -32},
                                     Unit{"K", 1, -273.15}};
constexpr std::array kPressure = {Unit{"Pa", 1},          Unit{"hPa", 100},      Unit{"kPa", 1000},
                                  Unit{"mbar", 100},      Unit{"bar", 1e5},      Unit{"inHg", 3386.389},
                                  Unit{"mmHg", 133.3224}, Unit{"psi", 6894.757}, Unit{"atm", 101325}};
constexpr std::array kSpeed = {Unit{"m/s", 1},          Unit{"km/h", 1 / 3.6}, Unit{"mph", 0.44704},
                               Unit{"ft/min", 0.00508}, Unit{"fpm", 0.00508},  Unit{"ft/s", 0.3048}};
constexpr std::array kFlow = {Unit{"m3/h", 1},
                              Unit{"m³/h", 1},
                              Unit{"l/s", 3.6},
                              Unit{"m3/s", 3600},
                              Unit{"m3/min", 60},
                              Unit{"cfm", 1.69901082},
                              Unit{"ft3/min", 1.69901082},
                              Unit{"CFM", 1.69901082}};
constexpr std::array kDuration = {Unit{"h", 1},
                                  Unit{"hr", 1},
                                  Unit{"hour", 1},
                                  Unit{"hours", 1},
                                  Unit{"min", 1.0 / 60},
                                  Unit{"minutes", 1.0 / 60},
                                  Unit{"minute", 1.0 / 60},
                                  Unit{"s", 1.0 / 3600},
                                  Unit{"d", 24},
                                  Unit{"day", 24},
                                  Unit{"days", 24},
                                  Unit{"week", 168},
                                  Unit{"weeks", 168}};

void skip_space(std::string_view& text) {
  for (;;) {
    if (!text.empty() && std::isspace(static_cast<unsigned char>(text.front())))
      text.remove_prefix(1);
    else if (text.starts_with("\u00a0"))
      text.remove_prefix(2);
    else
      return;
  }
}

std::optional<double> take_plain(std::string_view& text) {
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
  if (error != std::errc() || !std::isfinite(value)) return std::nullopt;
  text.remove_prefix(static_cast<std::size_t>(end - text.data()));
  return value;
}

// "5/8", "23", "23 5/8", "23-5/8", "0.6".
std::optional<double> take_number(std::string_view& text) {
  const bool negative = text.starts_with('-');
  if (text.starts_with('-') || text.starts_with('+')) text.remove_prefix(1);
  if (text.empty() || !(std::isdigit(static_cast<unsigned char>(text.front())) || text.front() == '.'))
    return std::nullopt;
  std::optional<double> value = take_plain(text);
  if (!value) return std::nullopt;
  const auto take_divisor = [&text]() -> std::optional<double> {
    if (!text.starts_with('/') || text.size() < 2 || !std::isdigit(static_cast<unsigned char>(text[1])))
      return std::nullopt;
    text.remove_prefix(1);
    const std::optional<double> divisor = take_plain(text);
    return divisor && *divisor > 0 ? divisor : std::nullopt;
  };
  if (text.starts_with('/') && text.size() > 1 && std::isdigit(static_cast<unsigned char>(text[1]))) {
    const auto divisor = take_divisor();
    if (!divisor) return std::nullopt;
    value = *value / *divisor;
  } else {
    // A fraction after the whole number: "23 5/8" or "23-5/8".
    std::string_view ahead = text;
    if (ahead.starts_with('-'))
      ahead.remove_prefix(1);
    else
      skip_space(ahead);
    if (ahead.size() < text.size() && !ahead.empty() && std::isdigit(static_cast<unsigned char>(ahead.front()))) {
      std::string_view rest = ahead;
      const auto top = take_plain(rest);
      if (top && rest.starts_with('/')) {
        text = rest;
        const auto divisor = take_divisor();
        if (!divisor) return std::nullopt;
        *value += *top / *divisor;
      }
    }
  }
  return negative ? -*value : *value;
}

// The longest unit word `text` starts with, not followed by another letter.
const Unit* take_unit(std::string_view& text, std::span<const Unit> units) {
  const Unit* best = nullptr;
  for (const Unit& unit : units) {
    if (!text.starts_with(unit.word)) continue;
    const std::string_view rest = text.substr(unit.word.size());
    const bool letters = std::isalpha(static_cast<unsigned char>(unit.word.back())) != 0;
    if (letters && !rest.empty() && std::isalnum(static_cast<unsigned char>(rest.front())) &&
        !std::isdigit(static_cast<unsigned char>(rest.front())))
      continue;
    if (!best || unit.word.size() > best->word.size()) best = &unit;
  }
  if (best) text.remove_prefix(best->word.size());
  return best;
}

Problem wrong(std::string_view text, const char* what, const char* expected) {
  return {
      "", 0, 0, "'" + std::string(text.substr(0, 60)) + "' is not " + what, expected, "write a number and its unit"};
}

// Sums "2 ft 3 in"; a negative sign counts for the whole.
Result<double> parse(std::string_view text, std::span<const Unit> units, const char* what, const char* expected,
                     bool may_sum) {
  std::string_view rest = text;
  skip_space(rest);
  double sum = 0, sign = 1;
  for (int terms = 0;; ++terms) {
    const auto value = take_number(rest);
    if (!value) return tl::unexpected(wrong(text, what, expected));
    skip_space(rest);
    const Unit* unit = take_unit(rest, units);
    if (!unit) return tl::unexpected(wrong(text, what, expected));
    if (terms == 0 && *value < 0) sign = -1;
    if (terms > 0 && *value < 0) return tl::unexpected(wrong(text, what, expected));
    // The sign of the first term is the sign of the whole: "-2 ft 3 in".
    sum += (terms == 0 ? 1 : sign) * (*value + unit->offset) * unit->factor;
    skip_space(rest);
    if (rest.empty()) return sum;
    if (!may_sum || terms == 3) return tl::unexpected(wrong(text, what, expected));
  }
}

std::string number(double value, int decimals) {
  std::string text;
  char buffer[64];
  std::snprintf(buffer, sizeof buffer, "%.*f", decimals, value);
  text = buffer;
  if (decimals > 0) {
    while (text.back() == '0') text.pop_back();
    if (text.back() == '.') text.pop_back();
  }
  return text == "-0" ? "0" : text;
}

// Decimals that keep about three figures.
int decimals_for(double value) {
  const double size = std::fabs(value);
  return size < 1 ? 2 : size < 10 ? 2 : size < 100 ? 1 : 0;
}

}  // namespace

Result<double> parse_length_mm(std::string_view text) {
  return parse(text, kLength, "a length", "60 cm, 600 mm, 23 5/8 in or 2 ft 3 in", true);
}
Result<double> parse_area_m2(std::string_view text) { return parse(text, kArea, "an area", "2 m2 or 21 ft2", false); }
Result<double> parse_volume_l(std::string_view text) {
  return parse(text, kVolume, "a volume", "750 ml, 1 l, 1 qt or 1/2 gal", false);
}
Result<double> parse_mass_kg(std::string_view text) {
  return parse(text, kMass, "a mass", "500 g, 2 kg or 1 lb", true);
}
Result<double> parse_temperature_c(std::string_view text) {
  return parse(text, kTemperature, "a temperature", "21 C or 70 °F", false);
}
Result<double> parse_pressure_pa(std::string_view text) {
  return parse(text, kPressure, "a pressure", "101325 Pa or 1013 hPa", false);
}
Result<double> parse_speed_m_s(std::string_view text) {
  return parse(text, kSpeed, "a speed", "0.2 m/s or 40 ft/min", false);
}
Result<double> parse_flow_m3_h(std::string_view text) {
  return parse(text, kFlow, "an air flow", "120 m3/h or 70 cfm", false);
}
Result<double> parse_duration_h(std::string_view text) {
  return parse(text, kDuration, "a duration", "24 h, 90 min or 3 days", true);
}

Result<double> parse_fraction(std::string_view text) {
  std::string_view rest = text;
  skip_space(rest);
  const auto value = take_number(rest);
  if (!value) return tl::unexpected(wrong(text, "a share", "60% or 0.6"));
  skip_space(rest);
  if (rest == "%") return *value / 100;
  if (rest.empty() && *value >= 0 && *value <= 1) return *value;
  return tl::unexpected(wrong(text, "a share", "60% or 0.6"));
}

std::string format_length(double mm, System system) {
  if (system == System::metric) return mm >= 10000 ? number(mm / 1000, 2) + " m" : number(std::round(mm), 0) + " mm";
  const long sixteenths = std::lround(mm / kInchMm * 16);
  const long whole = sixteenths / 16;
  long top = std::labs(sixteenths % 16), bottom = 16;
  while (top > 0 && top % 2 == 0) {
    top /= 2;
    bottom /= 2;
  }
  std::string text = whole != 0 || top == 0 ? std::to_string(whole) : "";
  if (top > 0)
    text += (text.empty() ? (sixteenths < 0 ? "-" : "") : " ") + std::to_string(top) + "/" + std::to_string(bottom);
  return text + " in";
}

std::string format_area(double m2, System system) {
  const double value = system == System::metric ? m2 : m2 / 0.09290304;
  return number(value, decimals_for(value)) + (system == System::metric ? " m²" : " ft²");
}

std::string format_volume(double l, System system) {
  if (system == System::metric) return l < 1 ? number(l * 1000, 0) + " ml" : number(l, decimals_for(l)) + " l";
  const double gallons = l / kUsGallonL;
  if (gallons >= 1 - 1e-9) return number(gallons, decimals_for(gallons)) + " gal";
  const double quarts = gallons * 4;
  return quarts >= 0.25 - 1e-9 ? number(quarts, 2) + " qt" : number(gallons * 128, 1) + " fl oz";
}

std::string format_mass(double kg, System system) {
  if (system == System::metric) return kg < 1 ? number(kg * 1000, 0) + " g" : number(kg, decimals_for(kg)) + " kg";
  const double pounds = kg / kPoundKg;
  return pounds < 1 ? number(pounds * 16, 1) + " oz" : number(pounds, decimals_for(pounds)) + " lb";
}

std::string format_temperature(double c, System system) {
  return system == System::metric ? number(c, 1) + " °C" : number(c * 9 / 5 + 32, 0) + " °F";
}

std::string format_wet_film(double um, System system) {
  return system == System::metric ? number(um, 0) + " µm" : number(um / 25.4, 1) + " mil";
}

std::string format_hours(double h) {
  if (!std::isfinite(h)) return "never";
  const long minutes = std::lround(h * 60);
  if (minutes < 60) return std::to_string(minutes) + " min";
  if (minutes < 36 * 60) {
    const long rest = minutes % 60;
    return std::to_string(minutes / 60) + " h" + (rest && minutes < 10 * 60 ? " " + std::to_string(rest) + " min" : "");
  }
  const long hours = std::lround(h);
  return std::to_string(hours / 24) + " d" + (hours % 24 ? " " + std::to_string(hours % 24) + " h" : "");
}

}  // namespace tackcloth::units
