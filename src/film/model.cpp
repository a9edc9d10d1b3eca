#include <algorithm>
#include <cmath>
#include <cstdio>
#include <unordered_map>

#include "film/calibrate.h"
#include "film/march.h"

namespace tackcloth::film {
namespace {

constexpr double kTenth = 1.2815515655446004;  // standard normal quantile of 0.9

struct Spread {
  double mean_log = 0, sigma_log = 0;
};

// Mean and spread of the log time. Without calibration the product's own spread; what the bench has taught replaces the
// shares of product and shop.
Spread spread_of(const catalog::Product& product, const Calibration& calibration) {
  const double whole = std::clamp(product.rate_sigma_log, 0.0, 2.0);
  Spread s{calibration.shop.mean_log, whole};
  const auto learned = calibration.product.find(product.id);
  if (learned != calibration.product.end()) {
    s.mean_log += learned->second.mean_log;
    s.sigma_log = std::hypot(std::sqrt(kCoatShare) * whole, learned->second.sigma_log);
  } else if (calibration.shop.sigma_log > 0) {
    s.sigma_log = std::hypot(std::sqrt(1 - kShopShare) * whole, calibration.shop.sigma_log);
  }
  s.mean_log = std::clamp(s.mean_log, -3.0, 3.0);
  s.sigma_log = std::clamp(s.sigma_log, 0.0, 2.0);
  return s;
}

void anchor(Recipe& recipe) {
  const catalog::Label& label = recipe.product->label;
  Coat coat{recipe.product, label.wet_um, Ground::sealed, Lie::vertical};
  const Laid laid = lay(recipe, coat);
  const climate::Air air{label.temp_c, label.rh, 101325.0, label.air_m_s};
  recipe.threshold = progress_at(laid, air, recipe.label_h);
  for (int i = 0; i < kMarks; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    if (recipe.label_h[k] > 0 && !(recipe.threshold[k] > 0)) {
      recipe.fault =
          "the label of '" + recipe.product->id + "' contradicts itself: it cannot dry at its own conditions";
    }
  }
}

std::string sentence(const char* format, double a, double b) {
  char buffer[240];
  std::snprintf(buffer, sizeof buffer, format, a, b);
  return buffer;
}

// Why some need is not met: the first cause that holds.
std::string reason(const Recipe& recipe, const AirTrack& track, const Passed& slow) {
  const catalog::Product& product = *recipe.product;
  double warmest = -300, driest = 2, from = track.offset_h();
  const std::vector<climate::Air>& states = track.states();
  const double count = static_cast<double>(states.size());
  const std::size_t first = static_cast<std::size_t>(std::clamp(from, 0.0, count - 1));
  const std::size_t last = static_cast<std::size_t>(std::clamp(from + 48, 0.0, count - 1));
  for (std::size_t i = first; i <= last; ++i) {
    warmest = std::max(warmest, states[i].temp_c);
    driest = std::min(driest, states[i].rh);
  }
  if (slow.cold_when_closing) {
    return sentence(
        "Too cold: the water leaves while the film is under its minimum film temperature of %.0f °C; it "
        "would powder and crack. Warm the room to %.0f °C or more.",
        product.min_film_temp_c.value_or(0), std::max(product.min_temp_c, product.min_film_temp_c.value_or(0) + 2));
  }
  if (slow.wet_share > 1e-3 && driest > 0.9) {
    return sentence(
        "Too damp: at %.0f %% relative humidity what is in the film does not leave. Dry the air to %.0f %% "
        "or less.",
        driest * 100, product.max_rh * 100);
  }
  if (warmest < product.min_temp_c) {
    return sentence("Too cold: %.0f °C is under the %.0f °C the label asks for; the film does not cure.", warmest,
                    product.min_temp_c);
  }
  if (driest > 0.9) {
    return sentence("Too damp: %.0f %% relative humidity; the label allows %.0f %%.", driest * 100,
                    product.max_rh * 100);
  }
  return sentence("Too slow: not ready within %.0f days in this air (%.0f °C at its warmest in the first two days).",
                  kHorizon_h / 24, warmest);
}

// What leaves per hour, by central differences: its trapezoid sum over `hours` is what went, to rounding.
std::vector<double> leaving(const std::vector<double>& hours, const std::vector<double>& left) {
  std::vector<double> out(hours.size(), 0.0);
  for (std::size_t i = 0; i < hours.size() && hours.size() > 1; ++i) {
    const std::size_t a = i > 0 ? i - 1 : 0, b = std::min(i + 1, hours.size() - 1);
    out[i] = (left[a] - left[b]) / (hours[b] - hours[a]);
  }
  return out;
}

}  // namespace

std::string to_text(Need need) {
  switch (need) {
    case Need::touch:
      return "touch";
    case Need::tape:
      return "tape";
    case Need::scuff:
      return "scuff";
    case Need::recoat_same:
      return "recoat with the same";
    case Need::recoat_other:
      return "recoat with another";
    case Need::handle:
      return "handle";
    case Need::stack:
      return "stack";
    case Need::use:
      return "use";
  }
  return "";
}

struct Model::Impl {
  const catalog::Catalog* catalog = nullptr;
  std::unordered_map<const catalog::Product*, Recipe> recipes;

