#include "film/calibrate.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace tackcloth::film {
namespace {

constexpr int kGrid = 121;      // points on each factor
constexpr double kReach = 1.5;  // log factor from -1.5 to 1.5: a fifth to four and a half times the label
constexpr double kSlip = 0.05;  // share of entries that are mistaken (wrong can, wrong hour); our judgement
constexpr double kStep = 2 * kReach / (kGrid - 1);
constexpr double kFinest = 0.02;  // no shop is known better than 2 %

using Grid = std::array<double, kGrid>;

double node(int i) { return -kReach + kStep * i; }

// Distribution function of Student's t with four degrees of freedom (Abramowitz & Stegun, 26.7.4 for nu = 4).
double student4(double t) {
  const double sine = t / std::sqrt(4 + t * t), cosine2 = 4 / (4 + t * t);
  return 0.5 + 0.5 * sine * (1 + 0.5 * cosine2);
}

// One entry as bounds on the log factor.
struct Bound {
  double low = -kNever, high = kNever;  // factor lies above low and below high
  double scale = 0.16;
  int line = 0;
  int index = 0;
  std::string coat;  // name of the coat, if it has one
  double likelihood(double factor) const {
    const double above = low > -kNever ? student4((factor - low) / scale) : 1;
    const double below = high < kNever ? student4((factor - high) / scale) : 0;
    return kSlip + (1 - kSlip) * std::max(0.0, above - below);
  }
};

void normalise(Grid& grid) {
  double sum = 0;
  for (double v : grid) sum += v;
  for (double& v : grid) v /= sum;
}

Factor moments(const Grid& grid) {
  double mean = 0, square = 0;
  for (int i = 0; i < kGrid; ++i) mean += grid[static_cast<std::size_t>(i)] * node(i);
  for (int i = 0; i < kGrid; ++i) square += grid[static_cast<std::size_t>(i)] * (node(i) - mean) * (node(i) - mean);
  return {mean, std::sqrt(square)};
}

Grid normal(double sigma) {
  Grid grid{};
  sigma = std::max(sigma, 0.5 * kStep);
  for (int i = 0; i < kGrid; ++i) grid[static_cast<std::size_t>(i)] = std::exp(-0.5 * std::pow(node(i) / sigma, 2));
  normalise(grid);
  return grid;
}

// What the entries of one product say, for every sum of shop and product factor (2 * kGrid - 1 nodes).
struct Group {
  const catalog::Product* product = nullptr;
  std::vector<Bound> bounds;
  std::array<double, 2 * kGrid - 1> log_likelihood{};
  Grid prior{}, evidence{};  // evidence: over the shop factor, product integrated out
};

std::string entry_name(const Bound& bound) {
  return bound.line > 0 ? "line " + std::to_string(bound.line) : "entry " + std::to_string(bound.index + 1);
}

std::string percent(double factor) {
  char text[16];
  std::snprintf(text, sizeof text, "%+.0f %%", (std::exp(factor) - 1) * 100);
  return text;
}

// Two looks at one coat tell of one factor: their bounds are drawn together. Looks that cannot both be true stay apart.
void join(const Bound& bound, std::vector<Bound>& bounds) {
  for (Bound& old : bounds) {
    if (bound.coat.empty() || old.coat != bound.coat) continue;
    const double low = std::max(old.low, bound.low), high = std::min(old.high, bound.high);
    if (low >= high) continue;
    old.low = low;
    old.high = high;
    return;
  }
  bounds.push_back(bound);
}

// The strictest pair that cannot both be true.
void find_contradiction(const Group& group, std::vector<std::string>& messages) {
  const Bound *low = nullptr, *high = nullptr;
  for (const Bound& b : group.bounds) {
    if (b.low > -kNever && (!low || b.low > low->low)) low = &b;
    if (b.high < kNever && (!high || b.high < high->high)) high = &b;
  }
  if (!low || !high || low == high || low->low <= high->high + 2 * low->scale) return;
  messages.push_back(group.product->id + ": " + entry_name(*low) + " says at least " + percent(low->low) +
                     " against the label, " + entry_name(*high) + " at most " + percent(high->high) +
                     "; both cannot be right. The promise leans on the rest and stays wide.");
}

}  // namespace

std::string to_text(Seen seen) {
  switch (seen) {
    case Seen::tacky:
      return "tacky";
    case Seen::soft:
      return "soft";
    case Seen::dry:
      return "dry";
    case Seen::sands_to_powder:
      return "sands to powder";
  }
  return "";
}

std::optional<Seen> seen_of(std::string_view text) {
  for (Seen seen : {Seen::tacky, Seen::soft, Seen::dry, Seen::sands_to_powder})
    if (text == to_text(seen)) return seen;
  return std::nullopt;
}

