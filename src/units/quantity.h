// Quantities as people write them in a shop, read into SI-based doubles whose unit is in the name.
// Accepted forms: "23 5/8 in", "23-5/8\"", "2 ft 3 in", "2' 3 1/2\"", "60 cm", "600mm", "0.6 m", "5 mil", "50 um",
// "70 °F", "21 C", "21.1C", "1 qt", "1/2 gal", "750 ml", "0.2 m/s", "60%", "101325Pa", "24 h", "90 min", "3 days".
// A bare number is refused unless a default unit is named: a bench mistake between inches and centimetres is dear.
// Conversion factors: NIST Special Publication 811 (2008), appendix B.
#pragma once

#include <string>
#include <string_view>

#include "units/result.h"

namespace tackcloth::units {

enum class System { metric, us };

Result<double> parse_length_mm(std::string_view text);
Result<double> parse_area_m2(std::string_view text);
Result<double> parse_volume_l(std::string_view text);
Result<double> parse_mass_kg(std::string_view text);
Result<double> parse_temperature_c(std::string_view text);
Result<double> parse_pressure_pa(std::string_view text);
Result<double> parse_speed_m_s(std::string_view text);
Result<double> parse_flow_m3_h(std::string_view text);  // "120 m3/h", "70 cfm"
Result<double> parse_duration_h(std::string_view text);
// "60%" or "60 %" or "0.6" -> 0.6
Result<double> parse_fraction(std::string_view text);

// Written back for people: nearest 1/16 in or 1 mm, °F or °C, qt/gal or ml/l, ft² or m², oz/lb or g/kg.
std::string format_length(double mm, System system);
std::string format_area(double m2, System system);
std::string format_volume(double l, System system);
std::string format_mass(double kg, System system);
std::string format_temperature(double c, System system);
std::string format_wet_film(double um, System system);  // "75 µm" or "3 mil"
std::string format_hours(double h);                     // "40 min", "6 h", "2 d 4 h"

}  // namespace tackcloth::units
