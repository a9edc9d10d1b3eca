#include "color/tint.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "color/css.h"
#include "color/difference.h"
#include "color/estimate.h"
#include "color/hiding.h"
#include "support.h"

namespace tackcloth::color {
namespace {

const Palette& palette() {
  static const Palette loaded = [] {
    auto read = load_palette(catalog_dir());
    if (!read)
      for (const Problem& p : read.error()) ADD_FAILURE() << to_text(p);
    return read.value_or(Palette{});
  }();
  return loaded;
}

Spectrum wood(const char* id) { return *estimate_reflectance(palette().wood(id)->bare, standard_viewer()); }

TintQuestion question(const Spectrum& from) {
  TintQuestion q;
  q.from = q.to = from;
  q.clear = palette().clear("acrylic_urethane");
  for (const Colorant& c : palette().colorants)
    if (c.id != "white_titanium") q.colorants.push_back(&c);
  return q;
}

const Viewer& d65() {
  static const Viewer viewer(*light_named("D65"));
  return viewer;
}
const Viewer& lamp() {
  static const Viewer viewer(light_a());
  return viewer;
}

TEST(Palette, IsRead) {
  EXPECT_GE(palette().colorants.size(), 15u);
  EXPECT_GE(palette().clears.size(), 8u);
  EXPECT_EQ(palette().woods.size(), 30u);
  for (const Colorant& c : palette().colorants) {
    EXPECT_FALSE(c.mark.empty());
    for (std::size_t i = 0; i < kSamples; ++i) {
      EXPECT_GE(c.k[i], 0);
      EXPECT_GE(c.s[i], 0);
    }
  }
  EXPECT_FALSE(load_palette("/nowhere").has_value());
}

// Titanium dioxide is the white, carbon the black, and each hue is where its name says: opaque mixtures with white.
TEST(Palette, HuesAreTheirNames) {
  struct Case {
    const char* id;
    double from_deg, to_deg;
  };
  const Colorant& white = *palette().colorant("white_titanium");
  for (const Case& c :
       {Case{"red_iron_oxide", 20, 60}, Case{"yellow_iron_oxide", 65, 95}, Case{"blue_ultramarine", 260, 310},
        Case{"blue_phthalo", 220, 270}, Case{"green_phthalo", 150, 200}, Case{"yellow_organic", 80, 110},
        Case{"violet_organic", 290, 335}, Case{"brown_umber", 40, 80}}) {
    const Colorant& hue = *palette().colorant(c.id);
    Spectrum r;
    for (std::size_t i = 0; i < kSamples; ++i)
      r[i] = opaque_reflectance((0.9 * white.k[i] + 0.1 * hue.k[i]) / (0.9 * white.s[i] + 0.1 * hue.s[i]));
    const Lch lch = lch_from_lab(d65().lab(r));
    EXPECT_GT(lch.h_deg, c.from_deg) << c.id << " " << lch.l << " " << lch.c;
    EXPECT_LT(lch.h_deg, c.to_deg) << c.id << " " << lch.l << " " << lch.c;
    EXPECT_GT(lch.c, 4) << c.id;
  }
}

// A patch that was tinted with a known mix: the recipe is that mix, to the drop.
TEST(Tint, RecoversAKnownMix) {
  struct Mix {
    std::vector<std::pair<const char*, double>> g_per_l;
  };
  const Mix mixes[] = {{{{"dye_brown", 0.4}}},
                       {{{"dye_red", 0.15}, {"dye_yellow", 0.3}}},
                       {{{"red_iron_oxide", 3.0}, {"yellow_iron_oxide", 5.0}}},
                       {{{"dye_green", 0.1}, {"brown_umber", 2.0}, {"dye_black", 0.08}}},
                       {{{"blue_phthalo", 0.05}, {"red_organic", 0.2}, {"yellow_organic", 0.3}}}};
  for (const char* species : {"maple_hard", "oak_white", "cherry_black"})
    for (const Mix& mix : mixes) {
      TintQuestion q = question(cleared(wood(species), *palette().clear("acrylic_urethane"), 50));
      std::vector<Load> loads;
      for (const auto& [id, g] : mix.g_per_l) loads.push_back({palette().colorant(id), g_per_m2(g, q.wet_um)});
      q.to = with_layer(q.from, layer_of(loads), surface_of(q.clear->index));
      q.spectral_weight = 1;
      q.simpler_de = 1e-4;
      const auto recipe = tint(q, d65(), lamp());
      ASSERT_TRUE(recipe.has_value());
      EXPECT_LT(recipe->first.de00_after, 1e-3);
      EXPECT_LT(recipe->second.de00_after, 1e-3);
      ASSERT_EQ(recipe->parts.size(), mix.g_per_l.size()) << species << " " << mix.g_per_l[0].first;
      EXPECT_EQ(recipe->coats, 1);
      for (const auto& [id, g] : mix.g_per_l) {
        const auto part = std::find_if(recipe->parts.begin(), recipe->parts.end(),
                                       [wanted = id](const TintPart& p) { return p.colorant->id == wanted; });
        ASSERT_NE(part, recipe->parts.end()) << id;
        EXPECT_NEAR(part->g_per_l, g, 1e-3 * g) << id;
        EXPECT_NEAR(part->drops_per_l * part->colorant->g_per_drop(), part->g_per_l, 1e-9);
      }
    }
}

// Cancelling a cast from Lab alone: the answer is judged by doing what it says.
TEST(Tint, CancelsACast) {
  const Viewer d50 = standard_viewer();
  struct Case {
    Lab from, to;
  };
  for (const Case& c : {Case{{62, 14, 30}, {60, 10, 28}}, Case{{70, 8, 32}, {66, 8, 26}},
                        Case{{58, 6, 18}, {50, 10, 22}}, Case{{75, 3, 20}, {62, 12, 34}}}) {
    TintQuestion q = question(*estimate_reflectance(c.from, d50));
    q.to = *estimate_reflectance(c.to, d50, &q.from);
    const auto recipe = tint(q, d65(), lamp());
    ASSERT_TRUE(recipe.has_value());
    EXPECT_LT(recipe->first.de00_after, 1) << to_css(c.from) << " " << to_css(c.to);
    EXPECT_LT(recipe->first.de00_after, recipe->first.de00_before / 2);
    EXPECT_LE(recipe->parts.size(), 3u);
    std::vector<Load> loads;
    for (const TintPart& part : recipe->parts) {
      EXPECT_LE(part.g_per_l, part.colorant->most_g_l * (1 + 1e-9));
      loads.push_back({part.colorant, g_per_m2(part.g_per_l, recipe->wet_um) * recipe->coats});
    }
    const Spectrum done = with_layer(q.from, layer_of(loads), surface_of(q.clear->index));
    EXPECT_NEAR(difference_2000(d65().lab(done), d65().lab(q.to)), recipe->first.de00_after, 1e-9);
    EXPECT_NEAR(difference_2000(lamp().lab(done), lamp().lab(q.to)), recipe->second.de00_after, 1e-9);
    for (const double v : {recipe->per_l, recipe->per_a, recipe->per_b}) {
      EXPECT_GT(v, 0.2);
      EXPECT_LT(v, 2.5);
    }
    const auto board = std::find_if(recipe->steps.begin(), recipe->steps.end(),
                                    [](const std::string& s) { return s.find("Test board") != std::string::npos; });
    EXPECT_NE(board, recipe->steps.end());
  }
}

// No set of allowed colourants that was not looked at does clearly better: all pairs and triples by brute force.
TEST(Tint, NothingBetterIsMissed) {
  const Viewer d50 = standard_viewer();
  std::mt19937 random(17);
  std::uniform_real_distribution<double> u(-1, 1);
  for (int i = 0; i < 3; ++i) {
    TintQuestion q = question(*estimate_reflectance({68 + 6 * u(random), 8 + 4 * u(random), 24 + 6 * u(random)}, d50));
    q.to = *estimate_reflectance({56 + 6 * u(random), 9 + 5 * u(random), 24 + 6 * u(random)}, d50, &q.from);
    q.most_parts = 2;
    q.simpler_de = 0;
    const double ours = tint(q, d65(), lamp())->first.de00_after;
    double best = 1e9;
    const auto all = q.colorants;
    for (std::size_t a = 0; a < all.size(); ++a)
      for (std::size_t b = a + 1; b < all.size(); ++b) {
        q.colorants = {all[a], all[b]};
        best = std::min(best, tint(q, d65(), lamp())->first.de00_after);
      }
    EXPECT_LT(ours, best + 0.3) << i;
  }
}

TEST(Tint, WhatCannotBeDoneIsSaid) {
  const Viewer d50 = standard_viewer();
  TintQuestion q = question(*estimate_reflectance({45, 8, 16}, d50));
  q.to = *estimate_reflectance({70, 8, 20}, d50);
  const auto lighter = tint(q, d65(), lamp());
  ASSERT_TRUE(lighter.has_value());
  EXPECT_NE(lighter->warnings.front().find("lighter"), std::string::npos);
  EXPECT_TRUE(lighter->parts.empty());
  EXPECT_EQ(lighter->first.de00_after, lighter->first.de00_before);
  q.to = q.from;
  const auto same = tint(q, d65(), lamp());
  EXPECT_TRUE(same->parts.empty());
  EXPECT_EQ(same->coats, 0);
  EXPECT_FALSE(same->steps.empty());
  q.to = *estimate_reflectance({15, 2, 4}, d50);
  const auto dark = tint(q, d65(), lamp());
  EXPECT_GE(dark->coats, 1);
  q.clear = nullptr;
  EXPECT_FALSE(tint(q, d65(), lamp()).has_value());
  q = question(wood("beech"));
  q.most_parts = 9;
  EXPECT_FALSE(tint(q, d65(), lamp()).has_value());
  q.most_parts = 2, q.wet_um = NAN;
  EXPECT_FALSE(tint(q, d65(), lamp()).has_value());
}

// A clear deepens bare wood, oil more than waterborne; with years an oil ambers and an acrylic hardly.
TEST(Layers, ClearOverWood) {
  for (const Wood& w : palette().woods) {
    const Spectrum bare = wood(w.id.c_str());
    const Lab dry = d65().lab(bare);
    const Lab oil = d65().lab(cleared(bare, *palette().clear("oil"), 15)),
              water = d65().lab(cleared(bare, *palette().clear("acrylic"), 25));
    EXPECT_LT(oil.l, water.l) << w.id;
    EXPECT_LT(water.l, dry.l) << w.id;
    // Common practice, no source: a waterborne clear takes 1 to 6 off L, an oil 4 to 13.
    EXPECT_LT(dry.l - water.l, 6) << w.id;
    EXPECT_GT(dry.l - water.l, 1) << w.id;
    EXPECT_LT(dry.l - oil.l, 13) << w.id;
    EXPECT_GT(dry.l - oil.l, 4) << w.id;
    // Richer: more chroma for its lightness.
    EXPECT_GT(std::hypot(oil.a, oil.b) / oil.l, std::hypot(dry.a, dry.b) / dry.l) << w.id;
    const auto age = [&](const char* id, double years) {
      const Clear& clear = *palette().clear(id);
      return difference_2000(d65().lab(cleared(bare, clear, 60, years)), d65().lab(cleared(bare, clear, 60, 0)));
    };
    EXPECT_EQ(age("alkyd", 0), 0);
    EXPECT_GT(age("alkyd", 10), age("alkyd", 2));
    EXPECT_GT(age("alkyd", 10), 3 * age("acrylic", 10)) << w.id;
  }
}

// Stain in bare wood and a glaze on the film: none is none, more is darker, a dye alone is Beer and Lambert.
TEST(Layers, StainAndGlaze) {
  const Spectrum bare = wood("maple_hard");
  const Colorant& dye = *palette().colorant("dye_brown");
  const Surface film = surface_of(1.5);
  for (std::size_t i = 0; i < kSamples; ++i) {
    EXPECT_NEAR(stained(bare, LayerSpectrum{})[i], bare[i], 1e-12);
    EXPECT_NEAR(with_layer(bare, LayerSpectrum{}, film)[i], bare[i], 1e-12);
  }
  double last = d65().lab(bare).l;
  for (const double g : {0.01, 0.03, 0.1, 0.3}) {
    const LayerSpectrum layer = layer_of({{&dye, g}});
    const Spectrum glazed = with_layer(bare, layer, film), soaked = stained(bare, layer);
    for (std::size_t i = 0; i < kSamples; ++i) {
      const double inside = internal_from_measured(bare[i], film) * std::exp(-2 * g * dye.k[i]);
      EXPECT_NEAR(glazed[i], measured_from_internal(inside, film), 1e-12);
      EXPECT_LE(soaked[i], bare[i] + 1e-12);
    }
    EXPECT_LT(d65().lab(soaked).l, last);
    last = d65().lab(soaked).l;
  }
}

TEST(Layers, GlossWords) {
  EXPECT_EQ(gloss_word(0), "dead matt");
  EXPECT_EQ(gloss_word(20), "satin");
  EXPECT_EQ(gloss_word(100), "high gloss");
  EXPECT_TRUE(gloss_of("satin").has_value());
  EXPECT_FALSE(gloss_of("shiny").has_value());
  const Spectrum r = Spectrum::flat(0.1);
  EXPECT_GT(d65().lab(seen_at_gloss(r, 5)).l, d65().lab(seen_at_gloss(r, 90)).l);
}

TEST(Hiding, PaintsLookAsAsked) {
  for (const char* css : {"lab(96 -1 3)", "lab(30 2 -20)", "lab(45 -15 10)", "lab(70 5 60)", "lab(40 45 25)",
                          "lab(25 0 0)", "lab(60 0 0)", "lab(80 -8 -10)"}) {
    const auto paint = paint_of(*parse_color(css), palette());
    ASSERT_TRUE(paint.has_value());
    EXPECT_LT(paint->de00, 2) << css;
    double share = 0;
    for (const Load& load : paint->pigments) share += load.g_m2 / load.colorant->paint_g_l;
    EXPECT_NEAR(share, 1, 0.01) << css;
  }
}

TEST(Hiding, CoatsUntilNothingGrinsThrough) {
  const Spectrum dark = *estimate_reflectance({35, 15, 20}, standard_viewer());
  const Paint white = *paint_of({95, 0, 2}, palette()), navy = *paint_of({25, 2, -20}, palette());
  const Hiding light_over_dark = hiding(dark, white, 100, d65()), dark_over_dark = hiding(dark, navy, 100, d65());
  EXPECT_GE(light_over_dark.needed, 2);  // common practice: white over dark wood takes two to four
  EXPECT_LE(light_over_dark.needed, 4);
  EXPECT_LE(dark_over_dark.needed, 2);
  for (const Hiding& h : {light_over_dark, dark_over_dark})
    for (std::size_t i = 1; i < h.coats.size(); ++i) {
      EXPECT_LE(h.coats[i].de00, h.coats[i - 1].de00 + 1e-9);
      EXPECT_GE(h.coats[i].contrast_ratio, h.coats[i - 1].contrast_ratio - 1e-9);
    }
  // Over its own colour any paint hides at once.
  EXPECT_EQ(hiding(opaque_look(white), white, 100, d65()).needed, 1);
  // A label's contrast ratio is met.
  const auto label = with_contrast_ratio(white, 120, 0.98, d65());
  ASSERT_TRUE(label.has_value());
  EXPECT_NEAR(hiding(dark, *label, 120, d65()).coats[0].contrast_ratio, 0.98, 1e-6);
  EXPECT_FALSE(with_contrast_ratio(white, 120, 2, d65()).has_value());
}

}  // namespace
}  // namespace tackcloth::color
