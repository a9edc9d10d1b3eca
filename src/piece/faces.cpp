#include "piece/faces.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tackcloth::piece {

namespace {

constexpr double kMostMm = 30000;  // a moulding run around a room; nothing on a bench is longer

Problem bad(const Part& part, std::string what, std::string expected, std::string remedy) {
  return {"", 0, 0, "part '" + part.id + "': " + std::move(what), std::move(expected), std::move(remedy)};
}

Face planar(std::string name, double width_mm, double height_mm, bool vertical) {
  Face face;
  face.name = std::move(name);
  face.width_mm = width_mm;
  face.height_mm = height_mm;
  face.vertical = vertical;
  face.region = shape::rectangle({0, 0}, width_mm, height_mm);
  face.area_m2 = width_mm * height_mm * 1e-6;
  return face;
}

Face shaped(std::string name, double area_mm2, bool vertical) {
  Face face;
  face.name = std::move(name);
  face.vertical = vertical;
  face.area_m2 = area_mm2 * 1e-6;
  return face;
}

bool round(const Part& part) { return part.top_diameter_mm > 0 || part.foot_diameter_mm > 0; }

double top_of(const Part& part) { return part.top_diameter_mm > 0 ? part.top_diameter_mm : part.foot_diameter_mm; }
double foot_of(const Part& part) { return part.foot_diameter_mm > 0 ? part.foot_diameter_mm : part.top_diameter_mm; }

// The leg's profile from its foot up, as (height, radius); empty for legs with flat sides.
std::vector<shape::ProfileEdge> from_foot(const Part& part) {
  std::vector<shape::ProfileEdge> up;
  if (part.kind == PartKind::turned_leg) {
    const double foot = part.profile.back().z;
    for (std::size_t i = part.profile.size(); i-- > 0;) {
      // The bulge belongs to the edge that ends in a point. Walked the other way along a mirrored axis it keeps its
      // sign: two mirror images.
      const double bulge = i + 1 < part.profile.size() ? part.profile[i + 1].bulge : 0;
      up.push_back({foot - part.profile[i].z, part.profile[i].r, bulge});
    }
  } else if (round(part) && !part.square) {
    up = {{0, foot_of(part) / 2, 0}, {part.height_mm, top_of(part) / 2, 0}};
  }
  return up;
}

double inside_area_mm2(const Part& part) {
  const double w = part.width_mm - 2 * part.wall_mm, d = part.depth_mm - 2 * part.wall_mm;
  if (part.kind == PartKind::drawer) {
    const double h = part.height_mm - part.wall_mm;
    return w * d + 2 * (w + d) * h;
  }
  // Floor, ceiling, two cheeks and the back; open in front.
  const double h = part.height_mm - 2 * part.wall_mm, deep = part.depth_mm - part.wall_mm;
  return 2 * w * deep + 2 * h * deep + w * h;
}

}  // namespace

bool is_leg(PartKind kind) {
  return kind == PartKind::straight_leg || kind == PartKind::tapered_leg || kind == PartKind::turned_leg;
}

std::vector<std::string> face_names(PartKind kind) {
  switch (kind) {
    case PartKind::box:
      return {"front", "back", "left", "right", "top", "bottom", "inside"};
    case PartKind::drawer:
      return {"front", "back", "left", "right", "bottom", "inside"};
    case PartKind::panel:
    case PartKind::door:
      return {"front", "back", "edges"};
    case PartKind::frame:
      return {"front", "back", "edges", "inner_edges"};
    case PartKind::straight_leg:
    case PartKind::tapered_leg:
    case PartKind::turned_leg:
      return {"side", "foot"};
    case PartKind::rail:
      return {"front", "back", "top", "bottom"};
    case PartKind::moulding:
    case PartKind::hardware:
    case PartKind::fabric_panel:
      return {"front"};
  }
  return {};
}

