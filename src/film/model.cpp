#include <algorithm>
#include <cmath>
#include <cstdio>
#include <thread>

#include "film/calibrate.h"
#include "film/model_impl.h"
#include "units/normal.h"

namespace tackcloth::film {
namespace {

// When a coat no longer holds back what lies on it: where only solvent leaves, when all of it has gone; a film that
// cures does so by itself once it bears handling (our judgement, no source).
Need ripe_for(const Recipe& recipe) { return recipe.clock == Clock::evaporation ? Need::use : Need::handle; }

}  // namespace

// Without calibration the product's own spread; what the bench has taught replaces the
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
  if (!recipe.fault.empty()) return;
  const double ripe = recipe.threshold[static_cast<std::size_t>(ripe_for(recipe))];
  const double followed = recipe.threshold[static_cast<std::size_t>(Need::recoat_same)];
  if (ripe > 0 && ripe < kNever) recipe.label_unripe_share = std::clamp(1 - followed / ripe, 0.0, 1.0);
  if (recipe.clock != Clock::potential && laid.volatile_m > 0) {
    const climate::ClimateSeries series = climate::ClimateSeries::constant(air);
    const AirTrack track(series, Instant{});
    DryRates dry(laid, track);
    recipe.label_retained_share = stand_at(laid, track, 1, label.recoat_h, dry).volatile_kg_m2 / laid.load_kg_m2;
  }
}

namespace {

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

const Recipe& Model::Impl::recipe(const catalog::Product& product, Recipe& local) const {
  const auto found = recipes.find(&product);
  if (found != recipes.end()) return found->second;
  local = make_recipe(product, *catalog);
  if (local.fault.empty()) anchor(local);
  return local;
}

Model::Model(const catalog::Catalog& catalog) : impl_(std::make_unique<Impl>()) {
  impl_->catalog = &catalog;
  for (const catalog::Product& product : catalog.products) {
    Recipe made = make_recipe(product, catalog);
    if (made.fault.empty()) anchor(made);
    impl_->recipes.emplace(&product, std::move(made));
  }
}
Model::~Model() = default;
Model::Model(Model&&) noexcept = default;
Model& Model::operator=(Model&&) noexcept = default;

std::string unusable(const Coat& coat, const climate::ClimateSeries& air) {
  if (!coat.product) return "No product was named.";
  if (!(coat.wet_um > 0) || !(coat.wet_um < 1e5)) return "The wet film must be more than 0 and under 100000 µm.";
  const Beneath& b = coat.beneath;
  if (!(b.retained_g_m2 >= 0) || !(b.raw_um >= 0) || !(b.unripe_um >= 0))
    return "What lies beneath the coat must be told as numbers not under 0.";
  if (air.is_constant()) {
    const climate::Air& a = air.states().front();
    if (!std::isfinite(a.temp_c) || !std::isfinite(a.rh) || !std::isfinite(a.speed_m_s) || !(a.pressure_pa > 1e4))
      return "The air is not known: temperature, humidity, speed and pressure must be numbers.";
  }
  return {};
}

namespace {

Readiness refused(std::string why) {
  Readiness out;
  out.by_need.fill({kNever, kNever, kNever});
  out.recoat_closes_h = 0;
  out.why = std::move(why);
  return out;
}

// A coat made ready once for any number of starts.
struct Ready {
  const Recipe& recipe;
  Laid laid;
  std::array<double, kMarks> thresholds;
  double middle, quick;  // pace of the expected coat; of a quick one against it

  Ready(const Recipe& made, const Coat& coat, const Calibration& calibration)
      : recipe(made), laid(lay(made, coat)), thresholds(made.threshold) {
    // Oil over water or the reverse: the three days are custom, and a thin coat is not trusted to shorten them.
    if (recipe.clock == Clock::coalescence || recipe.clock == Clock::oxidation)
      thresholds[static_cast<std::size_t>(Need::recoat_other)] *= std::max(1.0, laid.thickness_rate);
    for (Need need : {Need::recoat_other, Need::tape, Need::handle, Need::stack, Need::use})
      thresholds[static_cast<std::size_t>(need)] *= laid.hard_slower;
    const Spread spread = spread_of(*coat.product, calibration);
    quick = std::exp(kNormal90 * spread.sigma_log);
    middle = std::exp(-spread.mean_log);
  }

