#include "color/tint.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <optional>

#include "color/difference.h"
#include "color/estimate.h"
#include "color/fit.h"
#include "color/tint_words.h"

namespace tackcloth::color {

namespace {

constexpr double kSecondWeight = 0.5;

class Tinter {
 public:
  Tinter(const TintQuestion& question, const Viewer& first, const Viewer& second, int coats)
      : question_(question),
        surface_(surface_of(question.clear->index)),
        goal_(question.to, first, second, kSecondWeight, 3 * question.spectral_weight),
        ground_(internal_from_measured(question.from, surface_)) {
    for (const Colorant* c : question.colorants) most_.push_back(g_per_m2(c->most_g_l, question.wet_um) * coats);
  }

  Spectrum reflectance(const std::size_t* parts, const double* shares, std::size_t count) const {
    Spectrum out;
    double g[kMostParts];
    for (std::size_t p = 0; p < count; ++p) g[p] = shares[p] * most_[parts[p]];
    for (std::size_t i = 0; i < kSamples; ++i) {
      Layer layer;
      for (std::size_t p = 0; p < count; ++p) {
        layer.k += g[p] * question_.colorants[parts[p]]->k[i];
        layer.s += g[p] * question_.colorants[parts[p]]->s[i];
      }
      const double inside = layer.s == 0 ? ground_[i] * std::exp(-2 * layer.k) : reflectance_over(layer, ground_[i]);
      out[i] = measured_from_internal(inside, surface_);
    }
    return out;
  }

  std::vector<Load> loads(const Fit& fit) const {
    std::vector<Load> out;
    for (std::size_t p = 0; p < fit.count; ++p)
      if (fit.shares[p] > 1e-6) out.push_back({question_.colorants[fit.parts[p]], fit.shares[p] * most_[fit.parts[p]]});
    return out;
  }

  // The best few colourants, by size: a linear model ranks all sets, least squares on the true one judges the best.
  Fit best() const {
    const auto sizes = static_cast<std::size_t>(question_.most_parts);
    const std::vector<std::vector<Fit>> ranked = screened(sizes);
    Fit none;
    none.cost = cost_of_nothing();
    std::vector<Fit> winners{none};
    const Model model = [this](const std::size_t* p, const double* s, std::size_t n) { return reflectance(p, s, n); };
    for (std::size_t size = 1; size <= sizes; ++size) {
      Fit winner = winners.back();
      for (Fit fit : ranked[size]) {
        refine(fit, model, goal_, 1);
        if (fit.cost < winner.cost) winner = fit;
      }
      winners.push_back(winner);
    }
    const double least = winners.back().cost;
    for (const Fit& fit : winners)
      if (fit.cost <= least + question_.simpler_de || fit.cost <= least) return fit;
    return winners.back();
  }

 private:
  double cost_of_nothing() const {
    std::vector<double> d(goal_.size());
    goal_.distances(question_.from, d.data());
    double sum = 0;
    for (const double v : d) sum += v * v;
    return std::sqrt(sum);
  }

