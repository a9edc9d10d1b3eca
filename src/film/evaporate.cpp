#include "film/evaporate.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::film {
namespace {

constexpr double kPacked = 0.74;       // close packed spheres: where the rate falls (Kiil 2006)
constexpr double kPorous_m2_s = 7e-7;  // water vapour in the dry porous layer, 19-24 °C (Kiil 2006)
constexpr double kPerHour = 3600;

// The last thousandth of a part sits in pores and patches and leaves ever slower (from memory); without it a pure
// liquid would stop in a corner.
constexpr double kTrace = 0.001;

// Solvent diffusion rises by this power of ten from the dry binder to pure solvent (from memory: 1e-13 to 1e-9).
constexpr double kDecadesWetter = 4;

// Mass after `dt_s` when the flux falls linearly with the mass: m' = -j - relax (m - mass).
double relaxed(double mass, double j, double relax, double dt_s) {
  const double z = relax * dt_s;
  const double reach = z > 1e-6 ? -std::expm1(-z) / z : 1 - 0.5 * z;
  return std::max(mass - j * dt_s * reach, 0.02 * mass);  // never all in one step
}

double sixth(double x) {
  const double square = x * x;
  return square * square * square;
}

}  // namespace

Laid lay(const Recipe& recipe, const Coat& coat) {
  const catalog::Product& product = *recipe.product;
  const double wet_m = coat.wet_um * 1e-6;
  const double drawn = coat.ground == Ground::bare_wood ? std::clamp(product.absorbency, 0.0, 0.95) : 0.0;
  Laid laid;
  laid.recipe = &recipe;
  laid.lie = coat.lie;
  laid.wet_kg_m2 = wet_m * recipe.density_kg_m3;
  laid.solids_m = wet_m * recipe.solids_fraction;
  laid.surface_solids_m = laid.solids_m * (1 - drawn);
  // Drawn-in liquid fills pores of about 0.6 of the wood and comes back by vapour diffusion some four times slower than
  // in free air (from memory); half the depth on average.
  laid.pore_s_m = drawn * wet_m / 0.6 * 0.5 / (8e-6 * 0.6 / 4) * drawn;
  laid.thickness_rate = thickness_factor(recipe, laid.surface_solids_m * 1e6);
  for (int i = 0; i < recipe.count; ++i) {
    const Part& part = recipe.parts[static_cast<std::size_t>(i)];
    const double load = wet_m * recipe.density_kg_m3 * part.mass_fraction;
    laid.load_kg_m2 += load;
    laid.volatile_m += load / part.density_kg_m3;
  }
  return laid;
}

State fresh(const Laid& laid, const climate::Air& air) {
  State state;
  state.film_c = air.temp_c;
  for (int i = 0; i < laid.recipe->count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    state.kg_m2[k] = laid.wet_kg_m2 * laid.recipe->parts[k].mass_fraction;
  }
  return state;
}

double volatile_volume_m(const Laid& laid, const State& state) {
  double volume = 0;
  for (int i = 0; i < laid.recipe->count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    volume += state.kg_m2[k] / laid.recipe->parts[k].density_kg_m3;
  }
  return volume;
}

double solid_share(const Laid& laid, double volatile_m) {
  const double whole = laid.solids_m + volatile_m;
  return whole > 0 ? laid.solids_m / whole : 1;
}

