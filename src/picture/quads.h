// Flat quadrilaterals in a picture: plain patches with an edge all around, as cards, tiles and the patches of a chart
// are. Internal to the search for them.
#pragma once

#include <array>
#include <vector>

#include "picture/image.h"
#include "shape/shape.h"

namespace tackcloth::picture {

struct Quad {
  std::array<shape::Point, 4> corners;  // clockwise as seen, in pixels of the picture searched
  shape::Point middle;                  // of the pixels
  double area = 0;                      // of the quadrilateral, square pixels
  double filled = 0;                    // share of it that is flat: 1 for a clean one
};

// Regions whose brightness changes by less than some step from pixel to pixel, for several steps, whose outline is
// nearly four straight lines. Each place is reported once, at the step at which it is most nearly a quadrilateral.
// `least_filled`: below it a region is no quadrilateral (a disc fills 0.79 of the square about it).
std::vector<Quad> flat_quads(const Image& image, double least_filled);

}  // namespace tackcloth::picture