  std::vector<std::vector<Fit>> screened(std::size_t sizes) const {
    // ln R changes by -(2 K - S (1 - R)^2 / R) g, and what is measured by less, for the surface: both taken midway.
    Spectrum middle;
    for (std::size_t i = 0; i < kSamples; ++i)
      middle[i] = std::sqrt(std::max(question_.from[i] * question_.to[i], 1e-8));
    const Goal::Slopes slopes = goal_.slopes(middle);
    using Six = Eigen::Matrix<double, 6, 1>;
    const std::size_t n = question_.colorants.size();
    std::vector<Six> effect(n, Six::Zero());
    Six gap = Six::Zero();
    for (std::size_t i = 0; i < kSamples; ++i) {
      const double m = middle[i], inside = std::max(internal_from_measured(m, surface_), 1e-4);
      const double passed = 1 / (1 - surface_.k2 * inside);
      Six slope;
      for (std::size_t d = 0; d < 6; ++d) slope[static_cast<Eigen::Index>(d)] = slopes[d][i];
      const double log_gap = std::log(std::max(question_.to[i], 1e-4) / std::max(question_.from[i], 1e-4));
      gap += slope * log_gap;
      for (std::size_t c = 0; c < n; ++c) {
        const Colorant& colorant = *question_.colorants[c];
        const double change = colorant.s[i] * (1 - inside) * (1 - inside) / inside - 2 * colorant.k[i];
        effect[c] += slope * (change * passed * most_[c]);
      }
    }
    std::vector<std::vector<Fit>> ranked(sizes + 1);
    constexpr std::size_t kKept[kMostParts + 1] = {0, 8, 12, 16, 16};
    std::vector<std::size_t> chosen;
    const auto rank = [&] {
      const auto k = static_cast<Eigen::Index>(chosen.size());
      Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, 4, 4> a(k, k);
      Eigen::Matrix<double, Eigen::Dynamic, 1, 0, 4, 1> b(k);
      for (Eigen::Index i = 0; i < k; ++i) {
        b[i] = effect[chosen[static_cast<std::size_t>(i)]].dot(gap);
        for (Eigen::Index j = 0; j < k; ++j)
          a(i, j) = effect[chosen[static_cast<std::size_t>(i)]].dot(effect[chosen[static_cast<std::size_t>(j)]]);
        a(i, i) *= 1 + 1e-9;
      }
      const Eigen::Matrix<double, Eigen::Dynamic, 1, 0, 4, 1> x = a.ldlt().solve(b);
      Six left = gap;
      Fit fit;
      fit.count = chosen.size();
      for (Eigen::Index i = 0; i < k; ++i) {
        const auto p = static_cast<std::size_t>(i);
        if (!(x[i] > 0)) return;  // a smaller set does as well
        fit.parts[p] = chosen[p];
        fit.shares[p] = std::min(x[i], 1.0);
        left -= effect[chosen[p]] * fit.shares[p];
      }
      fit.cost = left.norm();
      auto& list = ranked[chosen.size()];
      const auto worse = [](const Fit& one, const Fit& other) { return one.cost < other.cost; };
      if (list.size() < kKept[chosen.size()]) {
        list.push_back(fit);
        std::push_heap(list.begin(), list.end(), worse);
      } else if (fit.cost < list.front().cost) {
        std::pop_heap(list.begin(), list.end(), worse);
        list.back() = fit;
        std::push_heap(list.begin(), list.end(), worse);
      }
    };
    const std::function<void(std::size_t)> choose = [&](std::size_t from) {
      if (!chosen.empty()) rank();
      if (chosen.size() == sizes) return;
      for (std::size_t c = from; c < n; ++c) {
        chosen.push_back(c);
        choose(c + 1);
        chosen.pop_back();
      }
    };
    choose(0);
    return ranked;
  }

