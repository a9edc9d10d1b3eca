// Curves and components made by hand.
#pragma once

#include <cmath>

#include "air/vapour.h"

namespace tackcloth::air {

inline catalog::Component component(const std::string& id, double molar, double twa, double stel, double lel) {
  catalog::Component c;
  c.id = c.name = id;
  c.molar_mass_g = molar;
  c.twa_ppm = twa;
  c.stel_ppm = stel;
  c.lel_percent = lel;
  c.antoine_a = 7;  // boils at 364 °C less 200 °C
  c.antoine_b = 1500;
  c.antoine_c = 200;
  return c;
}

// 100 g/mol: 244.5 ppm is 1 g/m³ (24.45 l/mol).
inline catalog::Catalog two_solvents() {
  catalog::Catalog catalog;
  catalog.components = {component("water", 18, 0, 0, 0), component("thin", 100, 50, 150, 1),
                        component("slow", 200, 20, 0, 0.7)};
  return catalog;
}

// Straight pieces: rate at each hour, g/(m² h); what is left at the end is `left`.
inline film::Model::Curve curve(std::vector<double> hours, std::vector<double> rate, double left = 0,
                                const std::string& id = "thin") {
  film::Model::Curve c;
  c.hours = hours;
  c.components = {id};
  std::vector<double> held(hours.size(), left);
  for (std::size_t i = hours.size() - 1; i-- > 0;)
    held[i] = held[i + 1] + (rate[i] + rate[i + 1]) / 2 * (hours[i + 1] - hours[i]);
  c.g_m2 = {held};
  c.g_m2_h = {rate};
  return c;
}

// One zone in effect: an exchange so strong that bench and room are one.
inline Room mixed(double volume, double changes) {
  Room room;
  room.volume_m3 = volume;
  room.air_changes_per_h = changes;
  room.bench_zone_m3 = volume / 2;
  room.exchange_m3_h = 1e6;
  return room;
}

}  // namespace tackcloth::air