  // A product that is not the catalogue's own is made ready on the spot.
  Recipe recipe(const catalog::Product& product) const {
    Recipe made = make_recipe(product, *catalog);
    if (made.fault.empty()) anchor(made);
    return made;
  }
};

Model::Model(const catalog::Catalog& catalog) : impl_(std::make_unique<Impl>()) {
  impl_->catalog = &catalog;
  for (const catalog::Product& product : catalog.products) impl_->recipes.emplace(&product, impl_->recipe(product));
}
Model::~Model() = default;
Model::Model(Model&&) noexcept = default;
Model& Model::operator=(Model&&) noexcept = default;

Readiness Model::readiness(const Coat& coat, const climate::ClimateSeries& air, Instant start,
                           const Calibration& calibration) const {
  Readiness out;
  auto refuse = [&out](std::string why) {
    out.by_need.fill({kNever, kNever, kNever});
    out.recoat_closes_h = 0;
    out.why = std::move(why);
    return out;
  };
  if (!coat.product) return refuse("No product was named.");
  if (!(coat.wet_um > 0) || !(coat.wet_um < 1e5))
    return refuse("The wet film must be more than 0 and under 100000 µm.");
  for (const climate::Air& a : air.states()) {
    if (!air.is_constant()) break;
    if (!std::isfinite(a.temp_c) || !std::isfinite(a.rh) || !std::isfinite(a.speed_m_s) || !(a.pressure_pa > 1e4)) {
      return refuse("The air is not known: temperature, humidity, speed and pressure must be numbers.");
    }
  }
  const auto found = impl_->recipes.find(coat.product);
  Recipe local;
  const Recipe* recipe = &local;
  if (found != impl_->recipes.end()) {
    recipe = &found->second;
  } else {
    local = impl_->recipe(*coat.product);
  }
  if (!recipe->fault.empty()) return refuse(recipe->fault);

  const Laid laid = lay(*recipe, coat);
  const AirTrack track(air, start);
  DryRates dry(laid, track);
  // Oil over water or the reverse: the three days are custom, and a thin coat is not trusted to shorten them.
  std::array<double, kMarks> thresholds = recipe->threshold;
  if (recipe->clock == Clock::coalescence || recipe->clock == Clock::oxidation) {
    thresholds[static_cast<std::size_t>(Need::recoat_other)] *= std::max(1.0, laid.thickness_rate);
  }
  const Spread spread = spread_of(*coat.product, calibration);
  const double quick = std::exp(kTenth * spread.sigma_log), middle = std::exp(-spread.mean_log);
  std::array<Passed, 3> passed;
  if (track.constant()) {
    // In the same air for ever a coat that lives faster is the same coat on a shorter scale.
    const Passed once = march(laid, track, 1, thresholds, dry);
    passed.fill(once);
    for (int i = 0; i < kMarks; ++i) {
      const std::size_t k = static_cast<std::size_t>(i);
      passed[0].hours[k] = once.hours[k] / (middle * quick);
      passed[1].hours[k] = once.hours[k] / middle;
      passed[2].hours[k] = once.hours[k] / middle * quick;
    }
  } else {
    passed[0] = march(laid, track, middle * quick, thresholds, dry);
    passed[1] = march(laid, track, middle, thresholds, dry);
    passed[2] = march(laid, track, middle / quick, thresholds, dry);
  }
  bool never = false;
  for (int i = 0; i < kNeeds; ++i) {
    const std::size_t k = static_cast<std::size_t>(i);
    Band& band = out.by_need[k];
    band.p50 = passed[1].hours[k];
    band.p10 = std::min(passed[0].hours[k], band.p50);
    band.p90 = std::max(passed[2].hours[k], band.p50);
    never = never || band.p90 == kNever;
  }
  out.recoat_closes_h = passed[0].hours[kNeeds];
  if (never) out.why = reason(*recipe, track, passed[2]);
  return out;
}

Model::Curve Model::curve(const Coat& coat, const climate::ClimateSeries& air, Instant start, double hours) const {
  Curve out;
  if (!coat.product || !(coat.wet_um > 0) || !(hours > 0)) return out;
  const auto found = impl_->recipes.find(coat.product);
  const Recipe recipe = found != impl_->recipes.end() ? found->second : impl_->recipe(*coat.product);
  const Laid laid = lay(recipe, coat);
  const AirTrack track(air, start);
  DryRates dry(laid, track);
  const std::size_t count = static_cast<std::size_t>(recipe.count);
  for (const catalog::Volatile& v : coat.product->volatiles) {
    if (v.mass_fraction > 0 && out.components.size() < count) out.components.push_back(v.component);
  }
  out.g_m2.resize(count);
  out.g_m2_h.resize(count);
  const double drawn = laid.solids_m > 0 ? laid.surface_solids_m / laid.solids_m : 1.0;
  const double cured = recipe.threshold[static_cast<std::size_t>(Need::use)];
  State state = fresh(laid, track.at(0));
  bool first = true;
  while (true) {
    const climate::Air now_air = track.at(state.t_h);
    Flow now = flow(laid, now_air, state, first ? 4 : 1);
    first = false;
    if (recipe.clock == Clock::potential) now.rate = dry.of(now_air);
    double dt = std::min(std::max(0.25 * state.t_h, 0.01), hours / 60);
    if (volatile_volume_m(laid, state) > 1e-3 * laid.volatile_m) dt = std::min(dt, step_limit_h(laid, state, now));
    for (std::size_t k = 0; k < count; ++k) {  // follow every part out
      const double whole = laid.wet_kg_m2 * recipe.parts[k].mass_fraction;
      if (now.kg_m2_s[k] > 0.01 * whole * now.relax_s[k] && state.kg_m2[k] > 0.01 * whole) {
        dt = std::min(dt, 0.3 * state.kg_m2[k] / (now.kg_m2_s[k] * 3600));
      }
    }
    dt = std::max(dt, hours * 1e-5);
    out.hours.push_back(state.t_h);
    out.thickness_um.push_back((laid.solids_m + volatile_volume_m(laid, state)) * drawn * 1e6);
    out.film_temp_c.push_back(state.film_c);
    out.cure.push_back(cured > 0 && cured < kNever ? std::clamp(state.progress / cured, 0.0, 1.0) : 0.0);
    for (std::size_t k = 0; k < count; ++k) {
      out.g_m2[k].push_back(state.kg_m2[k] * 1000);
    }
    if (state.t_h >= hours) break;
    dt = std::min(dt, hours - state.t_h);
    double half_rate = 0;
    State next = step(laid, track.at(state.t_h + 0.5 * dt), state, dt, now, half_rate);
    if (recipe.clock == Clock::potential) next.progress = state.progress + dt * dry.of(track.at(state.t_h + 0.5 * dt));
    if (hours - next.t_h < 1e-9 * hours) next.t_h = hours;
    state = next;
  }
  for (std::size_t k = 0; k < count; ++k) out.g_m2_h[k] = leaving(out.hours, out.g_m2[k]);
  return out;
}

}  // namespace tackcloth::film
