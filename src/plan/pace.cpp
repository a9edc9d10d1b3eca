#include "plan/pace.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <tuple>

#include "units/normal.h"

namespace tackcloth::plan {
namespace {

// Degrees of freedom of the step's part, and the weight (nu + 1) / (nu + d²) of a value that lies d spreads off: the
// EM algorithm for t errors, Lange, Little and Taylor, J. Am. Stat. Assoc. 84 (1989) 881. Four is the value they use
// where it is not estimated (from memory).
constexpr double kFreedom = 4;
constexpr int kMostRounds = 200;
constexpr double kStill = 1e-10;
// Named as odd below this weight: some 3.5 spreads off, 3.4 times the hours of its kind or a third of them.
constexpr double kOddWeight = 0.30;

std::string number(double value) {
  char text[32];
  std::snprintf(text, sizeof text, value < 0.095 ? "%.2f" : value < 9.95 ? "%.1f" : "%.0f", value);
  return text;
}

}  // namespace

PaceFit fit_pace(const std::vector<std::vector<double>>& values, const std::vector<std::vector<double>>& sigma,
                 double shop_sigma, double kind_sigma, bool robust) {
  PaceFit fit;
  const std::size_t groups = values.size();
  fit.kinds.resize(groups);
  for (const auto& group : values) fit.weight.emplace_back(group.size(), 1.0);
  const double shop_var = shop_sigma * shop_sigma, kind_var = kind_sigma * kind_sigma;
  for (int round = 0; round < kMostRounds; ++round) {
    // Gelman et al., Bayesian Data Analysis, 3rd ed. (2013), section 5.4 (normal model, known variances): first the
    // shop with the kinds integrated out, then each kind given the shop.
    std::vector<double> precision(groups, 0), mean(groups, 0);
    double shop_precision = 1 / shop_var, shop_sum = 0;
    for (std::size_t k = 0; k < groups; ++k) {
      for (std::size_t i = 0; i < values[k].size(); ++i) {
        const double p = fit.weight[k][i] / (sigma[k][i] * sigma[k][i]);
        precision[k] += p;
        mean[k] += p * values[k][i];
      }
      if (precision[k] <= 0) continue;
      mean[k] /= precision[k];
      const double p = 1 / (1 / precision[k] + kind_var);
      shop_precision += p;
      shop_sum += p * mean[k];
    }
    fit.shop = {shop_sum / shop_precision, std::sqrt(1 / shop_precision)};
    double moved = 0;
    for (std::size_t k = 0; k < groups; ++k) {
      const double own = kind_var * precision[k] / (1 + kind_var * precision[k]);  // what its own steps count for
      const double rest = kind_var / (1 + kind_var * precision[k]);  // variance of the kind given the shop
      const double at = fit.shop.mean + own * (mean[k] - fit.shop.mean);
      moved = std::max(moved, std::abs(at - fit.kinds[k].mean));
      fit.kinds[k] = {at, std::sqrt(rest + (1 - own) * (1 - own) / shop_precision)};
    }
    if (!robust || (round > 0 && moved < kStill)) break;
    for (std::size_t k = 0; k < groups; ++k)
      for (std::size_t i = 0; i < values[k].size(); ++i) {
        const double off = values[k][i] - fit.kinds[k].mean;
        const double d2 = (off * off + fit.kinds[k].sigma * fit.kinds[k].sigma) / (sigma[k][i] * sigma[k][i]);
        fit.weight[k][i] = std::min(1.0, (kFreedom + 1) / (kFreedom + d2));
      }
  }
  return fit;
}

OwnPace learn_pace(const std::vector<PaceLine>& lines) {
  std::map<std::string, std::vector<PaceLine>> kinds;
  for (const PaceLine& line : lines)
    if (line.table_min > 0 && line.took_min > 0 && std::isfinite(line.table_min) && std::isfinite(line.took_min))
      kinds[line.kind].push_back(line);
  std::vector<std::vector<double>> values, sigma;
  for (auto& [kind, of] : kinds) {
    std::sort(of.begin(), of.end(), [](const PaceLine& a, const PaceLine& b) {
      return std::tie(a.when, a.step, a.took_min, a.table_min) < std::tie(b.when, b.step, b.took_min, b.table_min);
    });
    values.emplace_back();
    for (const PaceLine& line : of) values.back().push_back(std::log(line.took_min / line.table_min));
    sigma.emplace_back(of.size(), kPaceSpread.step);
  }
  const PaceFit fit = fit_pace(values, sigma, kPaceSpread.shop, kPaceSpread.kind, true);
  OwnPace pace;
  std::size_t k = 0;
  for (const auto& [kind, of] : kinds) {
    const Posterior& p = fit.kinds[k];
    LearnedPace learned{kind,
                        static_cast<int>(of.size()),
                        std::exp(p.mean),
                        std::exp(p.mean - kNormal90 * p.sigma),
                        std::exp(p.mean + kNormal90 * p.sigma),
                        static_cast<int>(of.size()) >= kPaceEnough};
    for (std::size_t i = 0; i < of.size(); ++i) {
      if (fit.weight[k][i] >= kOddWeight) continue;
      pace.odd.push_back(of[i].step + " (" + kind + "): " + number(of[i].took_min) + " min told, " +
                         number(of[i].table_min) + " min in the table, " + number(of[i].took_min / of[i].table_min) +
                         " times. It counts little.");
    }
    pace.kinds.push_back(std::move(learned));
    ++k;
  }
  return pace;
}

double pace_factor(const OwnPace& pace, const std::string& kind) {
  if (!pace.wanted) return 1;
  for (const LearnedPace& learned : pace.kinds)
    if (learned.kind == kind) return learned.used ? learned.factor : 1;
  return 1;
}

std::string pace_words(const LearnedPace& pace) {
  return number(pace.factor) + " times the table, from " + std::to_string(pace.entries) +
         (pace.entries == 1 ? " step (" : " steps (") + number(pace.low) + " to " + number(pace.high) + ")";
}

}  // namespace tackcloth::plan
