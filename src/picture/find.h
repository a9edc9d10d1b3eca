// A chart of 24 patches or a grey card found in a photo by itself. What is not surely one is not found: a wrong chart
// spoils every colour, and tapping its corners takes a moment. The method is in docs/picture.md.
#pragma once

#include <string>
#include <vector>

#include "color/space.h"
#include "picture/perspective.h"

namespace tackcloth::picture {

struct Found {
  // In pixels of the photo. Of a chart: of its 6 x 4 cells (half a gap outside of the patches), from the first patch's
  // corner; of a card: clockwise from the corner nearest to the photo's top left.
  Corners corners;
  double confidence = 0;      // 0 to 1; to tell candidates apart, not a probability
  double fit_error = 0;       // chart: rms of the squares' middles from the lattice, in cells; card: share not plain
  double color_error = 0;     // chart: mean dE00 left with the table, without one the neutral row's rms cast
  int squares = 0;            // of a chart's 24, how many are seen as squares of their own
  std::vector<int> left_out;  // patches (1 to 24) that are covered, overexposed or out of their colour
  struct Other {
    Corners corners;
    double confidence = 0;
  };
  std::vector<Other> others;  // further candidates, surest first
};

// `reference`: the chart's 24 colours, which then tell which way round it lies. Without them (empty) it is told by the
// neutral row: six patches of falling lightness, lightest first, as the last row (common practice, no source). Refused:
// a mirrored picture, more than six patches covered, patches below about 8 pixels.
Result<Found> find_chart(const Image& photo, const std::vector<color::Lab>& reference);

// A large plain quadrilateral of middling brightness, nearly neutral in the picture's light, that stands alone: unlike
// what is beside it on all four sides, and with no second one like it (drawer fronts, tiles). A grey door may still
// pass for one; so where it was found is to be shown.
Result<Found> find_grey_card(const Image& photo);

}  // namespace tackcloth::picture