std::vector<Problem> size_problems(const Part& part) {
  std::vector<Problem> problems;
  const auto need = [&](double value, const char* name) {
    if (!(value > 0) || !(value <= kMostMm))
      problems.push_back(bad(part, std::string(name) + (value == 0 ? " is missing" : " cannot be right"),
                             "a length above 0 and up to 30 m", "measure it and add " + std::string(name)));
  };
  const auto optional = [&](double value, const char* name) {
    if (!(value >= 0) || !(value <= kMostMm))
      problems.push_back(bad(part, std::string(name) + " cannot be right", "a length from 0 to 30 m", "measure again"));
  };
  if (part.count < 1 || part.count > 1000)
    problems.push_back(bad(part, "the count is " + std::to_string(part.count), "1 to 1000 alike parts", "count again"));
  for (const std::string& name : part.hidden_faces) {
    const auto names = face_names(part.kind);
    if (std::find(names.begin(), names.end(), name) == names.end())
      problems.push_back(bad(part, "there is no face '" + name + "' to hide", "a face of a " + to_text(part.kind),
                             "see the faces of each kind in docs/job-file.md"));
  }
  optional(part.depth_mm, "depth");
  optional(part.wall_mm, "wall");
  switch (part.kind) {
    case PartKind::box:
    case PartKind::drawer:
      need(part.width_mm, "width"), need(part.height_mm, "height"), need(part.depth_mm, "depth");
      if (problems.empty() && !(2 * part.wall_mm < std::min({part.width_mm, part.height_mm, part.depth_mm})))
        problems.push_back(
            bad(part, "the walls leave no room inside", "a wall under half of every size", "measure the board's edge"));
      break;
    case PartKind::frame:
      need(part.frame_width_mm, "frame_width");
      need(part.width_mm, "width"), need(part.height_mm, "height");
      if (problems.empty() && !(2 * part.frame_width_mm < std::min(part.width_mm, part.height_mm)))
        problems.push_back(bad(part, "frame_width leaves no opening", "a member under half the width and the height",
                               "measure one member, or write kind = \"panel\""));
      break;
    case PartKind::panel:
    case PartKind::door:
    case PartKind::fabric_panel:
      need(part.width_mm, "width"), need(part.height_mm, "height");
      break;
    case PartKind::rail:
      need(part.width_mm, "width"), need(part.height_mm, "height"), need(part.depth_mm, "depth");
      break;
    case PartKind::moulding:
      need(part.width_mm, "length"), need(part.girth_mm, "girth");
      break;
    case PartKind::hardware:
      if (!part.given_area_m2) need(part.width_mm, "width"), need(part.height_mm, "height");
      break;
    case PartKind::straight_leg:
    case PartKind::tapered_leg:
      need(part.height_mm, "height");
      optional(part.top_diameter_mm, "top_diameter"), optional(part.foot_diameter_mm, "foot_diameter");
      if (part.kind == PartKind::tapered_leg)
        need(part.top_diameter_mm, "top_diameter"), need(part.foot_diameter_mm, "foot_diameter");
      else if (!round(part))
        need(part.width_mm, "width"), need(part.depth_mm, "depth");
      break;
    case PartKind::turned_leg: {
      if (part.profile.size() < 2) {
        problems.push_back(bad(part, "the profile is missing", "two points or more, from the top down",
                               "profile = [[0, 30], [400, 24], [700, 15]]: mm from the top, radius in mm"));
        break;
      }
      const auto area = shape::revolution_area_mm2(part.profile[0].z, part.profile[0].r,
                                                   {part.profile.begin() + 1, part.profile.end()});
      if (!area) {
        Problem problem = area.error();
        problem.what = "part '" + part.id + "': " + problem.what;
        problems.push_back(std::move(problem));
        break;
      }
      const double tall = part.profile.back().z - part.profile.front().z;
      if (!(tall > 0))
        problems.push_back(bad(part, "the profile does not go down", "points from the top to the foot",
                               "start at the top with 0 and measure down"));
      else if (part.height_mm > 0 && std::abs(tall - part.height_mm) > 1)
        problems.push_back(bad(part, "the profile is not as tall as the height",
                               "a profile that ends at the height, within 1 mm", "measure again, or leave height out"));
      break;
    }
  }
  return problems;
}

