// The days of a piece at a glance: a dab for each time hands are on it, and after it the film thinning out as it dries.
#pragma once

#include "sheet/canvas.h"

namespace tackcloth::sheet {

inline constexpr double kStripHeight = 66;

void draw_strip(const Canvas& canvas, const plan::PlannedPiece& piece, double x, double y, double width);

}  // namespace tackcloth::sheet
