// What leaves a film at this moment, and the temperature it takes.
#include <algorithm>
#include <cmath>

#include "film/evaporate.h"

namespace tackcloth::film {
namespace {

constexpr double kPorous_m2_s = 7e-7;  // water vapour in the dry porous layer, 19-24 °C (Kiil 2006)

// What the film is made of now, whatever its temperature.
struct Makeup {
  double moles = 0, volume_m = 0, solid = 1;
  double porous_s_m = 0;     // resistance of the dry layer over a packed bed
  double slab_s = 0;         // resistance of the binder to what is dissolved in it, for a unit of mass
  double activity = 1;       // of the volatile parts together over the binder
  double activity_rise = 0;  // d ln activity / d ln volume of volatile parts
};

Makeup make_up(const Laid& laid, const State& state) {
  const Recipe& recipe = *laid.recipe;
  Makeup m;
  double water_m = 0;
  for (int i = 0; i < recipe.count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    const Part& part = recipe.parts[k];
    m.moles += state.kg_m2[k] * part.per_molar_mass;
    const double v = state.kg_m2[k] * part.per_density;
    m.volume_m += v;
    if (part.water) water_m += v;
  }
  m.solid = solid_share(laid, m.volume_m);
  if (!(laid.solids_m > 0)) return m;
  const double share = 1 - m.solid;
  if (recipe.particles) {
    // What water has left of the pores of a packed bed, as thickness (Kiil 2006).
    const double others = m.volume_m - water_m;
    const double dry_m = (laid.solids_m + others) / kPacked - water_m / (1 - kPacked);
    m.porous_s_m = std::max(0.0, dry_m) * (laid.surface_solids_m / laid.solids_m) / kPorous_m2_s;
  } else {
    m.activity = swollen_activity(share);
    m.activity_rise = m.solid * m.solid * (1 - 2 * kInteraction * share);
  }
  // First mode of a slab closed on one side (Crank, The Mathematics of Diffusion, eq. 4.18).
  constexpr double mode = 4.0 / (3.141592653589793 * 3.141592653589793);
  const double whole_m = laid.surface_solids_m / std::max(m.solid, 1e-6);
  m.slab_s = mode * whole_m * whole_m /
             (recipe.film_diffusivity_m2_s * std::exp(2.302585092994046 * kSwollenDecades * std::max(share, 0.0)));
  return m;
}

struct Heat {
  double need_w_m2 = 0;  // what the leaving parts take
  double slope = 0;      // of the whole balance, W/(m2 K)
};

// Fluxes and their slopes at the film's temperature; `steeper`: d flux / dT.
Heat fluxes(const Laid& laid, const climate::Air& air, const Makeup& m, State& state, Flow& out,
            std::array<double, kMaxParts>& steeper) {
  const Recipe& recipe = *laid.recipe;
  const double rh = std::clamp(air.rh, 0.0, 1.0);
  const double h = heat_transfer_w_m2k(air.speed_m_s, state.lighter, laid.lie);
  std::array<double, kMaxParts> near, far;
  double near_sum = 0, far_sum = 0;
  const double per_mole = 1 / m.moles, per_volume = 1 / m.volume_m, per_moles = m.activity * per_mole;
  const double film_h = h * (1 / kAirHeat_j_m3k);
  for (int i = 0; i < recipe.count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    const Part& part = recipe.parts[k];
    near[k] = state.kg_m2[k] * part.per_molar_mass * per_moles * vapour_pressure_pa(part, state.film_c);
    far[k] = part.water ? rh * vapour_pressure_pa(part, air.temp_c) : 0.0;
    near_sum += near[k];
    far_sum += far[k];
  }
  const double per_pressure = 1 / air.pressure_pa, per_kelvin = 1 / (air.temp_c + kZeroC);
  const double drift = 1 / (1 - std::min(0.5 * (near_sum + far_sum) * per_pressure, 0.6));
  const double gas = per_kelvin / kGas;
  out.heat_transfer_w_m2k = h + radiation_w_m2k(air.temp_c);
  Heat heat{0, out.heat_transfer_w_m2k};
  double lighter = (state.film_c - air.temp_c) * per_kelvin;
  for (int i = 0; i < recipe.count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    const Part& part = recipe.parts[k];
    const double mass = state.kg_m2[k];
    const double open = film_h * part.colburn * drift;
    const double conductance = open / (1 + open * (laid.pore_s_m + (part.water ? m.porous_s_m : 0.0)));
    const double per_pa = conductance * part.molar_mass_kg * gas;
    double j = per_pa * (near[k] - far[k]), damping = 1, last = 0;
    steeper[k] = 0;
    out.relax_s[k] = 0;
    if (mass > 0) {
      const double per_mass = 1 / mass;
      const bool held = !(part.water && recipe.particles);  // water leaves a latex through pores, not the binder
      if (held && m.slab_s > 0) damping = 1 / (1 + std::fabs(j) * m.slab_s * per_mass);
      j *= damping;
      last = mass / (mass + laid.trace_kg_m2[k]);
      j *= last;
      // d(flux)/d(mass), through the mole fraction, the activity, the slab and the last trace.
      const double open_flux = per_pa * near[k];
      const double mole_share = mass * part.per_molar_mass * per_mole;
      const double volume_share = mass * part.per_density * per_volume;
      out.relax_s[k] = (open_flux * (1 - mole_share + m.activity_rise * volume_share) * damping * damping * last +
                        std::fabs(j) * (1 - damping + (1 - last))) *
                       per_mass;
      steeper[k] = last * damping * damping * open_flux * vapour_pressure_slope(part, state.film_c);
    } else {
      j = 0;
    }
    out.kg_m2_s[k] = j;
    heat.need_w_m2 += j * part.latent_j_kg;
    heat.slope += steeper[k] * part.latent_j_kg;
    lighter += (near[k] - far[k]) * per_pressure * (1 - part.molar_mass_kg * (1 / kAirMolarMass_kg));
  }
  state.lighter = lighter;
  return heat;
}

}  // namespace

Flow flow(const Laid& laid, const climate::Air& air, State& state, int passes) {
  const Recipe& recipe = *laid.recipe;
  Flow out;
  const Makeup m = make_up(laid, state);
  if (recipe.count > 0 && m.moles > 0) {
    std::array<double, kMaxParts> steeper;
    if (passes == 0) fluxes(laid, air, m, state, out, steeper);
    for (int pass = 0; pass < passes; ++pass) {
      const Heat heat = fluxes(laid, air, m, state, out, steeper);
      const double change = (out.heat_transfer_w_m2k * (air.temp_c - state.film_c) - heat.need_w_m2) / heat.slope;
      state.film_c += change;
      for (int i = 0; i < recipe.count; ++i) {  // the fluxes at the temperature just found
        const std::size_t k = static_cast<std::size_t>(i);
        out.kg_m2_s[k] += steeper[k] * change;
        // A part that leaves faster cools the film and holds itself back.
        if (pass + 1 == passes) out.relax_s[k] *= 1 - steeper[k] * recipe.parts[k].latent_j_kg / heat.slope;
      }
    }
    for (int i = 0; i < recipe.count; ++i) {
      const std::size_t k = static_cast<std::size_t>(i);
      const double leaving = out.kg_m2_s[k] * recipe.parts[k].per_density;
      out.volume_m_s += leaving;
      const double reach = 0.002 * m.volume_m * out.relax_s[k];
      out.lasting_m_s += std::fabs(leaving) * (reach > 0 ? std::min(1.0, std::fabs(leaving) / reach) : 1.0);
    }
  } else {
    out.kg_m2_s.fill(0);
    out.relax_s.fill(0);
    state.film_c = air.temp_c;
    out.heat_transfer_w_m2k = heat_transfer_w_m2k(air.speed_m_s, 0, laid.lie) + radiation_w_m2k(air.temp_c);
  }
  out.volatile_m = m.volume_m;
  out.rate = clock_rate(laid, m.solid, air);
  return out;
}

}  // namespace tackcloth::film
