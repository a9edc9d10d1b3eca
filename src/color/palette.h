// Colourants, clears and woods, read from catalog/color/*.toml. Everything in it is a model or from memory: `mark`
// says.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "color/space.h"
#include "color/spectrum.h"
#include "units/result.h"

namespace tackcloth::color {

struct Colorant {
  std::string id, name, mark;
  bool dye = false;
  Spectrum k, s;           // Kubelka-Munk, m2/g: times g/m2 they are the K X and S X of a layer
  double most_g_l = 0;     // in a clear
  double paint_g_l = 0;    // in a full paint; 0: not for paint
  double paste_share = 1;  // colourant by mass in the concentrate
  double paste_g_ml = 1;
  double g_per_drop() const;  // of colourant
};

struct Clear {
  std::string id, name, mark;
  double index = 1.5;
  double wets = 0;  // share of the air-to-wood boundaries near the surface that it fills
  double amber_new = 0, amber_old = 0, amber_years = 10;
  double coat_um = 25;  // dry
};

struct Wood {
  std::string id, mark;
  Lab bare;  // D50
};

struct Palette {
  std::vector<Colorant> colorants;
  std::vector<Clear> clears;
  std::vector<Wood> woods;

  const Colorant* colorant(std::string_view id) const;  // nullptr when unknown
  const Clear* clear(std::string_view id) const;
  const Wood* wood(std::string_view id) const;
};

// `catalog_dir`/color/colorants.toml, clears.toml and woods.toml; all mistakes at once.
Results<Palette> load_palette(const std::string& catalog_dir);

// Markdown of every entry and its mark, to follow the catalogue's own list.
std::string sources_markdown(const Palette& palette);

// A drop from a dropper or a small bottle: 20 to the millilitre (common practice, no source).
inline constexpr double kDropMl = 0.05;

}  // namespace tackcloth::color
