#include "film/evaporate.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::film {
namespace {

constexpr double kPerHour = 3600;

// The last thousandth of a part sits in pores and patches and leaves ever slower (from memory); without it a pure
// liquid would stop in a corner. In a swelling binder the activity does this.
constexpr double kTrace = 0.001;

// (1 - exp(-z)) / z; by its series where that is good to 1e-9.
double reach(double z) {
  if (z < 0.02) return 1 - z * (1.0 / 2 - z * (1.0 / 6 - z * (1.0 / 24)));
  return z < 40 ? -std::expm1(-z) / z : 1 / z;
}

// Mass after `dt_s` when the flux falls linearly with the mass: m' = -j - relax (m - mass).
double relaxed(double mass, double j, double relax, double dt_s) {
  return std::max(mass - j * dt_s * reach(relax * dt_s), 0.02 * mass);  // never all in one step
}

// What the drift of a part's balance with the air adds over a step: m' = -relax (m - e), e moving at `drift`.
double carried(double drift, double z, double within, double dt_s) {
  return drift * dt_s * (1 - 0.5 * z * within - within);
}
constexpr double kQuick = 0.1;  // from here on, in relax * dt, a part is taken to follow a moving balance

// Mass half way. A part in quick balance with the air (water among slow co-solvents) follows that balance, which moves
// as the others leave; its drift is known from the step before.
double halfway(const State& from, std::size_t k, const Flow& now, double dt_s) {
  const double mass = from.kg_m2[k], z = now.relax_s[k] * dt_s;
  if (z < kQuick) return relaxed(mass, now.kg_m2_s[k], now.relax_s[k], dt_s);
  const double within = reach(z);
  const double to = mass - now.kg_m2_s[k] * dt_s * within + carried(from.drift_kg_m2_s[k], z, within, dt_s);
  return std::clamp(to, 0.02 * mass, 2 * mass);
}

// Mass at the end of a step, from the rates at its start and half way. The flux half way is carried back to the start
// along its own slope, so that the step is exact for a linear part; a quick part's balance moves on.
double stepped(const State& from, const State& half, std::size_t k, const Flow& now, const Flow& there, double dt_s,
               bool smooth, double& drift) {
  const double mass = from.kg_m2[k], relax = there.relax_s[k];
  const double back = relax * (mass - half.kg_m2[k]);
  const double z = relax * dt_s, within = reach(z);
  double to = mass - (there.kg_m2_s[k] + back) * dt_s * within;
  drift = 0;
  // Under a thousandth it adds nothing that counts; only the search for a temperature minds the seam.
  if (z > (smooth ? 0 : 1e-3) && now.relax_s[k] > 0) {
    const double moved = (half.kg_m2[k] - there.kg_m2_s[k] / relax) - (mass - now.kg_m2_s[k] / now.relax_s[k]);
    const double per_s = std::clamp(2 * moved, -0.5 * mass, 0.5 * mass) / dt_s;
    to += carried(per_s, z, within, dt_s);
    if (z > kQuick && now.relax_s[k] * dt_s > kQuick) drift = per_s;
  }
  return std::max(to, 0.02 * mass);  // never all in one step
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
  const double dry_um = laid.surface_solids_m * 1e6;
  const double raw_um = std::clamp(coat.beneath.raw_um, 0.0, 1e5);
  const double unripe_um =
      std::max(0.0, std::clamp(coat.beneath.unripe_um, 0.0, 1e5) - recipe.label_unripe_share * dry_um);
  laid.thickness_rate = thickness_factor(recipe, dry_um + raw_um);
  const double deep = thickness_factor(recipe, dry_um + std::max(raw_um, unripe_um));
  laid.hard_slower = deep > 0 ? std::max(1.0, laid.thickness_rate / deep) : 1.0;
  for (int i = 0; i < recipe.count; ++i) {
    const Part& part = recipe.parts[static_cast<std::size_t>(i)];
    const double load = wet_m * recipe.density_kg_m3 * part.mass_fraction;
    if (vapour_pressure_pa(part, 25) < vapour_pressure_pa(recipe.parts[static_cast<std::size_t>(laid.slowest)], 25))
      laid.slowest = i;
    laid.load_kg_m2 += load;
    laid.volatile_m += load / part.density_kg_m3;
    double trace = load;
    if (part.water && recipe.particles)  // what fills the pores of the bed
      trace = std::min(trace, laid.solids_m / kPacked * (1 - kPacked) * part.density_kg_m3);
    const bool binder = !recipe.particles && laid.solids_m > 0;
    laid.trace_kg_m2[static_cast<std::size_t>(i)] = binder ? 0.0 : kTrace * trace;
  }
  if (recipe.count > 0 && laid.solids_m > 0) {
    laid.under_kg_m2 = std::max(
        0.0, std::clamp(coat.beneath.retained_g_m2, 0.0, 1e5) / 1000 - recipe.label_retained_share * laid.load_kg_m2);
  }
  return laid;
}

double swollen_activity(double share) {
  const double solid = 1 - share;
  return share * std::exp(solid + kInteraction * solid * solid);
}

State fresh(const Laid& laid, const climate::Air& air) {
  State state;
  state.film_c = air.temp_c;
  for (int i = 0; i < laid.recipe->count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    state.kg_m2[k] = laid.wet_kg_m2 * laid.recipe->parts[k].mass_fraction;
    state.drift_kg_m2_s[k] = 0;
  }
  if (laid.recipe->count > 0) state.kg_m2[static_cast<std::size_t>(laid.slowest)] += laid.under_kg_m2;
  return state;
}

bool Root::close(double miss, double tolerance) {
  // Where the miss is not negative the root lies above: what leaves grows with the temperature.
  (miss > 0 ? low_ : high_) = guess_;
  if (std::fabs(miss) < tolerance || high_ - low_ < tolerance) return true;
  if (passes_++ > 0 && guess_ != last_guess_) slope_ = std::min((miss - last_miss_) / (guess_ - last_guess_), -0.5);
  double next = guess_ - miss / slope_;
  if (!(next > low_ && next < high_))
    next = std::isfinite(low_) && std::isfinite(high_) ? 0.5 * (low_ + high_) : guess_ + miss;
  last_guess_ = guess_;
  last_miss_ = miss;
  guess_ = next;
  return false;
}

double volatile_volume_m(const Laid& laid, const State& state) {
  double volume = 0;
  for (int i = 0; i < laid.recipe->count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    volume += state.kg_m2[k] * laid.recipe->parts[k].per_density;
  }
  return volume;
}

double solid_share(const Laid& laid, double volatile_m) {
  const double whole = laid.solids_m + volatile_m;
  return whole > 0 ? laid.solids_m / whole : 1;
}

// The clock starts as the solids close up: the sixth power of their share keeps a wet film wet. It goes by the air's
// temperature: by the time it counts, the film has come up to it.
double clock_rate(const Laid& laid, double solid, const climate::Air& air) {
  double closed = 1;
  if (laid.volatile_m > 0 && laid.solids_m > 0) {
    const double start = sixth(solid_share(laid, laid.volatile_m));
    closed = std::max(0.0, (sixth(solid) - start) / (1 - start));
  }
  return closed > 0 ? closed * laid.thickness_rate * climate_factor(*laid.recipe, air.temp_c, air.rh) : 0;
}

double last_delay(const Laid& laid, double rate, double volume_m, double leaving_m_h) {
  if (!(leaving_m_h > 0) || !(laid.solids_m > 0)) return 0;
  const double start = sixth(solid_share(laid, laid.volatile_m));
  return rate * 6 * volume_m / laid.solids_m / (1 - start) * volume_m / leaving_m_h;
}

double lasting_m_h(const Laid& laid, const State& state, const Flow& now) {
  double leaving = now.lasting_m_s;
  if (!laid.recipe->particles) return leaving * kPerHour;
  for (int i = 0; i < laid.recipe->count; ++i) {  // a part in quick balance leaves as its balance moves
    const std::size_t k = static_cast<std::size_t>(i);
    leaving += std::fabs(state.drift_kg_m2_s[k]) * laid.recipe->parts[k].per_density;
  }
  return leaving * kPerHour;
}

double step_limit_h(const Laid& laid, const State& state, const Flow& now) {
  const double leaving = lasting_m_h(laid, state, now);
  if (!(leaving > 0)) return kNever;
  // A bite of what is left, more freely where little is left among much solid; where solids hold the solvent, its
  // diffusion changes steeply with their share. Of the time to touch, against steps 25 times finer over the catalogue:
  // 0.4 % in solvent films, 2 % at worst in waterborne ones.
  const double v = now.volatile_m, s = laid.solids_m;
  const double bite = laid.recipe->particles || !(s > 0) ? std::min(0.12 * v + 0.01 * s, 0.4 * v)
                                                         : std::min({0.2 * v + 0.02 * s, 0.4 * v, 0.1 * (v + s)});
  return bite / leaving;
}

State step(const Laid& laid, const climate::Air& mid, const State& from, double dt_h, const Flow& now,
           double& half_rate) {
  const int count = laid.recipe->count;
  State half;
  half.film_c = from.film_c;
  half.lighter = from.lighter;
  const double dt_s = dt_h * kPerHour;
  for (int i = 0; i < count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    half.kg_m2[k] = halfway(from, k, now, 0.5 * dt_s);
  }
  // Temperature and density are found one step late; carry them forward along their course.
  half.lighter += from.lighter_per_h * 0.5 * dt_h;
  const Flow there = flow(laid, mid, half, 1);
  half_rate = there.rate;
  State to;
  for (int i = 0; i < count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    to.kg_m2[k] = stepped(from, half, k, now, there, dt_s, false, to.drift_kg_m2_s[k]);
  }
  to.t_h = from.t_h + dt_h;
  to.film_c = 2 * half.film_c - from.film_c;
  to.lighter = 2 * half.lighter - from.lighter;
  to.lighter_per_h = (half.lighter - from.lighter) / (0.5 * dt_h);
  to.progress = from.progress + dt_h * there.rate;
  return to;
}

State step_closed(const Laid& laid, const climate::Air& mid, const State& from, double dt_h, const Flow& now,
                  double tolerance_k, double& half_rate, Tally& tally) {
  const int count = laid.recipe->count;
  State half = from;
  const double dt_s = dt_h * kPerHour;
  for (int i = 0; i < count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    half.kg_m2[k] = halfway(from, k, now, 0.5 * dt_s);
  }
  half.lighter += from.lighter_per_h * 0.5 * dt_h;
  const double lighter = half.lighter;
  State to = half;
  Root temperature(half.film_c);
  double heat_w_m2 = 0, found_lighter = 0;
  for (int pass = 0; pass < 60; ++pass) {
    half.film_c = temperature.guess();
    half.lighter = lighter;
    const Flow there = flow(laid, mid, half, 0);
    found_lighter = half.lighter;
    half_rate = there.rate;
    double latent = 0;
    for (int i = 0; i < count; ++i) {
      const std::size_t k = static_cast<std::size_t>(i);
      to.kg_m2[k] = stepped(from, half, k, now, there, dt_s, true, to.drift_kg_m2_s[k]);
      latent += (from.kg_m2[k] - to.kg_m2[k]) / dt_s * laid.recipe->parts[k].latent_j_kg;
    }
    heat_w_m2 = there.heat_transfer_w_m2k * (mid.temp_c - half.film_c);
    if (temperature.close((heat_w_m2 - latent) / there.heat_transfer_w_m2k, tolerance_k)) break;
  }
  for (int i = 0; i < count; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    tally.gone_kg_m2[k] += from.kg_m2[k] - to.kg_m2[k];
  }
  tally.heat_j_m2 += heat_w_m2 * dt_s;
  to.t_h = from.t_h + dt_h;
  to.film_c = half.film_c;
  to.lighter = 2 * found_lighter - from.lighter;
  to.lighter_per_h = (found_lighter - from.lighter) / (0.5 * dt_h);
  to.progress = from.progress + dt_h * half_rate;
  return to;
}

}  // namespace tackcloth::film
