// Quadrilaterals of like size that stand in rows and columns. Internal to the search for a chart.
#pragma once

#include <vector>

#include "picture/perspective.h"
#include "picture/quads.h"

namespace tackcloth::picture {

struct Lattice {
  struct Square {
    int i = 0, j = 0;  // to the right and down, in a frame that is turned as it happens but never mirrored
    shape::Point middle;
    double area = 0;
  };
  std::vector<Square> squares;
  Homography to_picture;  // (i, j) -> middle
  double rms = 0;         // of the middles from it, in cells
};

// Those of at least `least` squares.
std::vector<Lattice> lattices(const std::vector<Quad>& quads, std::size_t least);

}  // namespace tackcloth::picture
