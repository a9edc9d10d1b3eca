// A flat face seen at a slant: what is measured on it in millimetres, and where that is in the photo. Lens distortion
// is not modelled.
#pragma once

#include <array>

#include "picture/image.h"
#include "shape/shape.h"
#include "units/result.h"

namespace tackcloth::picture {

// Maps (x, y, 1) to homogeneous coordinates; row by row, scaled so that the last entry is 1 where it can be.
struct Homography {
  std::array<double, 9> h{1, 0, 0, 0, 1, 0, 0, 0, 1};

  // Undefined on the horizon; see `depth`.
  shape::Point map(shape::Point p) const;
  // The third homogeneous coordinate: positive on the side of the horizon on which the face lies.
  double depth(shape::Point p) const { return h[6] * p.x + h[7] * p.y + h[8]; }
};

using Corners = std::array<shape::Point, 4>;  // in order around: top left, top right, bottom right, bottom left

// The homography that takes `from` to `to` exactly: direct linear transform with the points normalised (Hartley and
// Zisserman 2004, algorithm 4.2), four points.
Result<Homography> homography(const Corners& from, const Corners& to);
// Least squares over four or more matches, the same way.
Result<Homography> homography(const std::vector<shape::Point>& from, const std::vector<shape::Point>& to);
Result<Homography> inverse(const Homography& homography);

// A face of width x height mm. Face coordinates: x to the right, y up, the origin at its bottom left corner.
struct Face {
  double width_mm = 0, height_mm = 0;
  Homography to_photo;    // mm -> pixels (the middle of the top left pixel is 0.5, 0.5)
  Homography from_photo;  // pixels -> mm
};

// From the four corners as they are tapped in the photo. A Problem when they cross, lie nearly in line, do not go
// around clockwise as seen, or the size is not that of a piece of furniture (5 mm to 10 m).
Result<Face> face_from_corners(const Corners& photo, double width_mm, double height_mm);

// The face seen straight on, `pixels_per_mm` fine, by bilinear samples of linear light (means where the photo is
// finer).
Result<Image> flatten_face(const Image& photo, const Face& face, double pixels_per_mm);

// A zone drawn on the face in mm, as soft cover of the photo's pixels: each pixel by 4 rows and exact spans along them.
Mask zone_on_photo(const shape::Region& zone, const Face& face, int width, int height);
// The same for outlines already in pixels; overlapping outlines count by the even-odd rule.
Mask cover_of(const std::vector<std::vector<shape::Point>>& outlines, int width, int height);

}  // namespace tackcloth::picture
