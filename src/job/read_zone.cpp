#include <cmath>
#include <numbers>

#include "job/read.h"
#include "job/words.h"
#include "shape/draw.h"

namespace tackcloth::job {

namespace {

using piece::Zone;
using piece::ZoneForm;

double coordinate(reading::Table& table, std::string_view key) {
  if (!table.has(key)) {
    table.problem(key, "'" + std::string(key) + "' is missing here", "a length, as \"12 cm\"",
                  "add " + std::string(key) + " = \"0 mm\"");
    return 0;
  }
  return read_length(table, key, 0).value_or(0);
}

double extent(reading::Table& table, std::string_view key) {
  if (!table.has(key)) {
    table.problem(key, "'" + std::string(key) + "' is missing here", "a length above 0, as \"12 cm\"",
                  "measure it and add " + std::string(key) + " = \"...\"");
    return 1;
  }
  return read_length(table, key, kLeastMm).value_or(1);
}

void take(reading::Table& table, std::string_view key, Zone& zone, Result<shape::Region> region) {
  if (region)
    zone.region = std::move(*region);
  else
    table.problem(key, region.error().what, region.error().expected, region.error().remedy);
}

void read_arch(reading::Table& table, Zone& zone) {
  const shape::Point corner{coordinate(table, "left"), coordinate(table, "bottom")};
  const double width = extent(table, "width"), spring = coordinate(table, "spring_height");
  if (table.has("rise") && table.has("radius"))
    table.problem("radius", "the arc of the arch is given twice", "either rise or radius", "take one of the two out");
  if (!table.has("rise") && !table.has("radius")) {
    table.problem("rise", "'rise' is missing here", "rise = \"...\", or the radius of the arc",
                  "measure how far the arc stands above its straight sides");
  } else if (table.has("rise")) {
    if (const auto rise = read_length(table, "rise", kLeastMm))
      take(table, "rise", zone, shape::arch(corner, width, spring, *rise));
    if (table.has("radius")) read_length(table, "radius", kLeastMm);
  } else if (const auto radius = read_length(table, "radius", kLeastMm)) {
    take(table, "radius", zone, shape::arch_of_radius(corner, width, spring, *radius));
  }
}

void read_band(reading::Table& table, Zone& zone) {
  if (table.has("from") && table.has("from_foot"))
    table.problem("from_foot", "the band starts twice", "either from or from_foot", "take one of the two out");
  if (table.has("from_foot"))
    zone.from_mm = coordinate(table, "from_foot");
  else
    zone.from_mm = table.has("from") ? coordinate(table, "from") : 0;
  zone.height_mm = extent(table, "height");
}

void read_polygon(reading::Table& table, Zone& zone) {
  if (!table.has("points"))
    table.problem("points", "'points' is missing here", "[[\"0 cm\", \"0 cm\"], [\"30 cm\", \"0 cm\"], ...]",
                  "give every corner in order, from the left bottom corner of the face");
  std::vector<shape::Corner> corners;
  for (const auto& row :
       table.rows("points", units::parse_length_mm, 2, 3,
                  "[x, y] of a corner, or [x, y, rise of the arc from the corner before], text or mm"))
    corners.push_back({{row[0], row[1]}, row.size() == 3 ? row[2] : 0});
  if (!corners.empty()) take(table, "points", zone, shape::curved_polygon(corners));
}

// The middle line of a stripe: through two points, or through one at an angle.
void read_stripe(reading::Table& table, Zone& zone) {
  zone.width_mm = extent(table, "width");
  const auto angle = table.number("angle", -360, 360);
  if (!table.has("through")) {
    table.problem("through", "'through' is missing here", "[[\"0 cm\", \"10 cm\"], [\"68 cm\", \"31 cm\"]]",
                  "give two points the middle of the stripe runs through, or one point and an angle");
    return;
  }
  const auto points = table.rows("through", units::parse_length_mm, 2, 2, "[x, y] of a point, text or mm");
  if (points.empty()) return;  // told already
  for (const auto& point : points)
    if (std::abs(point[0]) > 30000 || std::abs(point[1]) > 30000) {
      table.problem("through", "a point of the stripe is out of reach", "points within 30 m", "check them");
      return;
    }
  zone.on = {points[0][0], points[0][1]};
  if (points.size() == 1) {
    if (!table.has("angle"))
      table.problem("through", "one point does not say which way the stripe runs",
                    "two points, or a point and an angle",
                    "add angle = 45 (degrees from level, counter-clockwise), or a second point");
    zone.angle_deg = angle.value_or(0);
    return;
  }
  const double dx = points[1][0] - points[0][0], dy = points[1][1] - points[0][1];
  if (points.size() > 2 || !(std::hypot(dx, dy) > 1))
    table.problem("through", "this is no line for the stripe", "two points more than 1 mm apart",
                  "give where its middle starts and where it ends");
  if (table.has("angle"))
    table.problem("angle", "the way of the stripe is given twice", "two points, or a point and an angle",
                  "take angle out, or the second point");
  // Level and upright lines keep their digits.
  zone.angle_deg = dx == 0 ? 90 : dy == 0 ? 0 : std::atan2(dy, dx) * 180 / std::numbers::pi;
}

}  // namespace

void read_geometry(reading::Table& table, Zone& zone) {
  refuse_strangers(table, geometry_keys(), geometry_keys(zone.form), "zone of form " + to_text(zone.form));
  switch (zone.form) {
    case ZoneForm::whole:
    case ZoneForm::rest:
      return;
    case ZoneForm::half_circle: {
      const shape::Point center{coordinate(table, "center_x"), coordinate(table, "base_y")};
      const double radius = extent(table, "radius");
      zone.region = shape::half_circle(center, radius, table.choice("opens", {"up", "down"}).value_or(0) == 0);
      break;
    }
    case ZoneForm::circle: {
      const shape::Point center{coordinate(table, "center_x"), coordinate(table, "center_y")};
      zone.region = shape::circle(center, extent(table, "radius"));
      break;
    }
    case ZoneForm::arch:
      read_arch(table, zone);
      break;
    case ZoneForm::band:
      read_band(table, zone);
      break;
    case ZoneForm::polygon:
      read_polygon(table, zone);
      break;
    case ZoneForm::rounded: {
      const shape::Point corner{coordinate(table, "left"), coordinate(table, "bottom")};
      const double width = extent(table, "width"), height = extent(table, "height");
      const double radius = coordinate(table, "corner_radius");
      take(table, "corner_radius", zone, shape::rounded_rectangle(corner, width, height, radius));
      break;
    }
    case ZoneForm::stripe:
      read_stripe(table, zone);
      break;
    case ZoneForm::border:
      zone.from_mm = table.has("from_edge") ? coordinate(table, "from_edge") : 0;
      zone.height_mm = extent(table, "width");
      return;
  }
  if (const auto about = table.choice("mirror", mirror_words())) zone.mirror = static_cast<shape::Mirror>(*about + 1);
}

}  // namespace tackcloth::job
