// One edge seen as a piece of a line or of a circle, walked by a parameter 0..1 along its length.
#pragma once

#include <vector>

#include "shape/shape.h"

namespace tackcloth::shape {

struct Segment {
  Point from, to;
  double bulge = 0;
  Point center;           // arcs only
  double radius = 0;      // 0: straight
  double from_angle = 0;  // radians
  double sweep = 0;       // radians, signed, counter-clockwise positive; sweep = 4 atan(bulge)

  bool straight() const { return radius == 0; }
  Point at(double t) const;
  double length() const;
  // Parameter of the point of this segment nearest to `p`, and how far it is.
  double nearest(Point p, double& distance_mm) const;
};

Segment segment(Point from, Point to, double bulge);
std::vector<Segment> segments(const Outline& outline);

// Parameters on `a` at which it meets `b`: crossings, touches and the ends of shared stretches.
std::vector<double> meetings(const Segment& a, const Segment& b);

double distance(Point a, Point b);

}  // namespace tackcloth::shape