  const TintQuestion& question_;
  Surface surface_;
  Goal goal_;
  Spectrum ground_;
  std::vector<double> most_;  // g/m2
};

std::optional<Problem> trouble_with(const TintQuestion& q) {
  if (!q.clear) return Problem{"", 0, 0, "no clear is named", "the clear that is tinted", "name its binder"};
  if (q.colorants.empty()) return Problem{"", 0, 0, "no colourant is allowed", "at least one", "allow some"};
  if (q.colorants.size() > 40) return Problem{"", 0, 0, "too many colourants", "at most 40", "allow fewer"};
  if (!(q.wet_um >= 10 && q.wet_um <= 500))
    return Problem{"", 0, 0, "the wet film is " + std::to_string(q.wet_um) + " um", "10 to 500 um", "100 um is a coat"};
  if (q.most_coats < 1 || q.most_coats > 6)
    return Problem{"", 0, 0, std::to_string(q.most_coats) + " tinted coats", "1 to 6", "3 is the usual most"};
  if (q.most_parts < 1 || q.most_parts > static_cast<int>(kMostParts))
    return Problem{"", 0, 0, std::to_string(q.most_parts) + " colourants", "1 to 4", "3 is the usual most"};
  return std::nullopt;
}

TintLook look(const TintQuestion& q, const Spectrum& predicted, const Viewer& viewer) {
  TintLook out{viewer.name(), viewer.lab(q.from), viewer.lab(q.to), viewer.lab(predicted), 0, 0};
  out.de00_before = difference_2000(out.from, out.to);
  out.de00_after = difference_2000(out.predicted, out.to);
  return out;
}

void sensitivities(TintRecipe& recipe, const TintQuestion& q, const std::vector<Load>& loads, const Viewer& first) {
  const LayerSpectrum layer = layer_of(loads);
  const Surface surface = surface_of(q.clear->index);
  const Lab here = first.lab(q.from), result = recipe.first.predicted;
  const auto moved = [&](Lab wrong) {
    const Xyz a = xyz_from_lab(here, first.white()), b = xyz_from_lab(wrong, first.white());
    const Spectrum patch = nudged(q.from, first, {b.x - a.x, b.y - a.y, b.z - a.z});
    return difference_2000(first.lab(with_layer(patch, layer, surface)), result);
  };
  for (const double sign : {-1.0, 1.0}) {
    recipe.per_l = std::max(recipe.per_l, moved({here.l + sign, here.a, here.b}));
    recipe.per_a = std::max(recipe.per_a, moved({here.l, here.a + sign, here.b}));
    recipe.per_b = std::max(recipe.per_b, moved({here.l, here.a, here.b + sign}));
    LayerSpectrum other = layer;
    for (double& v : other.k.values) v *= 1 + 0.2 * sign;
    for (double& v : other.s.values) v *= 1 + 0.2 * sign;
    recipe.per_film = std::max(recipe.per_film, difference_2000(first.lab(with_layer(q.from, other, surface)), result));
  }
  double black = 0, white = 0;
  for (std::size_t i = 0; i < kSamples; ++i) {
    black += first.weight_y()[i] * reflectance_over({layer.k[i], layer.s[i]}, 0);
    white += first.weight_y()[i] * reflectance_over({layer.k[i], layer.s[i]}, 1);
  }
  recipe.cloud = white > 0 ? black / white : 1;
}

}  // namespace

Result<TintRecipe> tint(const TintQuestion& q, const Viewer& first, const Viewer& second) {
  if (auto problem = trouble_with(q)) return tl::unexpected(std::move(*problem));
  const Surface surface = surface_of(q.clear->index);
  TintRecipe recipe;
  std::vector<Load> loads;
  for (int coats = 1; coats <= q.most_coats; ++coats) {
    const Tinter tinter(q, first, second, coats);
    const Fit fit = tinter.best();
    const std::vector<Load> now = tinter.loads(fit);
    const Spectrum predicted = with_layer(q.from, layer_of(now), surface);
    const TintLook seen = look(q, predicted, first);
    double full = 0;
    for (std::size_t p = 0; p < fit.count; ++p) full += fit.shares[p];
    // Another coat must earn its day at the bench.
    if (coats > 1 && seen.de00_after > recipe.first.de00_after - 0.5) break;
    loads = now;
    recipe.coats = now.empty() ? 0 : coats;
    recipe.predicted = predicted;
    recipe.first = seen;
    if (full < 0.98) break;  // the limit of loading isn't what holds it back
  }
  // Towards a lighter look tints can only mimic: unless that works well, nothing is better.
  if (recipe.first.to.l > recipe.first.from.l + 1 && recipe.first.de00_after > recipe.first.de00_before / 2) {
    loads.clear();
    recipe.coats = 0;
    recipe.predicted = q.from;
    recipe.first = look(q, q.from, first);
  }
  recipe.wet_um = q.wet_um;
  recipe.second = look(q, recipe.predicted, second);
  for (const Load& load : loads) {
    const double g_per_l = load.g_m2 / g_per_m2(1, q.wet_um) / recipe.coats;
    recipe.parts.push_back(
        {load.colorant, g_per_l, g_per_l / load.colorant->g_per_drop(), g_per_l / load.colorant->most_g_l});
  }
  std::sort(recipe.parts.begin(), recipe.parts.end(),
            [](const TintPart& a, const TintPart& b) { return a.share_of_limit > b.share_of_limit; });
  sensitivities(recipe, q, loads, first);
  add_words(recipe, q);
  return recipe;
}

}  // namespace tackcloth::color