Learned learn(const Model& model, const std::vector<BenchEntry>& entries) {
  Learned out;
  std::map<std::string, Group> groups;
  double shop_variance = 0;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const BenchEntry& entry = entries[i];
    Bound bound;
    bound.line = entry.line;
    bound.index = static_cast<int>(i);
    if (!entry.coat.product || !(entry.hours > 0) || !std::isfinite(entry.hours)) {
      out.messages.push_back(entry_name(bound) + ": set aside; it names no product or no hours after application.");
      continue;
    }
    const Readiness expected = model.readiness(entry.coat, entry.air, entry.applied);
    const double touch = expected[Need::touch].p50, scuff = expected[Need::scuff].p50;
    auto factor = [&entry](double need_h) { return std::log(entry.hours / need_h); };
    switch (entry.seen) {
      case Seen::tacky:
        bound.low = factor(touch);
        break;
      case Seen::soft:
        bound.low = factor(scuff), bound.high = factor(touch);
        break;
      case Seen::dry:
        bound.high = factor(touch);
        break;
      case Seen::sands_to_powder:
        bound.high = factor(scuff);
        break;
    }
    // "Soft" is between touch and scuff; where the label has them the other way round only the later one counts.
    if (bound.low > bound.high) bound.high = kNever;
    const bool known = (bound.low == -kNever || std::isfinite(bound.low)) &&
                       (bound.high == kNever || std::isfinite(bound.high)) && touch < kNever && scuff < kNever &&
                       touch > 0 && scuff > 0;
    if (!known) {
      out.messages.push_back(entry_name(bound) + ": set aside; the model has no time for this coat. " + expected.why);
      continue;
    }
    const double sigma = std::max(entry.coat.product->rate_sigma_log, 0.05);
    bound.scale = std::sqrt(kCoatShare) * sigma;
    Group& group = groups[entry.coat.product->id];
    group.product = entry.coat.product;
    bound.coat = entry.name;
    join(bound, group.bounds);
    ++out.used[entry.coat.product->id];
    shop_variance = std::max(shop_variance, kShopShare * sigma * sigma);
  }
  if (groups.empty()) return out;

  const Grid shop_prior = normal(std::sqrt(shop_variance));
  Grid shop_log{};
  for (auto& [id, group] : groups) {
    const double sigma = std::max(group.product->rate_sigma_log, 0.05);
    group.prior = normal(std::sqrt(kProductShare) * sigma);
    double best = -kNever;
    for (std::size_t k = 0; k < group.log_likelihood.size(); ++k) {
      const double total = -2 * kReach + kStep * static_cast<double>(k);
      double sum = 0;
      for (const Bound& bound : group.bounds) sum += std::log(bound.likelihood(total));
      group.log_likelihood[k] = sum;
      best = std::max(best, sum);
    }
    for (double& v : group.log_likelihood) v = std::exp(v - best);  // a likelihood from here on, scaled
    for (std::size_t s = 0; s < kGrid; ++s) {
      for (std::size_t p = 0; p < kGrid; ++p) group.evidence[s] += group.prior[p] * group.log_likelihood[s + p];
      shop_log[s] += std::log(std::max(group.evidence[s], 1e-300));
    }
    find_contradiction(group, out.messages);
  }
  const double top = *std::max_element(shop_log.begin(), shop_log.end());
  Grid shop{};
  for (std::size_t s = 0; s < kGrid; ++s) shop[s] = shop_prior[s] * std::exp(shop_log[s] - top);
  normalise(shop);
  out.shop_prior = moments(shop_prior);
  out.shop_posterior = moments(shop);
  out.calibration.shop = out.shop_posterior;
  out.calibration.shop.sigma_log = std::max(out.calibration.shop.sigma_log, kFinest);

  for (auto& [id, group] : groups) {
    Grid product{};
    double mean = 0, square = 0;  // of the sum
    for (std::size_t s = 0; s < kGrid; ++s) {
      const double weight = shop[s] / std::max(group.evidence[s], 1e-300);
      for (std::size_t p = 0; p < kGrid; ++p) {
        const double joint = weight * group.prior[p] * group.log_likelihood[s + p];
        const double total = node(static_cast<int>(s)) + node(static_cast<int>(p));
        product[p] += joint;
        mean += joint * total;
        square += joint * total * total;
      }
    }
    normalise(product);
    out.product_prior[id] = moments(group.prior);
    out.product_posterior[id] = moments(product);
    Factor taught = out.product_posterior[id];
    taught.sigma_log = std::max(std::sqrt(std::max(square - mean * mean, 0.0)), kFinest);
    out.calibration.product[id] = taught;
    for (const Bound& bound : group.bounds) {
      const double chance = (bound.likelihood(mean) - kSlip) / (1 - kSlip);
      if (chance < 0.05 && group.bounds.size() > 2) {
        out.messages.push_back(id + ": " + entry_name(bound) +
                               " does not fit the other entries and was given little weight.");
      }
    }
  }
  for (const auto& [id, group] : groups) {
    const catalog::Label& label = group.product->label;
    const climate::ClimateSeries air =
        climate::ClimateSeries::constant({label.temp_c, label.rh, 101325.0, label.air_m_s});
    const Coat coat{group.product, label.wet_um, Ground::sealed, Lie::vertical};
    const Band before = model.readiness(coat, air, Instant{})[Need::recoat_same];
    const Band after = model.readiness(coat, air, Instant{}, out.calibration)[Need::recoat_same];
    out.promise[id] = {before.p50, after.p50, before.p90, after.p90};
  }
  return out;
}

}  // namespace tackcloth::film
