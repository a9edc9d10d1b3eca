// The whole course of one coat, as `dry` draws it and the air breathes it.
#include <algorithm>
#include <cmath>
#include <optional>

#include "film/model_impl.h"
#include "film/slab_film.h"

namespace tackcloth::film {
namespace {

constexpr double kGone = 1e-9;          // of the volatile parts: nothing is left to follow
constexpr double kTolerance_k = 2e-12;  // of the film's temperature: heat closes to 1e-8 over any coat

// What leaves per hour, by central differences: its trapezoid sum over `hours` is what went, to rounding.
std::vector<double> leaving(const std::vector<double>& hours, const std::vector<double>& left) {
  std::vector<double> out(hours.size(), 0.0);
  for (std::size_t i = 0; i < hours.size() && hours.size() > 1; ++i) {
    const std::size_t a = i > 0 ? i - 1 : 0, b = std::min(i + 1, hours.size() - 1);
    out[i] = (left[a] - left[b]) / (hours[b] - hours[a]);
  }
  return out;
}

// A step short enough to follow every part out.
double follow_limit_h(const Laid& laid, const State& state, const Flow& now) {
  double dt = kNever;
  for (int i = 0; i < laid.recipe->count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    const double whole = laid.wet_kg_m2 * laid.recipe->parts[k].mass_fraction;
    if (now.kg_m2_s[k] > 0.01 * whole * now.relax_s[k] && state.kg_m2[k] > 0.01 * whole)
      dt = std::min(dt, 0.3 * state.kg_m2[k] / (now.kg_m2_s[k] * 3600));
  }
  return dt;
}

}  // namespace

Model::Curve Model::curve(const Coat& coat, const climate::ClimateSeries& air, Instant start, double hours) const {
  Curve out;
  if (!unusable(coat, air).empty() || !(hours > 0)) return out;
  Recipe local;
  const Recipe& recipe = impl_->recipe(*coat.product, local);
  const Laid laid = lay(recipe, coat);
  const AirTrack track(air, start);
  DryRates dry(laid, track);
  const std::size_t count = static_cast<std::size_t>(recipe.count);
  for (const catalog::Volatile& v : coat.product->volatiles) {
    if (v.mass_fraction > 0 && out.components.size() < count) out.components.push_back(v.component);
  }
  out.g_m2.resize(count);
  out.g_m2_h.resize(count);
  out.gone_g_m2.resize(count);
  const double drawn = laid.solids_m > 0 ? laid.surface_solids_m / laid.solids_m : 1.0;
  const double cured = recipe.threshold[static_cast<std::size_t>(Need::use)] * laid.hard_slower;
  const double dry_m = 1e-3 * laid.volatile_m;
  std::optional<SlabFilm> slab;
  if (dries_through_binder(laid)) slab.emplace(laid);
  Tally tally;
  State state = fresh(laid, track.at(0));
  flow(laid, track.at(0), state, 4);
  while (true) {
    const climate::Air now_air = track.at(state.t_h);
    const double volume = volatile_volume_m(laid, state);
    out.hours.push_back(state.t_h);
    out.thickness_um.push_back((laid.solids_m + volume) * drawn * 1e6);
    out.film_temp_c.push_back(state.film_c);
    out.cure.push_back(cured > 0 && cured < kNever ? std::clamp(state.progress / cured, 0.0, 1.0) : 0.0);
    for (std::size_t k = 0; k < count; ++k) {
      out.g_m2[k].push_back(state.kg_m2[k] * 1000);
      out.gone_g_m2[k].push_back(tally.gone_kg_m2[k] * 1000);
    }
    out.heat_j_m2.push_back(tally.heat_j_m2);
    if (state.t_h >= hours) break;

    double dt = std::min(std::max(0.25 * state.t_h, 0.01), hours / 60);
    double now_rate = 0, half_rate = 0;
    State next = state;
    if (slab && volume < kGone * laid.volatile_m) {
      dt = std::min(dt, hours - state.t_h);
      next.t_h += dt;
      next.progress += dt * clock_rate(laid, 1, track.at(state.t_h + 0.5 * dt));
      next.film_c = now_air.temp_c;
    } else if (slab) {
      if (volume > dry_m) dt = std::min(dt, slab->step_limit_h(state));
      dt = std::min(std::max(dt, hours * 1e-5), hours - state.t_h);
      next = slab->step(now_air, track.at(state.t_h + 0.5 * dt), state, dt, kTolerance_k, now_rate, half_rate, tally);
    } else {
      State here = state;
      const Flow now = flow(laid, now_air, here, 1);
      if (volume > dry_m) dt = std::min(dt, step_limit_h(laid, state, now));
      dt = std::min(dt, follow_limit_h(laid, state, now));
      dt = std::min(std::max(dt, hours * 1e-5), hours - state.t_h);
      next = step_closed(laid, track.at(state.t_h + 0.5 * dt), state, dt, now, kTolerance_k, half_rate, tally);
    }
    if (recipe.clock == Clock::potential) next.progress = state.progress + dt * dry.of(track.at(state.t_h + 0.5 * dt));
    if (hours - next.t_h < 1e-9 * hours) next.t_h = hours;
    state = next;
  }
  for (std::size_t k = 0; k < count; ++k) out.g_m2_h[k] = leaving(out.hours, out.g_m2[k]);
  return out;
}

}  // namespace tackcloth::film
