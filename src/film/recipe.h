// A product made ready for the film model: its volatile parts in SI, its clock of cure, and the label's thresholds.
#pragma once

#include <array>
#include <optional>
#include <string>

#include "film/gas.h"

namespace tackcloth::film {

inline constexpr int kMaxParts = 10;
inline constexpr int kMarks = kNeeds + 1;  // the needs, and the closing of the recoat window

// What makes the film ready once it has been laid.
enum class Clock {
  potential,    // nothing stays, or nothing sets: loads of the slowest part that the air could have carried off
  evaporation,  // the last solvent diffuses out: thickness squared
  coalescence,  // particles flow together above the minimum film temperature; coalescent leaves through the film
  oxidation,    // oxygen comes in through the film
  crosslink     // parts that meet and react
};

struct Recipe {
  const catalog::Product* product = nullptr;
  std::array<Part, kMaxParts> parts;
  int count = 0;
  double density_kg_m3 = 1000;
  double solids_fraction = 0.4;          // of the wet volume
  double film_diffusivity_m2_s = 1e-13;  // of a solvent in the dry binder at 21 °C
  bool particles = false;                // latex: water leaves through a porous layer
  Clock clock = Clock::evaporation;
  double label_dry_um = 25;
  std::array<double, kMarks> threshold{};  // progress at which each need is met; infinity: never
  std::array<double, kMarks> label_h{};    // what the label says, or common practice derives from it
  // What one coat, left for the label's recoat hours at label conditions, still holds: a label contains that much.
  double label_retained_share = 0;  // of its volatile parts
  double label_unripe_share = 0;    // of its dry thickness
  std::string fault;                // not empty: cannot be predicted
};

// Everything but the thresholds, which the model anchors.
Recipe make_recipe(const catalog::Product& product, const catalog::Catalog& catalog);

// Label hours of every need; those the label does not give are derived by ratios of common practice.
std::array<double, kMarks> label_hours(const catalog::Label& label);

// Rate of the clock, label hours per hour, of a dry film of `dry_um` at `temp_c` and `rh`; 1 at 21 °C, 50 % and label
// thickness. Not for Clock::potential.
double thickness_factor(const Recipe& recipe, double dry_um);
double climate_factor(const Recipe& recipe, double temp_c, double rh);

}  // namespace tackcloth::film
