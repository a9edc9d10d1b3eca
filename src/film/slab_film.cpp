#include "film/slab_film.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::film {
namespace {

constexpr double kPerHour = 3600;
constexpr double kStretch = 8;  // the back cell against the face cell

Slab slab_of(const Laid& laid, int cells) {
  const Recipe& recipe = *laid.recipe;
  return Slab(laid.surface_solids_m, recipe.count, cells, kStretch,
              {recipe.film_diffusivity_m2_s, kSwollenDecades * 2.302585092994046, false});
}

}  // namespace

bool dries_through_binder(const Laid& laid) {
  return laid.recipe->count > 0 && !laid.recipe->particles && laid.surface_solids_m > 0 && laid.volatile_m > 0 &&
         laid.recipe->clock != Clock::potential;
}

SlabFilm::SlabFilm(const Laid& laid, int cells) : laid_(&laid), slab_(slab_of(laid, cells)) {
  take_.m_s.assign(static_cast<std::size_t>(laid.recipe->count), 0.0);
  const State start = fresh(laid, {});
  for (int i = 0; i < laid.recipe->count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    // Drawn-in volatile comes back through the film's own face: all of it is spread over what lies on the surface.
    face_[k] = start.kg_m2[k] / laid.recipe->parts[k].density_kg_m3 / laid.surface_solids_m;
    slab_.fill(i, face_[k]);
  }
}

double SlabFilm::breathe(const climate::Air& air, double film_c, double lighter) {
  const Recipe& recipe = *laid_->recipe;
  const double h = heat_transfer_w_m2k(air.speed_m_s, lighter, laid_->lie);
  double moles = 0, volume = 0;
  for (int i = 0; i < recipe.count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    moles += face_[k] * recipe.parts[k].density_kg_m3 * recipe.parts[k].per_molar_mass;
    volume += face_[k];
  }
  const double per_moles = swollen_activity(volume / (1 + volume)) / moles;
  std::array<double, kMaxParts> pressure;  // per unit of ratio at the face
  double sum_pa = 0;
  const double per_kelvin = 1 / (air.temp_c + kZeroC), per_pressure = 1 / air.pressure_pa;
  lighter_ = (film_c - air.temp_c) * per_kelvin;
  for (int i = 0; i < recipe.count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    const Part& part = recipe.parts[k];
    saturation_[k] = vapour_pressure_pa(part, film_c);
    pressure[k] = saturation_[k] * per_moles * part.density_kg_m3 * part.per_molar_mass;
    const double near = pressure[k] * face_[k];
    sum_pa += near;
    lighter_ += near * per_pressure * (1 - part.molar_mass_kg * (1 / kAirMolarMass_kg));
  }
  const double drift = 1 / (1 - std::min(0.5 * sum_pa * per_pressure, 0.6));
  const double gas = per_kelvin / kGas;
  for (int i = 0; i < recipe.count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    const Part& part = recipe.parts[k];
    const double open = h / kAirHeat_j_m3k * part.colburn * drift;
    take_.m_s[k] = open / (1 + open * laid_->pore_s_m) * part.molar_mass_kg * gas * pressure[k] * part.per_density;
  }
  return h + radiation_w_m2k(air.temp_c);
}

// The same at another temperature of the film: only the vapour pressures follow.
void SlabFilm::warm(double film_c) {
  for (int i = 0; i < laid_->recipe->count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    const double now = vapour_pressure_pa(laid_->recipe->parts[k], film_c);
    take_.m_s[k] *= now / saturation_[k];
    saturation_[k] = now;
  }
}

// The ratios at the face that go with what the air now takes; a floor keeps their proportions when all has gone.
void SlabFilm::settle_face(bool mid) {
  double sum = 0;
  std::array<double, kMaxParts> next{};
  for (int i = 0; i < laid_->recipe->count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    next[k] = std::max(0.0, mid ? slab_.mid_face_ratio(i, take_) : slab_.face_ratio(i, take_));
    sum += next[k];
  }
  if (sum > 1e-15) face_ = next;
}

double SlabFilm::step_limit_h(const State& state) const {
  if (!(leaving_m_h_ > 0)) return 0.004;
  const double v = volatile_volume_m(*laid_, state);
  return std::min(0.12 * v, 0.04 * (v + laid_->solids_m)) / leaving_m_h_;
}

State SlabFilm::step(const climate::Air& air, const climate::Air& mid, const State& from, double dt_h,
                     double tolerance_k, double& now_rate, double& half_rate, Tally& tally) {
  const Recipe& recipe = *laid_->recipe;
  const double dt_s = dt_h * kPerHour;
  const double before = volatile_volume_m(*laid_, from);
  now_rate = clock_rate(*laid_, solid_share(*laid_, before), air);
  // Half way with what the air takes at the start; the face and what is taken of it are found together.
  breathe(air, from.film_c, from.lighter);
  settle_face(false);
  breathe(air, from.film_c, from.lighter);
  slab_.half(dt_s, take_);
  breathe(mid, from.film_c, lighter_);
  settle_face(true);
  const double h = breathe(mid, from.film_c, lighter_);
  // The whole step at the temperature that closes its heat.
  Root temperature(from.film_c, miss_slope_);
  double heat_w_m2 = 0;
  for (int pass = 0; pass < 60; ++pass) {
    const double film_c = temperature.guess();
    if (pass > 0) warm(film_c);
    slab_.full(dt_s, take_, gone_m_);
    double latent = 0;
    for (int i = 0; i < recipe.count; ++i) {
      const std::size_t k = static_cast<std::size_t>(i);
      latent += gone_m_[k] / dt_s * recipe.parts[k].density_kg_m3 * recipe.parts[k].latent_j_kg;
    }
    heat_w_m2 = h * (mid.temp_c - film_c);
    if (temperature.close((heat_w_m2 - latent) / h, tolerance_k)) break;
  }
  miss_slope_ = temperature.slope();
  slab_.accept();
  State to = from;
  double after = 0;
  for (int i = 0; i < recipe.count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    const double left_m = slab_.volume_m(i);
    to.kg_m2[k] = left_m * recipe.parts[k].density_kg_m3;
    tally.gone_kg_m2[k] += gone_m_[k] * recipe.parts[k].density_kg_m3;
    after += left_m;
  }
  tally.heat_j_m2 += heat_w_m2 * dt_s;
  leaving_m_h_ = (before - after) / dt_h;
  half_rate = clock_rate(*laid_, solid_share(*laid_, 0.5 * (before + after)), mid);
  to.film_c = temperature.guess();
  to.lighter = lighter_;
  to.t_h = from.t_h + dt_h;
  to.progress = from.progress + dt_h * half_rate;
  return to;
}

}  // namespace tackcloth::film
