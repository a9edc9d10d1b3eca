#include "shape/draw.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "shape/arc.h"
#include "shape/simple.h"

namespace tackcloth::shape {

namespace {

constexpr double kMostMm = 30000;  // nothing on a bench is longer
constexpr double kLeastMm2 = 1e-6;
constexpr double kQuarter = std::numbers::sqrt2 - 1;  // bulge of a quarter circle: tan(90 degrees / 4)

auto bad(std::string what, std::string expected, std::string remedy) {
  return tl::unexpected(Problem{"", 0, 0, std::move(what), std::move(expected), std::move(remedy)});
}

// NaN and what is out of reach are refused alike.
bool size(double mm) { return mm > 0 && mm <= kMostMm; }
bool place(Point p) { return std::abs(p.x) <= kMostMm && std::abs(p.y) <= kMostMm; }

std::string mm(double length) { return std::to_string(std::lround(length)) + " mm"; }

void grow(Box& box, Point p) {
  box.left = std::min(box.left, p.x);
  box.right = std::max(box.right, p.x);
  box.bottom = std::min(box.bottom, p.y);
  box.top = std::max(box.top, p.y);
}

Region turned_over(const Region& region, bool x, bool y, Point center) {
  const auto to = [&](Point p) { return Point{x ? 2 * center.x - p.x : p.x, y ? 2 * center.y - p.y : p.y}; };
  Region turned;
  for (const Outline& outline : region.outlines) {
    std::vector<Edge> edges = outline.edges;
    for (Edge& edge : edges) edge = {to(edge.to), x != y ? -edge.bulge : edge.bulge};
    turned.outlines.push_back({std::move(edges)});
    if (x != y) turned.outlines.back() = reversed(turned.outlines.back());
  }
  return turned;
}

}  // namespace

Box bounds(const Region& region) {
  constexpr double kFar = std::numeric_limits<double>::infinity();
  Box box{kFar, kFar, -kFar, -kFar};
  for (const Outline& outline : region.outlines)
    for (const Segment& s : segments(outline)) {
      grow(box, s.to);
      if (s.straight()) continue;
      for (const Point side : {Point{1, 0}, Point{0, 1}, Point{-1, 0}, Point{0, -1}}) {
        const Point p{s.center.x + s.radius * side.x, s.center.y + s.radius * side.y};
        double away = 0;
        s.nearest(p, away);
        if (away < 1e-9 * (1 + s.radius)) grow(box, p);
      }
    }
  return box.left <= box.right ? box : Box{};
}

Result<Region> rounded_rectangle(Point corner, double width_mm, double height_mm, double corner_radius_mm) {
  if (!size(width_mm) || !size(height_mm) || !place(corner) || !(corner_radius_mm >= 0))
    return bad("a rectangle needs a width and a height",
               "both above 0 and up to 30 m, and a corner radius of 0 or more", "measure both sides");
  const double most = std::min(width_mm, height_mm) / 2;
  if (corner_radius_mm > most * (1 + 1e-9))
    return bad("the corner radius is more than half the shorter side", "a corner radius up to " + mm(most),
               "make the radius smaller, or the rectangle larger");
  const double r = std::min(corner_radius_mm, most);
  if (r == 0) return rectangle(corner, width_mm, height_mm);
  const double left = corner.x, right = left + width_mm, bottom = corner.y, top = bottom + height_mm;
  const bool wide = width_mm > 2 * r, high = height_mm > 2 * r;  // else two quarters meet
  Outline round;
  if (wide) round.edges.push_back({{right - r, bottom}});
  round.edges.push_back({{right, bottom + r}, kQuarter});
  if (high) round.edges.push_back({{right, top - r}});
  round.edges.push_back({{right - r, top}, kQuarter});
  if (wide) round.edges.push_back({{left + r, top}});
  round.edges.push_back({{left, top - r}, kQuarter});
  if (high) round.edges.push_back({{left, bottom + r}});
  round.edges.push_back({{left + r, bottom}, kQuarter});
  return Region{{round}};
}

Result<Region> stripe(const Region& face, Point on, double angle_deg, double width_mm) {
  if (!size(width_mm) || !place(on) || !std::isfinite(angle_deg))
    return bad("a stripe needs a point, an angle and a width", "a width above 0, and a point within 30 m",
               "measure where the middle of the stripe runs, and how wide it is");
  const double angle = std::fmod(angle_deg, 180) * std::numbers::pi / 180;
  const Box box = bounds(face);
  const double reach = std::hypot(box.width(), box.height()) + distance(on, box.center()) + width_mm + 1;
  // A level or upright stripe keeps its digits.
  const double c = std::fmod(angle_deg, 180) == 0 ? 1 : std::abs(std::fmod(angle_deg, 180)) == 90 ? 0 : std::cos(angle);
  const double s = c == 1 ? 0 : c == 0 ? 1 : std::sin(angle);
  const auto at = [&](double along, double across) {
    return Point{on.x + along * c - across * s, on.y + along * s + across * c};
  };
  const Region strip{{{{{at(reach, -width_mm / 2)},
                        {at(reach, width_mm / 2)},
                        {at(-reach, width_mm / 2)},
                        {at(-reach, -width_mm / 2)}}}}};
  Region cut = intersect(face, strip);
  if (!(area_mm2(cut) > kLeastMm2))
    return bad("the stripe does not cross the face",
               "a line that crosses the " + mm(box.width()) + " x " + mm(box.height()) + " of the face",
               "measure its points from the left bottom corner of the face");
  return cut;
}

Result<Region> border(const Region& face, double from_edge_mm, double width_mm) {
  if (!size(width_mm) || !(from_edge_mm >= 0) || !(from_edge_mm <= kMostMm))
    return bad("a border needs a width", "a width above 0, and a distance from the edge of 0 or more",
               "measure how wide the border is");
  Region outer;
  for (const Outline& line : face.outlines)
    if (area_mm2(line) > 0) outer.outlines.push_back(line);
  const Region start = from_edge_mm > 0 ? offset(outer, -from_edge_mm) : outer;
  Region end = offset(outer, -from_edge_mm - width_mm);
  const Box box = bounds(face);
  if (!(area_mm2(end) > kLeastMm2))
    return bad("the border closes in the middle of the face",
               "less than " + mm(std::min(box.width(), box.height()) / 2) + " from the edge to its inner line",
               "make it narrower or start nearer to the edge, or take form = \"whole\"");
  Region ring = start;
  for (Outline& line : end.outlines) ring.outlines.push_back(reversed(line));
  return face.outlines.size() > outer.outlines.size() ? intersect(ring, face) : ring;
}

Region mirrored(const Region& region, Mirror about, Point center) {
  if (about == Mirror::none) return region;
  return turned_over(region, about != Mirror::up_down, about != Mirror::left_right, center);
}

Region symmetric(const Region& region, Mirror about, Point center) {
  Region all = region;
  if (about == Mirror::left_right || about == Mirror::both) all = unite(all, mirrored(all, Mirror::left_right, center));
  if (about == Mirror::up_down || about == Mirror::both) all = unite(all, mirrored(all, Mirror::up_down, center));
  return all;
}

Result<Region> curved_polygon(const std::vector<Corner>& corners) {
  const std::size_t n = corners.size();
  const bool lens = n == 2 && corners[0].rise_mm != 0 && corners[1].rise_mm != 0;
  if ((n < 3 && !lens) || n > 2000)
    return bad("an outline with " + std::to_string(n) + " corners", "3 to 2000 corners, or 2 with an arc on both sides",
               "give every corner once, in order around the shape");
  Outline line;
  for (const Corner& corner : corners) {
    if (!place(corner.at) || !std::isfinite(corner.rise_mm))
      return bad("a corner of the outline is no place on a bench", "numbers within 30 m", "check the corners");
    line.edges.push_back({corner.at});
  }
  // Outwards is to the right of travel when the corners run counter-clockwise.
  const double way = area_mm2(line) < 0 ? -1 : 1;
  const std::vector<Segment> chords = segments(line);
  for (std::size_t i = 0; i < n; ++i) {
    const double chord = distance(chords[i].from, chords[i].to), rise = corners[i].rise_mm;
    if (chord < 1e-6)
      return bad("two corners of the outline are the same point", "every corner once",
                 "leave the closing corner out: the last is joined to the first");
    if (std::abs(rise) > chord / 2 * (1 + 1e-9))
      return bad("the arc to corner " + std::to_string(i + 1) + " rises more than half its side",
                 "a rise up to " + mm(chord / 2), "put another corner into the arc");
    line.edges[i].bulge = way * 2 * rise / chord;
  }
  if (const auto good = simple(line); !good) return tl::unexpected(good.error());
  if (area_mm2(line) < 0) line = reversed(line);
  if (!(area_mm2(line) > kLeastMm2))
    return bad("the outline has no area", "corners that are not in one line", "check the corners");
  return Region{{line}};
}

Result<Region> fit_half_circle(double face_width_mm, double face_height_mm, double margin_mm, bool upwards) {
  if (!size(face_width_mm) || !size(face_height_mm) || !(margin_mm >= 0))
    return bad("there is no face to fit a half circle into", "a width and a height above 0, and a margin of 0 or more",
               "measure the face");
  const double radius = std::min(face_width_mm / 2, face_height_mm) - margin_mm;
  if (!(radius >= 0.1))
    return bad("the margin leaves no room for a half circle",
               "a margin under " + mm(std::min(face_width_mm / 2, face_height_mm)), "make the margin smaller");
  return half_circle({face_width_mm / 2, upwards ? 0 : face_height_mm}, radius, upwards);
}

Result<Region> fit_arch(double face_width_mm, double face_height_mm, double margin_mm, double radius_mm) {
  if (!size(face_width_mm) || !size(face_height_mm) || !(margin_mm >= 0) || !(radius_mm >= 0))
    return bad("there is no face to fit an arch into",
               "a width and a height above 0, a margin and a radius of 0 or more", "measure the face");
  const double width = face_width_mm - 2 * margin_mm, height = face_height_mm - margin_mm;
  if (!(width >= 0.1) || !(height >= 0.1))
    return bad("the margin leaves no room for an arch",
               "a margin under " + mm(std::min(face_width_mm / 2, face_height_mm)), "make the margin smaller");
  // A low face cannot take a half circle of the full width: the flattest arc that springs from its bottom edge.
  double rise = std::min(width / 2, height);
  if (radius_mm > 0) {
    const auto given = rise_of_radius_mm(width, radius_mm);
    if (!given) return tl::unexpected(given.error());
    if (*given > height * (1 + 1e-9))
      return bad("an arc of this radius stands higher than the face", "a rise up to " + mm(height),
                 "take a larger radius");
    rise = std::min(*given, height);
  }
  return arch({margin_mm, 0}, width, height - rise, rise);
}

Result<double> rise_of_radius_mm(double chord_mm, double radius_mm, bool greater) {
  if (!size(chord_mm) || !(radius_mm > 0) || !std::isfinite(radius_mm))
    return bad("an arc needs a chord and a radius", "both above 0, the chord up to 30 m", "measure them");
  if (radius_mm < chord_mm / 2 * (1 - 1e-9))
    return bad("the radius is less than half the chord", "a radius of " + mm(chord_mm / 2) + " or more",
               "half the chord is a half circle: no smaller circle reaches both ends");
  const double half = chord_mm / 2, to_center = std::sqrt(std::max(0.0, (radius_mm - half) * (radius_mm + half)));
  // r - d without losing the digits of a flat arc: (r² - d²) / (r + d).
  return greater ? radius_mm + to_center : half * half / (radius_mm + to_center);
}

Result<Region> arch_of_radius(Point corner, double width_mm, double spring_mm, double radius_mm) {
  const auto rise = rise_of_radius_mm(width_mm, radius_mm);
  if (!rise) return tl::unexpected(rise.error());
  return arch(corner, width_mm, spring_mm, *rise);
}

Result<Arc> arc_by_rise(double chord_mm, double rise_mm) {
  if (!size(chord_mm) || !size(rise_mm))
    return bad("an arc needs a chord and a rise", "both above 0 and up to 30 m",
               "measure from end to end, and from the middle of that line up to the arc");
  // Walked from right to left it bows up with a positive bulge; told from left to right it is the same arc.
  const Segment s = segment({0, 0}, {chord_mm, 0}, -2 * rise_mm / chord_mm);
  const double radius = arc_radius_mm(chord_mm, rise_mm);
  return Arc{s.from, s.to,       {chord_mm / 2, rise_mm - radius},          s.bulge, chord_mm, rise_mm,
             radius, s.length(), std::abs(s.sweep) * 180 / std::numbers::pi};
}

Result<Arc> arc_by_radius(double chord_mm, double radius_mm, bool greater) {
  const auto rise = rise_of_radius_mm(chord_mm, radius_mm, greater);
  if (!rise) return tl::unexpected(rise.error());
  return arc_by_rise(chord_mm, *rise);
}

Result<Arc> arc_through(Point a, Point b, Point c) {
  if (!place(a) || !place(b) || !place(c)) return bad("a point is out of reach", "points within 30 m", "check them");
  const auto circle = circle_through(a, b, c);
  if (!circle) return tl::unexpected(circle.error());
  const auto angle = [&](Point p) { return std::atan2(p.y - circle->center.y, p.x - circle->center.x); };
  // Counter-clockwise about the centre when the middle point lies to the right of the chord.
  const double side = (c.x - a.x) * (b.y - a.y) - (c.y - a.y) * (b.x - a.x);
  double sweep = std::fmod(angle(c) - angle(a) + 4 * std::numbers::pi, 2 * std::numbers::pi);
  if (side > 0) sweep -= 2 * std::numbers::pi;
  const double chord = distance(a, c), bulge = std::tan(sweep / 4);
  return Arc{a,
             c,
             circle->center,
             bulge,
             chord,
             std::abs(bulge) * chord / 2,
             circle->radius_mm,
             std::abs(sweep) * circle->radius_mm,
             std::abs(sweep) * 180 / std::numbers::pi};
}

std::vector<double> arc_heights_mm(const Arc& arc, int parts) {
  std::vector<double> heights;
  if (parts < 1 || parts > 1000 || arc.rise_mm > arc.chord_mm / 2 * (1 + 1e-9)) return heights;
  const double half = arc.chord_mm / 2;
  for (int i = 0; i <= parts; ++i) {
    const double x = arc.chord_mm * i / parts - half, r = arc.radius_mm;
    const double d = r - arc.rise_mm;  // centre to chord
    // sqrt(r² - x²) - d = (half² - x²) / (sqrt(r² - x²) + d), which keeps the digits of a flat arc.
    const double root = std::sqrt(std::max(0.0, (r - x) * (r + x)));
    heights.push_back(root + d > 0 ? (half - x) * (half + x) / (root + d) : 0);
  }
  return heights;
}

}  // namespace tackcloth::shape
