#include "film/recipe.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::film {
namespace {

using catalog::Binder;
using catalog::Cure;

Clock clock_of(const catalog::Product& product) {
  if (product.solids_volume_fraction < 0.02) return Clock::potential;
  switch (product.cure) {
    case Cure::none:
      return Clock::potential;
    case Cure::evaporation:
      return Clock::evaporation;
    case Cure::coalescence:
      return Clock::coalescence;
    case Cure::oxidation:
      return Clock::oxidation;
    case Cure::crosslink:
      return Clock::crosslink;
  }
  return Clock::evaporation;
}

// Order of size of solvent diffusion in a dry binder at room temperature; glassy binders hold on longer than soft ones
// (from memory: 1e-14 to 1e-12 m2/s).
double film_diffusivity(Binder binder) {
  switch (binder) {
    case Binder::oil:
    case Binder::alkyd:
    case Binder::urethane_oil:
    case Binder::wax:
    case Binder::hardwax:
    case Binder::contact:
      return 1e-12;
    default:
      return 1e-13;
  }
}

// Activation energies, J/mol. 51 kJ/mol doubles the rate for 10 K near 20 °C (common practice, no source); solvent
// diffusion in the dry film is a little less steep (from memory).
double activation(Clock clock) { return clock == Clock::evaporation ? 45e3 : 51e3; }

// Dry thickness at which carrying (oxygen in, coalescent out) takes as long as the reaction itself (from memory).
constexpr double kCarry_um = 30;

// 0 below `from`, 1 above `to`.
double ramp(double x, double from, double to) { return std::clamp((x - from) / (to - from), 0.0, 1.0); }

}  // namespace

Recipe make_recipe(const catalog::Product& product, const catalog::Catalog& catalog) {
  Recipe recipe;
  recipe.product = &product;
  recipe.density_kg_m3 = product.density_kg_l * 1000;
  recipe.solids_fraction = product.solids_volume_fraction;
  recipe.film_diffusivity_m2_s = film_diffusivity(product.binder);
  recipe.particles = product.carrier == catalog::Carrier::water;
  recipe.clock = clock_of(product);
  recipe.label_dry_um = product.label.wet_um * product.solids_volume_fraction;
  recipe.label_h = label_hours(product.label);
  recipe.threshold.fill(kNever);
  for (const catalog::Volatile& v : product.volatiles) {
    if (v.mass_fraction <= 0) continue;
    const catalog::Component* component = catalog.component(v.component);
    if (!component) {
      recipe.fault = "'" + product.id + "' names the volatile part '" + v.component + "', which the catalogue lacks";
      continue;
    }
    if (recipe.count == kMaxParts) {
      recipe.fault = "'" + product.id + "' has more than " + std::to_string(kMaxParts) + " volatile parts";
      break;
    }
    Part part = part_of(*component, v.mass_fraction);
    // The few percent of water in alcohols leave with them; taking water up from damp air (blushing) is not modelled.
    if (product.carrier != catalog::Carrier::water) part.water = false;
    recipe.parts[static_cast<std::size_t>(recipe.count++)] = part;
  }
  if (!(product.label.wet_um > 0) || !(recipe.density_kg_m3 > 0)) {
    recipe.fault = "'" + product.id + "' has no label thickness or no density";
  }
  return recipe;
}

std::array<double, kMarks> label_hours(const catalog::Label& label) {
  std::array<double, kMarks> h{};
  auto at = [&h](Need need) -> double& { return h[static_cast<std::size_t>(need)]; };
  at(Need::touch) = label.touch_h;
  at(Need::scuff) = label.scuff_h;
  at(Need::recoat_same) = label.recoat_h;
  at(Need::recoat_other) = label.recoat_other_h;
  at(Need::handle) = label.handle_h;
  at(Need::use) = label.use_h;
  // Tape pulls: not before a film can be handled, and half as long again as a recoat (common practice, no source).
  at(Need::tape) = std::min(std::max(label.handle_h, 1.5 * label.recoat_h), std::max(label.use_h, label.handle_h));
  // Faces laid on each other print: three times the handling time, at most full cure (common practice, no source).
  at(Need::stack) = std::max(label.handle_h, std::min(3 * label.handle_h, label.use_h));
  h[kNeeds] = label.recoat_max_h.value_or(kNever);
  return h;
}

double thickness_factor(const Recipe& recipe, double dry_um) {
  const double label = recipe.label_dry_um;
  switch (recipe.clock) {
    case Clock::evaporation: {
      const double ratio = label / std::max(dry_um, 0.1 * label);
      return ratio * ratio;
    }
    case Clock::coalescence:
    case Clock::oxidation: {
      const double a = label / kCarry_um, b = dry_um / kCarry_um;
      return (1 + a * a) / (1 + b * b);
    }
    case Clock::crosslink:
    case Clock::potential:
      break;
  }
  return 1;
}

double climate_factor(const Recipe& recipe, double temp_c, double rh) {
  const catalog::Product& product = *recipe.product;
  // Under the label's least temperature the clock stands; the ramp keeps readiness continuous.
  double gate = ramp(temp_c, product.min_temp_c - 1, product.min_temp_c);
  if (product.min_film_temp_c && recipe.clock == Clock::coalescence) {
    gate *= ramp(temp_c, *product.min_film_temp_c, *product.min_film_temp_c + 2);
  }
  if (gate == 0) return 0;
  // Damp air slows driers in oxidising films, about a tenth from 50 to 80 % (common practice, no source).
  if (recipe.clock == Clock::oxidation) gate *= 1.0 - 0.33 * (std::clamp(rh, 0.0, 1.0) - 0.5);
  constexpr double reference_k = 21 + kZeroC;
  return gate * std::exp(activation(recipe.clock) / kGas * (1 / reference_k - 1 / (temp_c + kZeroC)));
}

}  // namespace tackcloth::film