Flow flow(const Laid& laid, const climate::Air& air, State& state, int passes) {
  const Recipe& recipe = *laid.recipe;
  Flow out;
  double moles = 0, volume = 0, water_m = 0;
  for (int i = 0; i < recipe.count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    const Part& part = recipe.parts[k];
    moles += state.kg_m2[k] / part.molar_mass_kg;
    const double v = state.kg_m2[k] / part.density_kg_m3;
    volume += v;
    if (part.water) water_m += v;
  }
  const double solid = solid_share(laid, volume);
  if (recipe.count > 0 && moles > 0) {
    const double rh = std::clamp(air.rh, 0.0, 1.0);
    const double radiation = radiation_w_m2k(air.temp_c);
    const double whole_m = laid.surface_solids_m / std::max(solid, 1e-6);
    // Dry porous layer over the packed bed: what water has left of the pores, as thickness (Kiil 2006).
    double porous_s_m = 0;
    if (recipe.particles && laid.solids_m > 0) {
      const double others = volume - water_m;
      const double dry_m = (laid.solids_m + others) / kPacked - (water_m / (1 - kPacked));
      porous_s_m = std::max(0.0, dry_m) * (laid.surface_solids_m / laid.solids_m) / kPorous_m2_s;
    }
    // First mode of a slab closed on one side (Crank, The Mathematics of Diffusion, eq. 4.18).
    double slab_s = 0;
    if (laid.solids_m > 0) {
      constexpr double mode = 4.0 / (3.141592653589793 * 3.141592653589793);
      const double swollen = std::exp(2.302585092994046 * kDecadesWetter * std::min(1 - solid, 1.0));
      slab_s = mode * whole_m * whole_m / (recipe.film_diffusivity_m2_s * swollen);
    }
    for (int pass = 0; pass < passes; ++pass) {
      const double h = heat_transfer_w_m2k(air.speed_m_s, state.lighter, laid.lie);
      double near_sum = 0, far_sum = 0;
      std::array<double, kMaxParts> near{}, far{}, steeper{};
      for (int i = 0; i < recipe.count; ++i) {
        const std::size_t k = static_cast<std::size_t>(i);
        const Part& part = recipe.parts[k];
        near[k] = state.kg_m2[k] / part.molar_mass_kg / moles * vapour_pressure_pa(part, state.film_c);
        if (part.water) far[k] = rh * vapour_pressure_pa(part, air.temp_c);
        near_sum += near[k];
        far_sum += far[k];
      }
      const double share = std::min(0.5 * (near_sum + far_sum) / air.pressure_pa, 0.6);
      const double drift = 1 / (1 - share);
      const double gas = 1 / (kGas * (air.temp_c + kZeroC));
      double heat = 0, slope = h + radiation, lighter = (state.film_c - air.temp_c) / (air.temp_c + kZeroC);
      for (int i = 0; i < recipe.count; ++i) {
        const std::size_t k = static_cast<std::size_t>(i);
        const Part& part = recipe.parts[k];
        const double open = h / kAirHeat_j_m3k * part.colburn * drift;
        const double conductance = 1 / (1 / open + laid.pore_s_m + (part.water ? porous_s_m : 0.0));
        double j = conductance * part.molar_mass_kg * gas * (near[k] - far[k]);
        double damping = 1;
        const bool held = !(part.water && recipe.particles);  // water leaves a latex through pores, not the binder
        if (held && slab_s > 0 && state.kg_m2[k] > 0) {
          damping = 1 / (1 + std::fabs(j) * slab_s / state.kg_m2[k]);
          j *= damping;
        }
        double load = laid.wet_kg_m2 * part.mass_fraction;
        if (!held)
          load = std::min(load, laid.solids_m / kPacked * (1 - kPacked) * part.density_kg_m3);  // fills the bed
        const double trace = kTrace * load;
        const double last = state.kg_m2[k] > 0 ? state.kg_m2[k] / (state.kg_m2[k] + trace) : 0;
        j *= last;
        out.kg_m2_s[k] = j;
        if (state.kg_m2[k] > 0) {
          // d(flux)/d(mass), through the mole fraction, the slab and the last trace.
          const double share_moles = state.kg_m2[k] / part.molar_mass_kg / moles;
          const double open_flux = conductance * part.molar_mass_kg * gas * near[k];
          out.relax_s[k] =
              (open_flux * (1 - share_moles) * damping * damping * last + std::fabs(j) * (1 - damping + (1 - last))) /
              state.kg_m2[k];
        }
        heat += j * part.latent_j_kg;
        steeper[k] = last * damping * damping * conductance * part.molar_mass_kg * gas * near[k] *
                     vapour_pressure_slope(part, state.film_c);
        slope += steeper[k] * part.latent_j_kg;
        lighter += (near[k] - far[k]) / air.pressure_pa * (1 - part.molar_mass_kg / kAirMolarMass_kg);
      }
      const double change = ((h + radiation) * (air.temp_c - state.film_c) - heat) / slope;
      state.film_c += change;
      for (int i = 0; i < recipe.count; ++i) {  // the fluxes at the temperature just found
        const std::size_t k = static_cast<std::size_t>(i);
        out.kg_m2_s[k] += steeper[k] * change;
      }
      state.lighter = lighter;
    }
    for (int i = 0; i < recipe.count; ++i) {
      const std::size_t k = static_cast<std::size_t>(i);
      const double leaving = out.kg_m2_s[k] / recipe.parts[k].density_kg_m3;
      out.volume_m_s += leaving;
      const double reach = 0.002 * volume * out.relax_s[k];
      out.lasting_m_s += std::fabs(leaving) * (reach > 0 ? std::min(1.0, std::fabs(leaving) / reach) : 1.0);
    }
  } else {
    state.film_c = air.temp_c;
  }
  // The clock starts as the solids close up: the sixth power of their share keeps a wet film wet. It goes by the air's
  // temperature: by the time it counts, the film has come up to it.
  double closed = 1;
  if (laid.volatile_m > 0 && laid.solids_m > 0) {
    const double start = sixth(solid_share(laid, laid.volatile_m));
    closed = std::max(0.0, (sixth(solid) - start) / (1 - start));
  }
  if (closed > 0) out.rate = closed * laid.thickness_rate * climate_factor(recipe, air.temp_c, air.rh);
  return out;
}

