// Where a dragged point comes to rest: on lines and corners of the face and of its other zones, or on the rule's marks.
#pragma once

#include <string>
#include <vector>

#include "shape/shape.h"

namespace tackcloth::shape {

struct SnapZone {
  std::string name;  // as it is called to people
  Region region;
};

struct SnapOptions {
  double reach_mm = 8;                  // how near a line has to be; 0: only the grid
  double grid_mm = 5;                   // from the left bottom corner of the face; 0: none
  std::string grid_name = "grid 5 mm";  // "grid 1/4 in"
  // What the shape that is being drawn keeps free on its other sides: a line as far from any edge of the face holds.
  std::vector<double> margins_mm = {};
};

struct Snap {
  Point to;
  // What holds it, for each direction: "centre line", "third", "edge of the face", "equal margin", "corner of the
  // face", "corner of zone sun", "line of zone sun", "in line with zone sun", "grid 5 mm"; empty where it is free.
  std::string x_why, y_why;
};

// The nearest of: a corner; a slanted or curved line (and on it, where it crosses an upright or level one in reach);
// the nearest upright and the nearest level line, each by itself. At the same distance a corner goes before a line, and
// the order is: centre line, third, edge of the face, equal margin, line of a zone, in line with a zone; then the lower
// place. A
// direction nothing holds falls on the grid. A point that is not a number, or is out of reach of any bench, stays as it
// is.
Snap snap(Point point, const Region& face, const std::vector<SnapZone>& others, const SnapOptions& options);

}  // namespace tackcloth::shape
