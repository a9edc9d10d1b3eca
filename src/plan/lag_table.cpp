#include "plan/lag_table.h"

#include <algorithm>
#include <cmath>

#include "climate/wood.h"
#include "units/quantity.h"

namespace tackcloth::plan {

using calendar::Tick;
using calendar::TimeFunction;

namespace {

constexpr Tick kYear = 365 * 24 * 60;

// Piecewise constant on [sample i, sample i+1) with the longer of the two ends.
template <class Value>
TimeFunction between(const std::vector<Tick>& at, Value value, bool longer) {
  TimeFunction f;
  f.value.clear();
  for (std::size_t i = 0; i < at.size(); ++i) {
    const Tick here = value(i);
    const Tick next = i + 1 < at.size() ? value(i + 1) : here;
    const Tick v = longer ? std::max(here, next) : std::min(here, next);
    if (!f.value.empty() && f.value.back() == v) continue;
    f.at.push_back(at[i]);
    f.value.push_back(v);
  }
  if (f.value.size() == 1) f.at.clear();
  return f;
}

}  // namespace

Tick lag_ticks(double hours) {
  if (!(hours < double(kYear) / 60)) return kYear;
  return static_cast<Tick>(std::ceil(hours * 60 - 1e-6));
}

std::string unfit_for(const catalog::Product& product, const climate::Air& air) {
  const auto temperature = [](double c) { return units::format_temperature(c, units::System::metric); };
  if (air.temp_c < product.min_temp_c)
    return "the air is at " + temperature(air.temp_c) + ", " + product.name + " wants at least " +
           temperature(product.min_temp_c);
  if (air.temp_c > product.max_temp_c)
    return "the air is at " + temperature(air.temp_c) + ", " + product.name + " wants at most " +
           temperature(product.max_temp_c);
  if (air.rh > product.max_rh)
    return "the air is at " + std::to_string(static_cast<int>(std::lround(air.rh * 100))) + " % humidity, " +
           product.name + " wants at most " + std::to_string(static_cast<int>(std::lround(product.max_rh * 100))) +
           " %";
  if (!climate::surface_above_dew_point(air, air.temp_c)) return "the surface would be within 3 °C of the dew point";
  return {};
}

const LagTable::Sample& LagTable::sample_at(Tick tick) const {
  const auto next =
      std::upper_bound(samples_.begin(), samples_.end(), tick, [](Tick t, const Sample& s) { return t < s.at; });
  return next == samples_.begin() ? samples_.front() : *(next - 1);
}

film::Coat LagTable::coat_at(Tick tick) const {
  film::Coat coat = coat_;
  coat.beneath = sample_at(tick).beneath;
  return coat;
}

LagTable::LagTable(const World& world, const climate::ClimateSeries& air, const finish::Step& step, film::Lie lie,
                   const LagTable* under)
    : need_(step.needs_before_next) {
  const catalog::Product& product = *world.catalog->product(step.product);
  coat_ = {&product, step.wet_um, step.ground, lie, {}};
  std::vector<Tick> at = world.samples;
  if (air.is_constant() || at.empty()) at = {0};
  for (Tick tick : at) {
    const Instant when = world.start + Minutes(tick);
    Sample sample{tick, {}, true, {}};
    std::string reason = unfit_for(product, air.at(when));
    if (reason.empty()) {
      film::Coat coat = coat_;
      if (under) {
        const double waited_h = under->sample_at(tick).ready[under->need_].p90;
        if (waited_h > 0 && waited_h < double(kYear) / 60) {
          const Tick laid = tick - lag_ticks(waited_h);
          sample.beneath =
              world.film->beneath(under->coat_at(laid), air, world.start + Minutes(laid), waited_h, *world.calibration);
        }
      }
      coat.beneath = sample.beneath;
      sample.ready = world.film->readiness(coat, air, when, *world.calibration);
      for (int n = 0; n < film::kNeeds; ++n) {
        // Many coats in a few days may take longer than the horizon to be fully hard; the first coat's own table has
        // said whether this air cures at all.
        if (under && static_cast<film::Need>(n) == film::Need::use) continue;
        const film::Band& band = sample.ready.by_need[static_cast<std::size_t>(n)];
        if (!(band.p90 < double(kYear) / 60)) reason = sample.ready.why.empty() ? "it would not dry" : sample.ready.why;
      }
    }
    if (!reason.empty()) {
      sample.fit = false;
      always_fit_ = false;
      if (unfit_reason_.empty()) unfit_reason_ = reason;
    }
    samples_.push_back(std::move(sample));
  }
  if (always_fit_) return;
  // Fit between two samples when both are.
  for (std::size_t i = 0; i + 1 < samples_.size(); ++i) {
    if (!samples_[i].fit || !samples_[i + 1].fit) continue;
    if (!fit_.empty() && fit_.back().to == samples_[i].at)
      fit_.back().to = samples_[i + 1].at;
    else
      fit_.push_back({samples_[i].at, samples_[i + 1].at});
  }
}

TimeFunction LagTable::lag(film::Need need) const {
  std::vector<Tick> at;
  for (const Sample& sample : samples_)
    if (sample.fit) at.push_back(sample.at);
  if (at.empty()) return {{}, {kYear}};
  std::vector<const Sample*> fit;
  for (const Sample& sample : samples_)
    if (sample.fit) fit.push_back(&sample);
  return between(
      at, [&](std::size_t i) { return lag_ticks(fit[i]->ready[need].p90); }, true);
}

TimeFunction LagTable::closes() const {
  std::vector<Tick> at;
  std::vector<const Sample*> fit;
  for (const Sample& sample : samples_)
    if (sample.fit) {
      at.push_back(sample.at);
      fit.push_back(&sample);
    }
  if (at.empty()) return {{}, {kYear}};
  return between(
      at,
      [&](std::size_t i) {
        const double hours = fit[i]->ready.recoat_closes_h;
        return hours < double(kYear) / 60 ? static_cast<Tick>(std::floor(hours * 60)) : kYear;
      },
      false);
}

TimeFunction drying_back(const LagTable::World& world, const climate::ClimateSeries& air, double water_g_m2) {
  std::vector<Tick> at = world.samples;
  if (air.is_constant() || at.empty()) at = {0};
  // The worst of the next hours counts: the wood dries through the night, not at the hour it was washed.
  const auto lag_at = [&](std::size_t i) {
    const Instant when = world.start + Minutes(at[i]);
    double worst = climate::surface_drying_h(air.at(when), water_g_m2);
    for (double ahead = 2; ahead <= 8 && !air.is_constant(); ahead += 2)
      worst = std::max(worst, climate::surface_drying_h(air.at(when, ahead), water_g_m2));
    return lag_ticks(worst);
  };
  return between(at, lag_at, true);
}

}  // namespace tackcloth::plan