  Readiness from(const AirTrack& track, DryRates& dry) const;
};

Readiness Ready::from(const AirTrack& track, DryRates& dry) const {
  Readiness out;
  std::array<Passed, 3> passed;
  if (track.constant()) {
    // In the same air for ever a coat that lives faster is the same coat on a shorter scale.
    const Passed once = march(laid, track, 1, thresholds, dry);
    passed.fill(once);
    for (std::size_t k = 0; k < kMarks; ++k) {
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
  for (std::size_t k = 0; k < kNeeds; ++k) {
    Band& band = out.by_need[k];
    band.p50 = passed[1].hours[k];
    band.p10 = std::min(passed[0].hours[k], band.p50);
    band.p90 = std::max(passed[2].hours[k], band.p50);
    never = never || band.p90 == kNever;
  }
  out.recoat_closes_h = passed[0].hours[kNeeds];
  if (never) out.why = reason(recipe, track, passed[2]);
  return out;
}

}  // namespace

Readiness Model::readiness(const Coat& coat, const climate::ClimateSeries& air, Instant start,
                           const Calibration& calibration) const {
  if (std::string why = unusable(coat, air); !why.empty()) return refused(std::move(why));
  Recipe local;
  const Recipe& recipe = impl_->recipe(*coat.product, local);
  if (!recipe.fault.empty()) return refused(recipe.fault);
  const Ready ready(recipe, coat, calibration);
  const AirTrack track(air, start);
  DryRates dry(ready.laid, track);
  return ready.from(track, dry);
}

std::vector<Readiness> Model::readiness_each_hour(const Coat& coat, const climate::ClimateSeries& air, Instant first,
                                                  int count, const Calibration& calibration, int threads) const {
  const std::size_t n = static_cast<std::size_t>(std::max(count, 0));
  if (std::string why = unusable(coat, air); !why.empty()) return std::vector<Readiness>(n, refused(std::move(why)));
  Recipe local;
  const Recipe& recipe = impl_->recipe(*coat.product, local);
  if (!recipe.fault.empty()) return std::vector<Readiness>(n, refused(recipe.fault));
  const Ready ready(recipe, coat, calibration);
  if (air.is_constant()) {
    const AirTrack track(air, first);
    DryRates dry(ready.laid, track);
    return std::vector<Readiness>(n, ready.from(track, dry));
  }
  // The dry film's clock is the same for every start: each stretch of starts runs it once.
  std::vector<Readiness> out(n);
  const auto stretch = [&](std::size_t from, std::size_t to) {
    AirTrack track(air, first + std::chrono::hours(from));
    DryRates dry(ready.laid, track);
    for (std::size_t hour = from; hour < to; ++hour) {
      out[hour] = ready.from(track, dry);
      track.move_h(1);
      dry.move_h(1);
    }
  };
  const std::size_t parts = std::min(n, static_cast<std::size_t>(std::clamp(threads, 1, 64)));
  std::vector<std::jthread> others;
  for (std::size_t p = 1; p < parts; ++p) others.emplace_back(stretch, n * p / parts, n * (p + 1) / parts);
  if (parts > 0) stretch(0, n / parts);
  others.clear();  // joins
  return out;
}

Beneath Model::beneath(const Coat& coat, const climate::ClimateSeries& air, Instant start, double hours,
                       const Calibration& calibration) const {
  Beneath out;
  if (!unusable(coat, air).empty() || !(hours >= 0)) return out;
  Recipe local;
  const Recipe& recipe = impl_->recipe(*coat.product, local);
  if (!recipe.fault.empty() || recipe.clock == Clock::potential) return out;
  const Laid laid = lay(recipe, coat);
  const AirTrack track(air, start);
  DryRates dry(laid, track);
  const double pace = std::exp(-spread_of(*coat.product, calibration).mean_log);
  const Stand stand = stand_at(laid, track, pace, hours, dry);
  // What was beneath ripens with the coat on top; of its volatile parts those a label contains keep to the same share.
  const double load = laid.load_kg_m2 + laid.under_kg_m2;
  const double left = load > 0 ? stand.volatile_kg_m2 / load : 0;
  const double below = std::max(0.0, coat.beneath.retained_g_m2 - 1000 * laid.under_kg_m2);
  out.retained_g_m2 = stand.volatile_kg_m2 * 1000 + below * left;
  const double dry_um = laid.surface_solids_m * 1e6;
  const auto still = [&](Need need) {
    const double whole = recipe.threshold[static_cast<std::size_t>(need)];
    return whole > 0 && whole < kNever ? std::clamp(1 - stand.progress / whole, 0.0, 1.0) : 0.0;
  };
  out.raw_um = (dry_um + coat.beneath.raw_um) * still(Need::recoat_same);
  out.unripe_um = (dry_um + coat.beneath.unripe_um) * still(ripe_for(recipe));
  return out;
}

}  // namespace tackcloth::film
