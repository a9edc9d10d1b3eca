#include "color/tint_words.h"

#include <algorithm>
#include <cstdarg>
#include <cstdio>

namespace tackcloth::color {

namespace {

[[gnu::format(printf, 1, 2)]] std::string text(const char* format, ...) {
  char buffer[600];
  va_list arguments;
  va_start(arguments, format);
  std::vsnprintf(buffer, sizeof buffer, format, arguments);
  va_end(arguments);
  return buffer;
}

void add_warnings(TintRecipe& recipe) {
  const TintLook& one = recipe.first;
  auto& out = recipe.warnings;
  if (one.to.l > one.from.l + 1)
    out.push_back(
        text("The wanted colour is lighter by %.1f in L. A tint only takes light away: bleach, sand back or paint "
             "comes first.",
             one.to.l - one.from.l));
  if (recipe.parts.empty()) {
    if (one.de00_before < 1)
      out.push_back("The patch is already as near as the eye can tell: leave it.");
    else if (out.empty())
      out.push_back("No colourant allowed here brings it nearer.");
    return;
  }
  if (one.de00_after > 1)
    out.push_back(
        text("It will not match: %.1f (CIEDE2000) is left of %.1f. About 1 is where a trained eye begins to see it.",
             one.de00_after, one.de00_before));
  for (const TintPart& part : recipe.parts) {
    if (part.share_of_limit > 0.9)
      out.push_back(text("%s is at the limit of what the clear carries (%.2g g/l).", part.colorant->name.c_str(),
                         part.colorant->most_g_l));
    if (part.drops_per_l < 5)
      out.push_back(
          text("%s is under 5 drops a litre: thin its concentrate 1 to 10 with the clear's own thinner first.",
               part.colorant->name.c_str()));
  }
  if (recipe.second.de00_after > std::max(1.5, 2 * one.de00_after))
    out.push_back(text("It matches under %s but is off by %.1f under %s: judge it under the light it will live in.",
                       one.light.c_str(), recipe.second.de00_after, recipe.second.light.c_str()));
  if (recipe.cloud > 0.05)
    out.push_back(
        text("The pigment clouds the grain: the tinted coats alone show %.0f %% of white over black. A dye would not.",
             100 * recipe.cloud));
  if (recipe.per_film > 1)
    out.push_back(
        text("A film a fifth thicker or thinner moves the colour by %.1f: keep the coats even, thin ones first.",
             recipe.per_film));
  bool dye = false;
  for (const TintPart& part : recipe.parts) dye = dye || part.colorant->dye;
  if (dye)
    out.push_back(
        "Dyes fade in sunlight sooner than pigments: keep the piece out of the window, or use pigments only.");
}

void add_steps(TintRecipe& recipe, const TintQuestion& q) {
  auto& out = recipe.steps;
  out.push_back("Measure the patch again in three places under a dry coat of the same clear; use the mean.");
  if (!recipe.parts.empty()) {
    std::string mix = "Stir into 100 ml of " + q.clear->name + ":";
    for (const TintPart& part : recipe.parts) {
      const double drops = part.drops_per_l / 10;
      mix += drops < 2 ? text(" %.1f drops of %s thinned 1 to 10;", 10 * drops, part.colorant->name.c_str())
                       : text(" %.1f drops of %s;", drops, part.colorant->name.c_str());
    }
    mix.back() = '.';
    out.push_back(mix + " Only a concentrate made for that clear: others curdle or stay soft. Strain it.");
  }
  out.push_back(
      "Test board: the same wood, sanded and cleared the same way, the same number of coats. Let it dry, look at it "
      "beside "
      "the piece in daylight and under the lamp of the room, and measure it. Change the mix, not the piece.");
  if (!recipe.parts.empty()) {
    out.push_back(
        text("On the piece: %d thin coat%s of %.0f um wet, only where the colour is off, feathered out. "
             "Stop when it is right, even before the last coat.",
             recipe.coats, recipe.coats == 1 ? "" : "s", recipe.wet_um));
    out.push_back("Lock it in with one untinted coat before any sanding: sanding through the tint shows.");
  }
  out.push_back(
      "Air the room, wear gloves, keep flames away; lay oily rags flat or under water. The can's label wins.");
}

}  // namespace

void add_words(TintRecipe& recipe, const TintQuestion& question) {
  add_warnings(recipe);
  add_steps(recipe, question);
}

}  // namespace tackcloth::color
