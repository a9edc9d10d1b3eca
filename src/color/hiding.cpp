#include "color/hiding.h"

#include <algorithm>
#include <cmath>

#include "color/css.h"
#include "color/difference.h"
#include "color/estimate.h"
#include "color/fit.h"

namespace tackcloth::color {

namespace {

// ISO 6504-3:2019, method B: black of a reflectance of at most 5 %, white of 80 +/- 2 % (from memory).
constexpr double kBlackY = 0.03, kWhiteY = 0.80;

double contrast(const Paint& paint, double um, const Viewer& viewer, const Surface& surface) {
  double black = 0, white = 0;
  const double dark = internal_from_measured(kBlackY, surface), light = internal_from_measured(kWhiteY, surface);
  for (std::size_t i = 0; i < kSamples; ++i) {
    const Layer layer{paint.k[i] * um, paint.s[i] * um};
    black += viewer.weight_y()[i] * measured_from_internal(reflectance_over(layer, dark), surface);
    white += viewer.weight_y()[i] * measured_from_internal(reflectance_over(layer, light), surface);
  }
  return white > 0 ? std::min(black / white, 1.0) : 1;
}

}  // namespace

Spectrum opaque_look(const Paint& paint, const Surface& surface) {
  Spectrum out;
  for (std::size_t i = 0; i < kSamples; ++i)
    out[i] =
        measured_from_internal(opaque_reflectance(std::min(paint.k[i] / std::max(paint.s[i], 1e-12), 1e6)), surface);
  return out;
}

Result<Paint> paint_of(const Lab& d50, const Palette& palette, const Surface& surface) {
  std::vector<const Colorant*> pigments;
  for (const Colorant& c : palette.colorants)
    if (c.paint_g_l > 0) pigments.push_back(&c);
  if (pigments.size() < 2)
    return tl::unexpected<Problem>({"", 0, 0, "the palette holds no pigments for paint", "at least two with paint_g_l",
                                    "see catalog/color/colorants.toml"});
  const Viewer viewer = standard_viewer(), lamp(light_a());
  const auto target = estimate_reflectance(d50, viewer);
  if (!target) return tl::unexpected(target.error());
  const auto fill = [&](const std::size_t* parts, const double* shares, std::size_t count) {
    Paint paint;
    for (std::size_t p = 0; p < count; ++p) {
      const Colorant& c = *pigments[parts[p]];
      const double g_m2_um = shares[p] * c.paint_g_l / 1000;  // of a film of 1 um
      for (std::size_t i = 0; i < kSamples; ++i) {
        paint.k[i] += g_m2_um * c.k[i];
        paint.s[i] += g_m2_um * c.s[i];
      }
    }
    return paint;
  };
  const Model model = [&](const std::size_t* p, const double* s, std::size_t n) {
    return opaque_look(fill(p, s, n), surface);
  };
  const Goal goal(*target, viewer, lamp, 0.05, 0);
  // The best pairs, what a third pigment adds to each, and a fourth to the best.
  std::vector<Fit> kept;
  const auto consider = [&](Fit fit) {
    refine(fit, model, goal, 1, true);
    kept.push_back(fit);
  };
  const auto keep_best = [&](std::size_t most) {
    std::sort(kept.begin(), kept.end(), [](const Fit& a, const Fit& b) { return a.cost < b.cost; });
    kept.resize(std::min(kept.size(), most));
  };
  for (std::size_t a = 0; a < pigments.size(); ++a)
    for (std::size_t b = a + 1; b < pigments.size(); ++b)
      for (const double share : {0.1, 0.9}) consider({{a, b}, {share, 1 - share}, 2, 0});
  keep_best(8);
  for (const std::size_t most : {std::size_t{2}, std::size_t{1}}) {
    if (kept.front().cost < 0.3) break;
    const std::vector<Fit> bases = kept;
    for (const Fit& base : bases)
      for (std::size_t c = 0; c < pigments.size(); ++c) {
        Fit fit = base;
        const auto end = fit.parts.begin() + static_cast<std::ptrdiff_t>(fit.count);
        if (std::find(fit.parts.begin(), end, c) != end) continue;
        fit.parts[fit.count] = c;
        fit.shares[fit.count++] = 0.05;
        consider(fit);
      }
    keep_best(most);
  }
  const Fit best =
      *std::min_element(kept.begin(), kept.end(), [](const Fit& a, const Fit& b) { return a.cost < b.cost; });
  Paint paint = fill(best.parts.data(), best.shares.data(), best.count);
  for (std::size_t p = 0; p < best.count; ++p)
    if (best.shares[p] > 1e-6) {
      const Colorant* c = pigments[best.parts[p]];
      paint.pigments.push_back({c, best.shares[p] * c->paint_g_l});
    }
  paint.de00 = difference_2000(viewer.lab(opaque_look(paint, surface)), d50);
  return paint;
}

Spectrum painted(const Spectrum& ground, const Paint& paint, double wet_um, int coats, const Surface& surface) {
  const double um = wet_um * coats;
  LayerSpectrum layer;
  for (std::size_t i = 0; i < kSamples; ++i) {
    layer.k[i] = paint.k[i] * um;
    layer.s[i] = paint.s[i] * um;
  }
  return with_layer(ground, layer, surface);
}

Hiding hiding(const Spectrum& ground, const Paint& paint, double wet_um, const Viewer& viewer, double tolerance,
              int most_coats, const Surface& surface) {
  Hiding out;
  const Lab opaque = viewer.lab(opaque_look(paint, surface));
  for (int n = 1; n <= most_coats; ++n) {
    HidingCoat coat;
    coat.look = painted(ground, paint, wet_um, n, surface);
    coat.de00 = difference_2000(viewer.lab(coat.look), opaque);
    coat.contrast_ratio = contrast(paint, wet_um * n, viewer, surface);
    if (out.needed == 0 && coat.de00 <= tolerance) out.needed = n;
    out.coats.push_back(coat);
  }
  return out;
}

Result<Paint> with_contrast_ratio(Paint paint, double wet_um, double wanted, const Viewer& viewer,
                                  const Surface& surface) {
  if (!(wanted >= 0.05 && wanted <= 0.9995))
    return tl::unexpected<Problem>({"", 0, 0, "a contrast ratio of " + std::to_string(wanted), "0.05 to 0.9995",
                                    "98 % is what a label calls hiding"});
  double low = 1e-4, high = 1e4;
  for (int i = 0; i < 80; ++i) {
    const double middle = std::sqrt(low * high);
    (contrast(paint, wet_um * middle, viewer, surface) < wanted ? low : high) = middle;
  }
  for (std::size_t i = 0; i < kSamples; ++i) {
    paint.k[i] *= high;
    paint.s[i] *= high;
  }
  for (Load& load : paint.pigments) load.g_m2 *= high;
  return paint;
}

}  // namespace tackcloth::color
