#include "film/march.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::film {
namespace {

constexpr double kDry = 1e-3;      // of the volatile parts: below this the film counts as dry
constexpr double kFirst_h = 0.01;  // first step at most
constexpr double kPacked = 0.74;   // see evaporate.cpp

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
  while (state.t_h < horizon) {
    const double volume = volatile_volume_m(laid, state);
    if (volume <= kDry * laid.volatile_m) break;
    const climate::Air air = track.at(state.t_h / pace);
    const Flow now = flow(laid, air, state, first ? 4 : 1);
    first = false;
    double dt = std::min({step_limit_h(laid, state, now), std::max(0.5 * state.t_h, kFirst_h), horizon - state.t_h});
    if (!track.constant()) dt = std::min(dt, pace);
    double half_rate = 0;
    State next = step(laid, track.at((state.t_h + 0.5 * dt) / pace), state, dt, now, half_rate);
    if (product.min_film_temp_c) {
      const double closed = solid_share(laid, volatile_volume_m(laid, next));
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

DryRates::DryRates(const Laid& laid, const AirTrack& track) : laid_(laid), track_(track) {}

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

double DryRates::at_node(std::size_t node) {
  const std::size_t last = track_.states().size() - 1;
  node = std::min(node, last);
  while (nodes_.size() <= node) nodes_.push_back(-1);
  double& rate = nodes_[node];
  if (rate < 0) rate = of(track_.states()[node]);
  return rate;
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
  if (out.cold_when_closing || next_threshold() == kNever || out.wet_share > kDry) return out;

  // Dry: only the clock runs. Rates are linear between the hours of the series.
  double progress = state.progress, t = state.t_h / pace;
  if (!track.constant()) {
    const double last = static_cast<double>(track.states().size() - 1) - track.offset_h();
    while (t < last && t < kHorizon_h && next_threshold() < kNever) {
      const double x = t + track.offset_h();
      const double node = std::floor(x);
      double to_t = std::min(node + 1 - track.offset_h(), last);
      if (to_t <= t) to_t = std::nextafter(t, kNever);
      double at_start, at_end;
      if (x < 0) {
        to_t = std::min(-track.offset_h(), kHorizon_h);
        at_start = at_end = dry.at_node(0);
      } else {
        const std::size_t i = static_cast<std::size_t>(node);
        const double a = dry.at_node(i), b = dry.at_node(i + 1);
        at_start = a + (x - node) * (b - a);
        at_end = b;
      }
      const double dt = to_t - t, half = 0.5 * (at_start + at_end);
      const double gain = pace * dt * half;
      while (next_threshold() <= progress + gain) {
        meet(t + dt * crossing(progress, pace * dt, at_start, half, next_threshold()));
      }
      progress += gain;
      t = to_t;
    }
  }
  const double rate = pace * dry.at_node(track.states().size() - 1);
  while (next_threshold() < kNever && rate > 0) {
    const double hours = t + (next_threshold() - progress) / rate;
    if (hours > kHorizon_h) break;
    meet(hours);
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
