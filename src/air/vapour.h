// Vapour in a ventilated room: concentration over time against exposure and ignition limits. docs/air.md.
#pragma once

#include <string>
#include <vector>

#include "catalog/catalog.h"
#include "catalog/finding.h"
#include "film/film.h"

namespace tackcloth::air {

struct Room {
  double volume_m3 = 40;
  double air_changes_per_h = 0.5;
  double fan_m3_h = 0;
  double bench_zone_m3 = 8;                  // near-field around the work, two-zone model
  double exchange_m3_h = 300;                // between bench zone and room
};

// A coated area that gives off vapour from `start_h` on, following a film curve.
struct Source {
  const film::Model::Curve* curve = nullptr;
  double area_m2 = 0;
  double start_h = 0;
};

struct Course {
  std::vector<double> hours;
  std::vector<std::string> components;
  std::vector<std::vector<double>> ppm_bench;  // [component][time]
  std::vector<std::vector<double>> ppm_room;
};

struct Verdict {
  double peak_ppm = 0;                       // worst component by share of its limit, in the bench zone
  double peak_mg_m3 = 0;
  double twa_ppm = 0;                        // worst 8 h mean of that component
  double stel_ppm = 0;                       // worst 15 min mean
  std::string worst_component;
  double mixture_share = 0;                  // worst 8 h sum of C_i / TWA_i (additive formula, 29 CFR 1910.1000(d)(2))
  double lel_share = 0;                      // peak of sum C_i / LEL_i
  double reentry_h = 0;                      // after the coat: mixture and ignition shares stay under 1 and 0.1
  double fan_needed_m3_h = 0;                // to keep the mixture share under 1
  std::vector<catalog::Finding> findings;    // cautions, cartridge note, ignition
};

Course vapour(const Room& room, const std::vector<Source>& sources, const catalog::Catalog& catalog, double hours);
Verdict judge(const Room& room, const std::vector<Source>& sources, const catalog::Catalog& catalog, double hours);

// Rags of a self-heating product, solvents, flames, dust: shown whatever the numbers say.
std::vector<catalog::Finding> usual_cautions(const std::vector<const catalog::Product*>& products);

}  // namespace tackcloth::air
