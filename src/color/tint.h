// Tint recipes: what to stir into a clear, and how much, to bring a patch of wood to a wanted colour.
#pragma once

#include <string>
#include <vector>

#include "color/layers.h"
#include "color/light.h"
#include "units/result.h"

namespace tackcloth::color {

struct TintQuestion {
  Spectrum from;  // the patch as it is, measured under a clear film with the specular light left out
  Spectrum to;    // the wanted look
  const Clear* clear = nullptr;
  double wet_um = 100;      // of one coat of the tinted clear
  int most_coats = 3;       // 1..6
  int most_parts = 3;       // 1..4
  double simpler_de = 0.3;  // a colourant is left out when the match gets no worse than this by it
  // Weight of `to`'s spectrum beside its look, 0 for a look only: 1 when `to` was measured as a spectrum.
  double spectral_weight = 0;
  std::vector<const Colorant*> colorants;  // allowed
};

struct TintPart {
  const Colorant* colorant = nullptr;
  double g_per_l = 0;      // of colourant in the clear
  double drops_per_l = 0;  // of its concentrate
  double share_of_limit = 0;
};

struct TintLook {
  std::string light;
  Lab from, to, predicted;  // under that light
  double de00_before = 0, de00_after = 0;
};

struct TintRecipe {
  std::vector<TintPart> parts;  // strongest first; empty when nothing helps
  int coats = 0;
  double wet_um = 0;
  TintLook first, second;
  Spectrum predicted;
  // CIEDE2000 by which the result moves when the patch was measured wrong by 1 in L, a or b (the larger of + and -),
  // and when the film comes out a fifth thicker or thinner.
  double per_l = 0, per_a = 0, per_b = 0, per_film = 0;
  // Light that the tinted coats throw back over an ideal black, as a share of that over an ideal white: grain is
  // clouded by it.
  double cloud = 0;
  std::vector<std::string> warnings, steps;  // the steps always hold a test board
};

// At most a few milliseconds. Fails when a question makes no sense (no clear, no colourants, numbers out of range).
Result<TintRecipe> tint(const TintQuestion& question, const Viewer& first, const Viewer& second);

}  // namespace tackcloth::color
