// Vapour in a ventilated room: concentration over time against exposure and ignition limits. docs/air.md.
#pragma once

#include <optional>
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
  double bench_zone_m3 = 8;    // near-field around the work, two-zone model
  double exchange_m3_h = 300;  // between bench zone and room
  double house_m3 = 0;         // behind a door that leaks; 0: none
  double door_m3_h = 0;        // each way through that door
  double house_air_changes_per_h = 0.3;
};

// What is wrong with a room's numbers; empty when nothing. The functions below put a wrong room on the safe side (no
// ventilation, smallest zone) rather than fail.
std::optional<Problem> trouble_with(const Room& room);

// Fresh air through the room. Leakage and a fan that only blows out add in quadrature, less than their sum (ASHRAE
// Fundamentals 2017, ch. 16, unbalanced ventilation; from memory).
double fresh_air_m3_h(const Room& room);

// Vapour let go evenly over a short time, beside the drying film: the gas of a spray can, mist that missed the work.
struct Release {
  std::string component;
  double g = 0;
  double start_h = 0, hours = 0;  // after the source's start; 0 hours counts as 1 min
};

// What spraying a coat lets go beside the film: the propellant of a can, and every solvent of what misses the work,
// which dries in the air. Empty for methods that do not spray. `wet_um` is the film on the work.
std::vector<Release> sprayed(const catalog::Product& product, const catalog::Application& application, double wet_um,
                             double area_m2);

// A coated area that gives off vapour from `start_h` on, following a film curve. What is left in the film when the
// curve ends goes on leaving at its last rate until it is used up.
struct Source {
  const film::Model::Curve* curve = nullptr;
  double area_m2 = 0;
  double start_h = 0;
  std::vector<Release> releases = {};
};

struct Course {
  std::vector<double> hours;
  std::vector<std::string> components;
  std::vector<std::vector<double>> ppm_bench;  // [component][time]
  std::vector<std::vector<double>> ppm_room;
  std::vector<std::vector<double>> ppm_house;  // empty without a house
};

// One vapour at the bench against its limits.
struct VapourShare {
  std::string component, name;
  double peak_ppm = 0, twa_ppm = 0, stel_ppm = 0;  // highest moment, worst 8 h and 15 min means
  double twa_limit_ppm = 0, stel_limit_ppm = 0;    // as judged: the catalogue's, or the safe stand-in
  std::string limit_source;                        // which list it came from
};

struct Verdict {
  double peak_ppm = 0;  // worst component by share of its limit, in the bench zone
  double peak_mg_m3 = 0;
  double twa_ppm = 0;   // worst 8 h mean of that component
  double stel_ppm = 0;  // worst 15 min mean
  std::string worst_component;
  double mixture_share = 0;                // worst 8 h sum of C_i / TWA_i (additive formula, 29 CFR 1910.1000(d)(2))
  double lel_share = 0;                    // peak of sum C_i / LEL_i
  double reentry_h = 0;                    // after the coat: mixture and ignition shares stay under 1 and 0.1
  double fan_needed_m3_h = 0;              // to keep the mixture share under 1, the 15 min limits, and 10 % of the LEL;
                                           // film::kNever: no fan in the room does it
  double stel_share = 0;                   // worst 15 min mean over its limit
  double peak_share = 0;                   // worst moment of sum C_i / TWA_i, bench zone
  double room_share = 0, house_share = 0;  // worst 8 h sums in the rest of the room and in the house
  std::vector<VapourShare> vapours;        // in the order first met; water is not one
  std::vector<catalog::Finding> findings;  // cautions, cartridge note, ignition
};

Course vapour(const Room& room, const std::vector<Source>& sources, const catalog::Catalog& catalog, double hours);
Verdict judge(const Room& room, const std::vector<Source>& sources, const catalog::Catalog& catalog, double hours);

// Rags of a self-heating product, solvents, flames, dust: shown whatever the numbers say.
std::vector<catalog::Finding> usual_cautions(const std::vector<const catalog::Product*>& products);

}  // namespace tackcloth::air