double leg_area_mm2(const Part& part, double from_mm, double to_mm) {
  const auto up = from_foot(part);
  if (!up.empty()) {
    const auto area = shape::revolution_area_between_mm2(up[0].z, up[0].r, {up.begin() + 1, up.end()}, from_mm, to_mm);
    return area.value_or(0);
  }
  if (part.square || (round(part) && part.height_mm > 0)) {
    // Four alike trapezoids.
    const double half = (top_of(part) - foot_of(part)) / 2, slope = std::hypot(half, part.height_mm) / part.height_mm;
    const double middle = foot_of(part) + 2 * half * (from_mm + to_mm) / 2 / part.height_mm;
    return 4 * middle * (to_mm - from_mm) * slope;
  }
  return 2 * (part.width_mm + part.depth_mm) * (to_mm - from_mm);
}

double leg_girth_mm(const Part& part, double height_mm) {
  const auto up = from_foot(part);
  if (!up.empty())
    return 2 * std::numbers::pi * shape::profile_radius_mm(up[0].z, up[0].r, {up.begin() + 1, up.end()}, height_mm);
  if (part.square) return 4 * (foot_of(part) + (top_of(part) - foot_of(part)) * height_mm / part.height_mm);
  return 2 * (part.width_mm + part.depth_mm);
}

std::vector<Face> build_faces(const Part& part) {
  const double w = part.width_mm, h = part.height_mm, d = part.depth_mm;
  std::vector<Face> faces;
  switch (part.kind) {
    case PartKind::box:
      faces = {planar("front", w, h, true),
               planar("back", w, h, true),
               planar("left", d, h, true),
               planar("right", d, h, true),
               planar("top", w, d, false),
               planar("bottom", w, d, false),
               shaped("inside", inside_area_mm2(part), true)};
      break;
    case PartKind::drawer:
      faces = {planar("front", w, h, true),   planar("back", w, h, true),
               planar("left", d, h, true),    planar("right", d, h, true),
               planar("bottom", w, d, false), shaped("inside", inside_area_mm2(part), true)};
      break;
    case PartKind::panel:
    case PartKind::door:
      // Taken off and laid flat to dry (common practice, no source).
      faces = {planar("front", w, h, false), planar("back", w, h, false)};
      if (d > 0) faces.push_back(planar("edges", 2 * (w + h), d, true));
      break;
    case PartKind::frame: {
      const double m = part.frame_width_mm, iw = w - 2 * m, ih = h - 2 * m;
      Face front = planar("front", w, h, false);
      // The opening, clockwise: a hole.
      front.region.outlines.push_back({{{{m, m + ih}}, {{m + iw, m + ih}}, {{m + iw, m}}, {{m, m}}}});
      front.area_m2 = shape::area_mm2(front.region) * 1e-6;
      Face back = front;
      back.name = "back";
      faces = {front, back};
      if (d > 0) {
        faces.push_back(planar("edges", 2 * (w + h), d, true));
        faces.push_back(planar("inner_edges", 2 * (iw + ih), d, true));
      }
      break;
    }
    case PartKind::rail:
      faces = {planar("front", w, h, true), planar("back", w, h, true), planar("top", w, d, false),
               planar("bottom", w, d, false)};
      break;
    case PartKind::moulding:
      faces = {planar("front", w, part.girth_mm, true)};
      break;
    case PartKind::hardware:
      faces = {shaped("front", part.given_area_m2 ? *part.given_area_m2 * 1e6 : w * h + 2 * w * d + 2 * h * d, true)};
      break;
    case PartKind::fabric_panel:
      faces = {planar("front", w, h, true)};
      break;
    case PartKind::straight_leg:
    case PartKind::tapered_leg:
    case PartKind::turned_leg: {
      const bool turned = part.kind == PartKind::turned_leg;
      const double tall = turned ? part.profile.back().z - part.profile.front().z : h;
      Face side = shaped("side", leg_area_mm2(part, 0, tall), true);
      side.height_mm = tall;
      double foot = w * d;
      if (turned)
        foot = std::numbers::pi * part.profile.back().r * part.profile.back().r;
      else if (part.square)
        foot = foot_of(part) * foot_of(part);
      else if (round(part))
        foot = std::numbers::pi / 4 * foot_of(part) * foot_of(part);
      faces = {side, shaped("foot", foot, false)};
      faces.back().hidden = true;
      break;
    }
  }
  for (Face& face : faces)
    if (std::find(part.hidden_faces.begin(), part.hidden_faces.end(), face.name) != part.hidden_faces.end())
      face.hidden = true;
  return faces;
}

}  // namespace tackcloth::piece