double last_delay(const Laid& laid, double rate, double volume_m, double leaving_m_h) {
  if (!(leaving_m_h > 0) || !(laid.solids_m > 0)) return 0;
  const double start = sixth(solid_share(laid, laid.volatile_m));
  return rate * 6 * volume_m / laid.solids_m / (1 - start) * volume_m / leaving_m_h;
}

double step_limit_h(const Laid& laid, const State& state, const Flow& now) {
  const double leaving = now.lasting_m_s * kPerHour;
  if (!(leaving > 0)) return kNever;
  // A bite of what is left, more freely where little is left among much solid; where solids hold the solvent, its
  // diffusion changes steeply with their share.
  constexpr double scale = 1.0;
  const double v = volatile_volume_m(laid, state);
  double bite = std::min(scale * (0.12 * v + (laid.recipe->particles ? 0.01 * laid.solids_m : 0)), 0.4 * v);
  if (!laid.recipe->particles && laid.solids_m > 0) bite = std::min(bite, scale * 0.04 * (v + laid.solids_m));
  return bite / leaving;
}

State step(const Laid& laid, const climate::Air& mid, const State& from, double dt_h, const Flow& now,
           double& half_rate) {
  const int count = laid.recipe->count;
  State half = from;
  const double dt_s = dt_h * kPerHour;
  for (int i = 0; i < count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    half.kg_m2[k] = relaxed(from.kg_m2[k], now.kg_m2_s[k], now.relax_s[k], 0.5 * dt_s);
  }
  // Temperature and density are found one step late; carry them forward along their course.
  half.lighter += from.lighter_per_h * 0.5 * dt_h;
  const Flow there = flow(laid, mid, half, 1);
  half_rate = there.rate;
  State to = half;
  for (int i = 0; i < count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    // The flux half way is carried back to the start along its own slope, so that the step is exact for a linear part.
    const double back = there.relax_s[k] * (from.kg_m2[k] - half.kg_m2[k]);
    to.kg_m2[k] = relaxed(from.kg_m2[k], there.kg_m2_s[k] + back, there.relax_s[k], dt_s);
  }
  to.t_h = from.t_h + dt_h;
  to.film_c = 2 * half.film_c - from.film_c;
  to.lighter = 2 * half.lighter - from.lighter;
  to.lighter_per_h = (half.lighter - from.lighter) / (0.5 * dt_h);
  to.progress = from.progress + dt_h * there.rate;
  return to;
}

}  // namespace tackcloth::film
