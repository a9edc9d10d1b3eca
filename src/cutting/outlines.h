// Parts with outlines from files: a CSV of corners, or closed paths of an SVG drawing.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "cutting/order.h"

namespace tackcloth::cutting {

// RFC 4180: id,x,y[,rise][,hole][,quantity], a row a corner, lengths with their units. `rise` is that of the arc from
// the corner before (positive outwards); rows of one id with the same word in `hole` are one hole of it.
bool is_corner_table(std::string_view text);
Results<std::vector<Wanted>> outlines_from_csv(std::string_view text, const std::string& file);

// SVG 1.1: paths, rectangles, circles, ellipses and polygons, in the size that width, height and viewBox give (CSS: 96
// pixels an inch). The largest ring of a path is its outline, those in it are holes. What is under a transform, or not
// closed, is a problem and not guessed at. Curves are kept within 0.01 mm.
Results<std::vector<Wanted>> outlines_from_svg(std::string_view text, const std::string& file);

}  // namespace tackcloth::cutting
