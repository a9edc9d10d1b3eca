#include "film/march.h"

#include <algorithm>
#include <cmath>

#include "film/evaporate.h"

namespace tackcloth::film {
namespace {

// Of the volatile parts: below this the film counts as dry, and what the rest still costs the clock is told in closed
// form. The last of a latex's co-solvents leaves evenly enough for a little more of it.
double dry_share(const Laid& laid) { return laid.recipe->particles ? 4e-3 : 1e-3; }
constexpr double kFirst_h = 0.05;  // first step at most; each later one at most doubles the time

// Share of a step at which progress reaches `want`; progress is quadratic within a step.
double crossing(double have, double dt_h, double rate, double half_rate, double want) {
  const double a = dt_h * (half_rate - rate), b = dt_h * rate, c = have - want;  // a x^2 + b x + c = 0
  if (want <= have) return 0;
  const double root = std::sqrt(std::max(0.0, b * b - 4 * a * c));
  const double low = b + root;
  return low > 0 ? std::clamp(-2 * c / low, 0.0, 1.0) : 1;
}

// The wet stage, told step by step. `visit(from, to, dt, rate, half_rate)` returns false to stop.
// Returns the state at the end: dry, stopped, or at the horizon.
template <class Visit>
State wet_stage(const Laid& laid, const AirTrack& track, double pace, bool& cold_when_closing, Visit visit) {
  State state = fresh(laid, track.at(0));
  const catalog::Product& product = *laid.recipe->product;
  const double horizon = kHorizon_h * pace;
  double solid = solid_share(laid, laid.volatile_m);
  bool first = true;
  double leaving_m_h = 0;  // mean over the last step
  while (state.t_h < horizon) {
    const climate::Air air = track.at(state.t_h / pace);
    const Flow now = flow(laid, air, state, first ? 4 : 1);
    const double volume = now.volatile_m;
    if (volume <= dry_share(laid) * laid.volatile_m) {
      state.progress -= last_delay(laid, now.rate, volume, leaving_m_h);
      break;
    }
    first = false;
    double dt = std::min({step_limit_h(laid, state, now), std::max(state.t_h, kFirst_h), horizon - state.t_h});
    // The air is known by the hour; late in a long wet stage a few of them are taken together.
    if (!track.constant()) dt = std::min(dt, std::max(pace, 0.15 * state.t_h));
    double half_rate = 0;
    State next = step(laid, track.at((state.t_h + 0.5 * dt) / pace), state, dt, now, half_rate);
    const double then = volatile_volume_m(laid, next);
    leaving_m_h = (volume - then) / dt;
    if (product.min_film_temp_c) {
      const double closed = solid_share(laid, then);
      if (solid < kPacked && closed >= kPacked && air.temp_c < *product.min_film_temp_c) cold_when_closing = true;
      solid = closed;
    }
    if (!visit(state, next, dt, now.rate, half_rate)) return next;
    state = next;
    if (cold_when_closing) break;
  }
  return state;
}

}  // namespace

AirTrack::AirTrack(const climate::ClimateSeries& series, Instant start) : states_(&series.states()) {
  if (!series.is_constant())
    offset_h_ = std::chrono::duration<double, std::ratio<3600>>(start - series.first()).count();
}

climate::Air AirTrack::at(double hours) const {
  const std::vector<climate::Air>& s = *states_;
  if (s.size() == 1) return s.front();
  const double x = hours + offset_h_;
  if (!(x > 0)) return s.front();
  if (x >= static_cast<double>(s.size() - 1)) return s.back();
  const std::size_t i = static_cast<std::size_t>(x);
  const double w = x - static_cast<double>(i);
  const climate::Air &a = s[i], &b = s[i + 1];
  climate::Air air;
  air.temp_c = a.temp_c + w * (b.temp_c - a.temp_c);
  air.rh = a.rh + w * (b.rh - a.rh);
  air.pressure_pa = a.pressure_pa + w * (b.pressure_pa - a.pressure_pa);
  air.speed_m_s = a.speed_m_s + w * (b.speed_m_s - a.speed_m_s);
  return air;
}

DryRates::DryRates(const Laid& laid, const AirTrack& track) : laid_(laid), track_(track) {
  base_ = static_cast<long>(std::floor(track.offset_h()));
  shift_ = track.offset_h() - static_cast<double>(base_);
}

double DryRates::of(const climate::Air& air) const {
  const Recipe& recipe = *laid_.recipe;
  if (recipe.clock != Clock::potential) return laid_.thickness_rate * climate_factor(recipe, air.temp_c, air.rh);
  // Nothing sets: loads of the slowest volatile part that this air carries off in an hour. Traces do not count.
  double slowest = kNever;
  for (int i = 0; i < recipe.count; ++i) {
    const Part& part = recipe.parts[static_cast<std::size_t>(i)];
    if (part.mass_fraction < 0.05 && recipe.count > 1) continue;
    slowest = std::min(slowest, free_evaporation(part, air, laid_.lie).kg_m2_s);
  }
  if (slowest == kNever || !(laid_.load_kg_m2 > 0)) return 1;
  const double open = std::max(slowest, 0.0);
  return open * 3600 / laid_.load_kg_m2;
}

double DryRates::constant_rate() { return of(track_.states().back()); }

void DryRates::extend(std::size_t node) {
  const std::vector<climate::Air>& states = track_.states();
  const long last = static_cast<long>(states.size()) - 1;
  while (rate_.size() <= node) {
    const long at = base_ + static_cast<long>(rate_.size());
    const bool repeats = !rate_.empty() && (at <= 0 || at > last);  // outside the series the nearest state is kept
    const double rate = repeats ? rate_.back() : of(states[static_cast<std::size_t>(std::clamp(at, 0L, last))]);
    sum_.push_back(sum_.empty() ? 0.0 : sum_.back() + 0.5 * (rate_.back() + rate));
    rate_.push_back(rate);
  }
}

double DryRates::integral(double hours) {
  const double x = hours + shift_;
  const std::size_t i = skip_ + static_cast<std::size_t>(x);
  extend(i + 1);
  const double w = x - std::floor(x);
  return sum_[i] + w * (rate_[i] + 0.5 * w * (rate_[i + 1] - rate_[i]));
}

double DryRates::when(double integral, double from) {
  const std::size_t start = skip_ + static_cast<std::size_t>(from + shift_);
  const std::size_t end = skip_ + static_cast<std::size_t>(kHorizon_h);
  extend(start + 1);
  while (rate_.size() <= end + 1 && sum_.back() < integral) extend(std::min(rate_.size() + 63, end + 1));
  // The first node at which the sum is reached.
  const auto first = sum_.begin() + static_cast<std::ptrdiff_t>(start + 1);
  const auto last = sum_.begin() + static_cast<std::ptrdiff_t>(std::min(sum_.size(), end + 1));
  const auto found = first < last ? std::lower_bound(first, last, integral) : last;
  if (found == last) return kNever;
  const std::size_t i = static_cast<std::size_t>(found - sum_.begin()) - 1;
  const double x = crossing(sum_[i], 1.0, rate_[i], 0.5 * (rate_[i] + rate_[i + 1]), integral);
  return std::max(from, static_cast<double>(i - skip_) + x - shift_);
}

Passed march(const Laid& laid, const AirTrack& track, double pace, const std::array<double, kMarks>& thresholds,
             DryRates& dry) {
  Passed out;
  out.hours.fill(kNever);
  // Thresholds in the order they are met.
  std::array<int, kMarks> order{};
  for (int i = 0; i < kMarks; ++i) order[static_cast<std::size_t>(i)] = i;
  std::sort(order.begin(), order.end(), [&](int a, int b) {
    return thresholds[static_cast<std::size_t>(a)] < thresholds[static_cast<std::size_t>(b)];
  });
  int met = 0;
  auto next_threshold = [&] {
    return met < kMarks ? thresholds[static_cast<std::size_t>(order[static_cast<std::size_t>(met)])] : kNever;
  };
  auto meet = [&](double hours) {
    out.hours[static_cast<std::size_t>(order[static_cast<std::size_t>(met++)])] = hours;
  };
  while (next_threshold() <= 0) meet(0);

  State state;
  if (laid.recipe->clock != Clock::potential && laid.recipe->count > 0 && laid.volatile_m > 0) {
    state = wet_stage(laid, track, pace, out.cold_when_closing,
                      [&](const State& from, const State& to, double dt, double rate, double half_rate) {
                        while (next_threshold() <= to.progress && !out.cold_when_closing) {
                          const double x = crossing(from.progress, dt, rate, half_rate, next_threshold());
                          meet((from.t_h + x * dt) / pace);
                        }
                        return next_threshold() < kNever;
                      });
    out.wet_share = volatile_volume_m(laid, state) / laid.volatile_m;
  }
  if (out.cold_when_closing || next_threshold() == kNever || out.wet_share > dry_share(laid)) return out;

  // Dry: only the clock runs.
  const double dry_h = state.t_h / pace;
  if (track.constant()) {
    const double rate = pace * dry.constant_rate();
    while (next_threshold() < kNever && rate > 0) {
      const double hours = dry_h + (next_threshold() - state.progress) / rate;
      if (hours > kHorizon_h) break;
      meet(std::max(hours, dry_h));
    }
    return out;
  }
  const double before = dry.integral(dry_h);
  double from = dry_h;
  while (next_threshold() < kNever) {
    const double hours = dry.when(before + (next_threshold() - state.progress) / pace, from);
    if (hours > kHorizon_h) break;
    meet(hours);
    from = hours;
  }
  return out;
}

Stand stand_at(const Laid& laid, const AirTrack& track, double pace, double hours, DryRates& dry) {
  Stand out;
  if (laid.recipe->clock == Clock::potential || !(hours >= 0)) return out;
  State state;
  bool found = false, cold = false;
  if (laid.recipe->count > 0 && laid.volatile_m > 0) {
    const double until = hours * pace;
    state = wet_stage(laid, track, pace, cold,
                      [&](const State& from, const State& to, double dt, double rate, double half_rate) {
                        if (to.t_h < until) return true;
                        const double x = (until - from.t_h) / dt;
                        out.progress = from.progress + dt * x * (rate + (half_rate - rate) * x);
                        for (std::size_t k = 0; k < static_cast<std::size_t>(laid.recipe->count); ++k)
                          out.volatile_kg_m2 += from.kg_m2[k] + x * (to.kg_m2[k] - from.kg_m2[k]);
                        found = true;
                        return false;
                      });
  }
  if (found || cold) return out;
  if (track.constant()) {
    out.progress = state.progress + (hours * pace - state.t_h) * dry.constant_rate();
  } else {
    out.progress = state.progress + pace * (dry.integral(hours) - dry.integral(state.t_h / pace));
  }
  return out;
}

std::array<double, kMarks> progress_at(const Laid& laid, const climate::Air& air,
                                       const std::array<double, kMarks>& hours) {
  std::array<double, kMarks> out{};
  const climate::ClimateSeries series = climate::ClimateSeries::constant(air);
  const AirTrack track(series, Instant{});
  DryRates dry(laid, track);
  State state;
  bool cold = false;
  if (laid.recipe->clock != Clock::potential && laid.recipe->count > 0 && laid.volatile_m > 0) {
    state = wet_stage(laid, track, 1, cold,
                      [&](const State& from, const State& to, double dt, double rate, double half_rate) {
                        for (int i = 0; i < kMarks; ++i) {
                          const std::size_t k = static_cast<std::size_t>(i);
                          if (hours[k] < from.t_h || hours[k] > to.t_h) continue;
                          const double x = (hours[k] - from.t_h) / dt;
                          out[k] = from.progress + dt * x * (rate + (half_rate - rate) * x);
                        }
                        return true;
                      });
  }
  const double rate = dry.of(air);
  for (int i = 0; i < kMarks; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    if (hours[k] >= state.t_h && hours[k] < kNever) out[k] = state.progress + (hours[k] - state.t_h) * rate;
    if (hours[k] == kNever) out[k] = kNever;
  }
  return out;
}

}  // namespace tackcloth::film
