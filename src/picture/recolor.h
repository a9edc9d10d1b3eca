// A zone of a photo in another colour, under the light that is in the photo. The method, its sources and what it takes
// for granted are in docs/picture.md.
//
// What is seen of a painted surface is body + gloss (dichromatic reflection, Shafer 1985): light x shading x albedo,
// and the light itself thrown back by the clear surface. The zone is split into these, the albedo is changed, and the
// two are put together again. All of it in linear light.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "color/space.h"
#include "picture/image.h"
#include "units/result.h"

namespace tackcloth::picture {

// What is on the zone now.
enum class Present {
  paint,       // one colour all over
  clear_wood,  // bare or under a clear coat: the grain is colour, and goes under paint
};

// How the surface there now mirrors the room. A dull surface scatters what it mirrors, and a meter that includes it
// (ISO 7724-2, specular included) counts it into the colour; a glossy one adds the room on top.
enum class Sheen { unknown, matt, satin, gloss };

struct Options {
  Present present = Present::paint;
  // The colour there now, as a meter or chart gives it (Lab D50; of wood, its mean). Without it the strength of the
  // light is a guess from the whole picture (see Zone::light_guessed).
  std::optional<color::Lab> from;
  Sheen sheen = Sheen::unknown;
  int threads = 2;
};

struct Cloth;  // fabric.h

enum class Surface {
  paint,  // opaque, `to` all over
  clear,  // a clear coat on what is there: each channel's body times `gain`
  cloth,  // `cloth` laid over the zone, dull
  metal,  // no body: `to` is the tint of what it throws back, fed by the zone's shading and gloss
};

struct Wanted {
  Surface surface = Surface::paint;
  color::Lab to;                        // albedo, Lab D50: as measured, not as it looks in this light
  std::array<double, 3> gain{1, 1, 1};  // linear sRGB, Surface::clear only
  const Cloth* cloth = nullptr;         // Surface::cloth only; outlives the call
};

// A zone split into albedo, light and shading: plain numbers, enough to paint the zone again in a shader. The formula,
// term by term, is in docs/picture.md ("The same in a shader"); split.h is its code.
struct Zone {
  color::LinearRgb albedo_now;  // a
  bool light_guessed = false;   // no `from`: the light's strength, and with it albedo_now, rests on an assumption
  bool clear_wood = false;
  std::array<float, 3> to_shading{}, to_gloss{};
  float gloss_by_color = 0;  // 0 the paint is grey: gloss told by brightness only .. 1 told by colour
  float shrink = 0;
  std::array<float, 3> veil{};  // the room mirrored in a dark grey surface, the same all over
  std::array<float, 3> log_weights{};
  float log_albedo = 0;

  // Grid points sit at the middles of the pixels of the picture shrunk to grid_width x grid_height.
  struct Cell {
    std::array<float, 3> light{1, 1, 1};
    float ceiling = 0;            // brightest shading of the body near here
    float slope = 1, offset = 0;  // clear wood: shading = slope * (log signal) + offset
  };
  int grid_width = 0, grid_height = 0;
  std::vector<Cell> grid;
};

// A Problem when the mask is of another size or covers next to nothing.
Result<Zone> separate(const Image& image, const Mask& mask, const Options& options);
// The zone as wanted; outside of the mask every byte stays. The image and mask may be smaller than those `zone` was
// made from (a preview).
Image repaint(const Image& image, const Mask& mask, const Zone& zone, const Wanted& wanted, int threads = 2);
// Both in one.
Result<Image> recolor(const Image& image, const Mask& mask, const Wanted& wanted, const Options& options = {});

// The simple way, for comparison only: hue and chroma of every pixel replaced, its lightness kept (CIE LCh of D50).
Image hue_swap(const Image& image, const Mask& mask, color::Lab to);

}  // namespace tackcloth::picture
