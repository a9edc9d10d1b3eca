// A zone from a few taps: how far each place is from the taps, walking along like colours.
#pragma once

#include <vector>

#include "picture/image.h"
#include "shape/shape.h"
#include "units/result.h"

namespace tackcloth::picture {

struct Taps {
  std::vector<shape::Point> on;  // in the zone, in pixels of the photo
  std::vector<shape::Point>
      off;  // not in it; may be empty: the border of the photo counts too, where it looks otherwise
};

// Every pixel goes to the tap it is nearest to by geodesic distance (the least sum of colour steps along any path;
// Criminisi, Sharp and Blake 2008), where a step costs more when colour changes than when only the light does, and
// colour unlike that of all `on` taps costs too. The edge is soft over about a pixel. Worked out on the picture shrunk
// to 640 pixels, then the rim is settled on the full picture. A Problem when no tap is given or one lies outside.
Result<Mask> pick_zone(const Image& image, const Taps& taps);

// A round brush along a stroke: what it covers becomes zone, or not zone. Soft over one pixel at its rim.
void brush(Mask& mask, const std::vector<shape::Point>& stroke, double radius_px, bool add);

// Overlap of two zones: shared cover over joint cover, 0..1.
double overlap(const Mask& a, const Mask& b);

}  // namespace tackcloth::picture
