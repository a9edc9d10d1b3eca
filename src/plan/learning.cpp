#include "plan/learning.h"

#include <cmath>

namespace tackcloth::plan {
namespace {

// The air of the room between two moments, averaged by the hour.
climate::Air mean_air(const climate::ClimateSeries& room, Instant from, double hours) {
  const int steps = std::max(1, static_cast<int>(std::ceil(hours)));
  climate::Air mean{0, 0, 0, 0};
  for (int i = 0; i < steps; ++i) {
    const climate::Air air = room.at(from, (i + 0.5) * hours / steps);
    mean.temp_c += air.temp_c / steps;
    mean.rh += air.rh / steps;
    mean.pressure_pa += air.pressure_pa / steps;
    mean.speed_m_s += air.speed_m_s / steps;
  }
  return mean;
}

const char* word_of(film::Ground ground) {
  switch (ground) {
    case film::Ground::bare_wood:
      return "bare";
    case film::Ground::metal:
      return "metal";
    case film::Ground::sealed:
      break;
  }
  return "sealed";
}

film::Ground ground_of(const std::string& word) {
  if (word == "bare") return film::Ground::bare_wood;
  return word == "metal" ? film::Ground::metal : film::Ground::sealed;
}

}  // namespace

std::vector<film::BenchEntry> bench_entries(const DateInput& input, const Dated& dated) {
  std::vector<film::BenchEntry> entries;
  for (std::size_t t = 0; t < input.tasks->size(); ++t) {
    const Task& task = (*input.tasks)[t];
    const Seen& seen = input.seen[t];
    const catalog::Product* product = input.world->catalog->product(task.step.product);
    if (!seen.done || !product || !task.step.is_film) continue;
    for (const Seen::Look& look : seen.looks) {
      if (look.at <= *seen.done) continue;
      film::BenchEntry entry;
      entry.coat = {product, task.step.wet_um, task.step.ground, task.lie};
      entry.applied = input.start + Minutes(*seen.done);
      entry.air = input.rooms->at(dated.tasks[t].room);
      entry.hours = double(look.at - *seen.done) / 60;
      entry.seen = look.what;
      entry.name = task.id;
      entries.push_back(std::move(entry));
    }
  }
  return entries;
}

Taught taught_by(const film::Learned& learned, const std::vector<film::BenchEntry>& entries,
                 const catalog::Catalog& catalog) {
  Taught taught;
  taught.shop_prior_mean = learned.shop_prior.mean_log;
  taught.shop_prior_sigma = learned.shop_prior.sigma_log;
  taught.shop_posterior_mean = learned.shop_posterior.mean_log;
  taught.shop_posterior_sigma = learned.shop_posterior.sigma_log;
  taught.messages = learned.messages;
  for (const auto& [id, posterior] : learned.product_posterior) {
    const film::Factor& prior = learned.product_prior.at(id);
    const film::Learned::Moved& moved = learned.promise.at(id);
    const catalog::Product* product = catalog.product(id);
    taught.products.push_back({id, product ? product->name : id, learned.used.at(id), prior.mean_log, prior.sigma_log,
                               posterior.mean_log, posterior.sigma_log, moved.p50_before_h, moved.p50_after_h,
                               moved.p90_before_h, moved.p90_after_h});
  }
  for (const film::BenchEntry& entry : entries) {
    const climate::Air air = mean_air(entry.air, entry.applied, entry.hours);
    taught.looks.push_back({entry.name, entry.coat.product->id, entry.applied, entry.coat.wet_um, air.temp_c, air.rh,
                            air.speed_m_s, entry.hours, film::to_text(entry.seen), word_of(entry.coat.ground),
                            entry.coat.lie == film::Lie::horizontal ? "flat" : "upright"});
  }
  return taught;
}

std::optional<film::BenchEntry> entry_of(const BenchLook& look, const catalog::Catalog& catalog) {
  film::BenchEntry entry;
  entry.coat = {catalog.product(look.product), look.wet_um, ground_of(look.ground),
                look.lie == "flat" ? film::Lie::horizontal : film::Lie::vertical};
  const auto seen = film::seen_of(look.seen);
  if (!entry.coat.product || !seen) return std::nullopt;
  entry.applied = look.applied;
  entry.air = climate::ClimateSeries::constant({look.temp_c, look.rh, 101325.0, look.air_m_s});
  entry.hours = look.hours;
  entry.seen = *seen;
  entry.name = look.step + " " + to_iso(look.applied);
  return entry;
}

}  // namespace tackcloth::plan
