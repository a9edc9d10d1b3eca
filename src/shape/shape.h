// Planar shapes with straight and circular edges, in millimetres. Areas and lengths of arcs are exact (closed form).
#pragma once

#include <vector>

#include "units/result.h"

namespace tackcloth::shape {

struct Point {
  double x = 0, y = 0;
};

// An edge from the previous vertex to `to`. `bulge` = tan(sweep / 4), positive when it bows to the right of travel
// (counter-clockwise arcs have positive bulge); 0 is straight.
struct Edge {
  Point to;
  double bulge = 0;
};

// A closed outline: the last edge ends where the first starts. Counter-clockwise outlines enclose positive area.
struct Outline {
  std::vector<Edge> edges;
};

// Disjoint outlines with holes: outer boundaries counter-clockwise, holes clockwise.
struct Region {
  std::vector<Outline> outlines;
};

double area_mm2(const Outline& outline);             // signed
double area_mm2(const Region& region);
double length_mm(const Outline& outline);
double length_mm(const Region& region);              // all boundaries: what has to be taped

Region rectangle(Point corner, double width_mm, double height_mm);
Region circle(Point center, double radius_mm);
// Half circle on the base line through `center`, opening upwards (+y) or downwards.
Region half_circle(Point center, double radius_mm, bool upwards);
// Arch: rectangle `width` x `spring_mm` with a circular segment of rise `rise_mm` above it; left bottom at `corner`.
Result<Region> arch(Point corner, double width_mm, double spring_mm, double rise_mm);
Result<Region> polygon(const std::vector<Point>& points);   // refuses crossing edges and fewer than three points

// Radius of an arc from chord and rise: r = c^2 / (8 h) + h / 2 (intersecting chords, Euclid III.35).
double arc_radius_mm(double chord_mm, double rise_mm);
// Circle through three points; a Problem when they are in line.
struct Circle {
  Point center;
  double radius_mm;
};
Result<Circle> circle_through(Point a, Point b, Point c);

// Boolean operations. Where nothing curved is cut the result is exact; a cut arc is flattened to `tolerance_mm`.
Region intersect(const Region& a, const Region& b, double tolerance_mm = 0.01);
Region unite(const Region& a, const Region& b, double tolerance_mm = 0.01);
Region subtract(const Region& a, const Region& b, double tolerance_mm = 0.01);
Region offset(const Region& region, double by_mm, double tolerance_mm = 0.01);
bool contains(const Region& region, Point point);
// Length of the part of `a`'s boundary that runs strictly inside `face`: the tape line between two zones.
double inner_boundary_mm(const Region& zone, const Region& face);
std::vector<Point> flatten(const Outline& outline, double tolerance_mm);

// Surfaces of revolution about the axis r = 0: profile of (z, r) points joined by straight lines or arcs.
// Pappus: area = 2 pi * integral of r ds, closed form for both.
struct ProfileEdge {
  double z = 0, r = 0;
  double bulge = 0;
};
Result<double> revolution_area_mm2(double z0, double r0, const std::vector<ProfileEdge>& profile);
// The same for the part of the surface with `low_z` <= z <= `high_z`: a painted band or a dipped tip.
Result<double> revolution_area_between_mm2(double z0, double r0, const std::vector<ProfileEdge>& profile, double low_z,
                                           double high_z);
// Largest radius of the profile at height `z`; 0 where it does not reach.
double profile_radius_mm(double z0, double r0, const std::vector<ProfileEdge>& profile, double z);
double cone_frustum_area_mm2(double r1_mm, double r2_mm, double height_mm);   // lateral

}  // namespace tackcloth::shape
