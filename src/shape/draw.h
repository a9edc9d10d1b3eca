// Shapes as they are laid out at the bench: corners, stripes, borders, symmetry, arcs. Millimetres and degrees; what is
// drawn keeps true arcs. Errors say what does not fit and how to mend it.
#pragma once

#include <string>
#include <vector>

#include "shape/shape.h"

namespace tackcloth::shape {

struct Box {
  double left = 0, bottom = 0, right = 0, top = 0;
  double width() const { return right - left; }
  double height() const { return top - bottom; }
  Point center() const { return {(left + right) / 2, (bottom + top) / 2}; }
};
// The smallest upright rectangle around a region, arcs included; all zero for an empty one.
Box bounds(const Region& region);

// A rectangle with a quarter circle in each corner. A radius of 0 leaves the corners square.
Result<Region> rounded_rectangle(Point corner, double width_mm, double height_mm, double corner_radius_mm);

// A strip of `width_mm` on both sides of the straight line through `on`, `angle_deg` counter-clockwise from level, from
// edge to edge of `face`. A frame's opening is left out.
Result<Region> stripe(const Region& face, Point on, double angle_deg, double width_mm);

// The ring between `from_edge_mm` and `from_edge_mm + width_mm` inside the outer edge of `face`; openings are left out.
Result<Region> border(const Region& face, double from_edge_mm, double width_mm);

enum class Mirror { none, left_right, up_down, both };
// `region` turned over about the upright line through x (left_right), the level line through y (up_down), or both.
Region mirrored(const Region& region, Mirror about, Point center);
// `region` and its mirror images as one.
Region symmetric(const Region& region, Mirror about, Point center);

// A closed outline from its corners in order, either way round. `rise_mm` is that of the arc from the corner before to
// this one: positive outwards, negative for a hollow, 0 for a straight side, at most half the side. Two corners make a
// lens. Refuses sides that cross or touch.
struct Corner {
  Point at;
  double rise_mm = 0;
};
Result<Region> curved_polygon(const std::vector<Corner>& corners);

// The largest half circle that stands on the bottom edge of a face (or hangs from its top edge) and keeps `margin_mm`
// from the other three, on the face's centre line.
Result<Region> fit_half_circle(double face_width_mm, double face_height_mm, double margin_mm, bool upwards);
// The widest and highest arch on the bottom edge that keeps `margin_mm` from the other three, with an arc of
// `radius_mm`; 0: half the width, as far as the height lets it.
Result<Region> fit_arch(double face_width_mm, double face_height_mm, double margin_mm, double radius_mm = 0);

// Rise of the lesser arc of a radius over a chord: r - sqrt(r^2 - c^2 / 4) (Pythagoras); the greater one has 2 r less
// that.
Result<double> rise_of_radius_mm(double chord_mm, double radius_mm, bool greater = false);
// Arch whose arc is given by its radius instead of its rise.
Result<Region> arch_of_radius(Point corner, double width_mm, double spring_mm, double radius_mm);

// One arc, measured in every way a bench needs.
struct Arc {
  Point from, to, center;
  double bulge = 0;  // as in Edge
  double chord_mm = 0, rise_mm = 0, radius_mm = 0, length_mm = 0;
  double sweep_deg = 0;  // 0..360
};
// Laid out from (0, 0) to (chord, 0), bowing up.
Result<Arc> arc_by_rise(double chord_mm, double rise_mm);
Result<Arc> arc_by_radius(double chord_mm, double radius_mm, bool greater = false);
// From `a` by way of `b` to `c`.
Result<Arc> arc_through(Point a, Point b, Point c);
// Heights above the chord at `parts` + 1 places spaced evenly along it, for a batten bent by hand when the centre is
// out of reach. Empty for more than a half circle. y = sqrt(r^2 - x^2) - (r - h), x from the middle.
std::vector<double> arc_heights_mm(const Arc& arc, int parts);

}  // namespace tackcloth::shape
