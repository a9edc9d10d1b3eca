#include <algorithm>
#include <cmath>

#include "piece/faces.h"
#include "piece/piece.h"

namespace tackcloth::piece {

namespace {

// Less than this, mm², is a matter of the pencil line.
constexpr double kTouchMm2 = 10;

class Measurer {
 public:
  Measurer(Part& part, std::vector<Problem>& problems) : part_(part), problems_(problems) {}

  void run() {
    const std::size_t before = problems_.size();
    for (Problem& problem : size_problems(part_)) {
      problem.line = part_.line;
      problem.column = part_.column;
      problems_.push_back(std::move(problem));
    }
    if (problems_.size() > before) return;
    part_.faces = build_faces(part_);
    for (Zone& zone : part_.zones) place(zone);
    if (problems_.size() > before) return;
    for (Face& face : part_.faces)
      if (!face.hidden) on_face(face);
    for (Zone& zone : part_.zones)
      if (zone.form == ZoneForm::rest && zone.area_m2 * 1e6 < kTouchMm2 && !failed_)
        complain(zone, "there is nothing left for it", "a face that the other zones do not cover",
                 "take this zone out, or make another one smaller");
    for (Zone& zone : part_.zones) {
      zone.area_m2 *= part_.count;
      zone.tape_mm *= part_.count;
    }
    for (Face& face : part_.faces) face.area_m2 *= part_.count;
  }

 private:
  void complain(const Zone& zone, std::string what, std::string expected, std::string remedy) {
    failed_ = true;
    problems_.push_back({"", zone.line ? zone.line : part_.line, zone.line ? zone.column : part_.column,
                         "zone '" + zone.id + "' of part '" + part_.id + "': " + std::move(what), std::move(expected),
                         std::move(remedy)});
  }

  std::string visible() const {
    std::string names;
    for (const Face& face : part_.faces)
      if (!face.hidden) names += (names.empty() ? "" : ", ") + face.name;
    return names.empty() ? "(none: all are hidden)" : names;
  }

  bool lies_on(const Zone& zone, const Face& face) const { return zone.face == "all" || zone.face == face.name; }

  bool take(Zone& zone, Result<shape::Region> region) {
    if (region)
      zone.region = std::move(*region);
    else
      complain(zone, region.error().what, region.error().expected, region.error().remedy);
    return region.has_value();
  }

  // Checks the face and makes the regions that need it: bands, stripes, borders, mirror images.
  void place(Zone& zone) {
    zone.area_m2 = zone.tape_mm = 0;
    const auto shown = std::count_if(part_.faces.begin(), part_.faces.end(), [](const Face& f) { return !f.hidden; });
    const Face* face = nullptr;
    for (const Face& f : part_.faces)
      if (f.name == zone.face || (zone.face == "all" && shown == 1 && !f.hidden)) face = &f;
    if (zone.face == "all") {
      if (shown == 0) return complain(zone, "no face is visible", "a visible face", "take one out of hidden_faces");
      if (!face) {
        if (zone.form != ZoneForm::whole && zone.form != ZoneForm::rest)
          complain(zone, "a " + to_text(zone.form) + " needs one face", "one of: " + visible(), "name the face");
        return;
      }
    } else if (!face) {
      return complain(zone, "there is no face '" + zone.face + "'", "all, or one of: " + visible(), "name the face");
    } else if (face->hidden) {
      return complain(zone, "face '" + zone.face + "' is hidden", "one of: " + visible(),
                      face->name == "foot" ? "use the face 'side'" : "take it out of hidden_faces, or the zone out");
    }
    const bool round = face->region.outlines.empty();
    if (zone.form == ZoneForm::band) {
      if (!(zone.height_mm > 0) || !(zone.from_mm >= 0) || !(zone.from_mm + zone.height_mm <= face->height_mm + 1e-6))
        return complain(zone, "the band leaves its face",
                        "a band within " + std::to_string(std::lround(face->height_mm)) + " mm of height",
                        "check where it starts and how high it is");
      if (!round) zone.region = shape::rectangle({0, zone.from_mm}, face->width_mm, zone.height_mm);
    }
    if (zone.mirror != shape::Mirror::none && (round || zone.form == ZoneForm::whole || zone.form == ZoneForm::rest))
      return complain(zone, "it cannot be mirrored", "mirror on a shape drawn on a flat face", "take mirror out");
    if (round) {
      if (zone.form != ZoneForm::whole && zone.form != ZoneForm::rest &&
          !(zone.form == ZoneForm::band && is_leg(part_.kind)))
        complain(zone, "face '" + face->name + "' is not flat",
                 is_leg(part_.kind) ? "whole, band or rest" : "whole or rest", "change the form");
      return;
    }
    if (zone.form == ZoneForm::whole || zone.form == ZoneForm::rest) return;
    if (zone.form == ZoneForm::band && face->region.outlines.size() > 1)
      zone.region = shape::intersect(zone.region, face->region);  // a band over a frame skips the opening
    if (zone.form == ZoneForm::stripe &&
        !take(zone, shape::stripe(face->region, zone.on, zone.angle_deg, zone.width_mm)))
      return;
    if (zone.form == ZoneForm::border && !take(zone, shape::border(face->region, zone.from_mm, zone.height_mm))) return;
    if (zone.mirror != shape::Mirror::none)
      zone.region = shape::symmetric(zone.region, zone.mirror, {face->width_mm / 2, face->height_mm / 2});
    const double area = shape::area_mm2(zone.region);
    if (!(area > 0)) return complain(zone, "it has no area", "a shape with a size", "check its sizes");
    if (shape::area_mm2(shape::subtract(zone.region, face->region)) > kTouchMm2)
      complain(zone, "it leaves face '" + face->name + "'",
               "a shape within " + std::to_string(std::lround(face->width_mm)) + " x " +
                   std::to_string(std::lround(face->height_mm)) + " mm",
               "measure from the left bottom corner of the face");
  }

  void overlap(const Zone& zone, const Zone& other) {
    complain(zone, "it overlaps zone '" + other.id + "'", "zones that do not overlap",
             zone.form == ZoneForm::whole || other.form == ZoneForm::whole
                 ? "give the larger one form = \"rest\": what the others leave"
                 : "make one smaller, or give it form = \"rest\"");
  }

  void on_face(const Face& face) {
    std::vector<Zone*> shaped;
    Zone *whole = nullptr, *rest = nullptr;
    for (Zone& zone : part_.zones) {
      if (!lies_on(zone, face)) continue;
      if (zone.form == ZoneForm::rest) {
        // A rest named for this face goes before a rest of all faces.
        if (rest && (rest->face == "all") == (zone.face == "all"))
          complain(zone, "zone '" + rest->id + "' takes the rest already", "one rest on a face", "give one a shape");
        if (!rest || rest->face == "all") rest = &zone;
      } else if (zone.form == ZoneForm::whole) {
        if (whole) overlap(zone, *whole);
        whole = &zone;
      } else {
        shaped.push_back(&zone);
      }
    }
    if (whole && !shaped.empty()) overlap(*whole, *shaped.front());
    if (whole && rest && rest->face != "all") overlap(*whole, *rest);
    for (std::size_t i = 0; i < shaped.size(); ++i)
      for (std::size_t j = i + 1; j < shaped.size(); ++j)
        if (meet(*shaped[i], *shaped[j], face)) overlap(*shaped[j], *shaped[i]);
    if (failed_) return;
    const bool round = face.region.outlines.empty();
    if (whole) {
      whole->area_m2 += face.area_m2;
      if (whole->face != "all") whole->region = face.region;
      return;
    }
    double left = face.area_m2;
    for (Zone* zone : shaped) {
      zone->area_m2 = (round ? leg_area_mm2(part_, zone->from_mm, zone->from_mm + zone->height_mm)
                             : shape::area_mm2(zone->region)) *
                      1e-6;
      zone->tape_mm = round ? leg_tape_mm(*zone, face) : shape::inner_boundary_mm(zone->region, face.region);
      left -= zone->area_m2;
    }
    if (!rest) return;
    rest->area_m2 += std::max(0.0, left);
    if (round) {
      for (const double height : leg_lines(shaped, face)) rest->tape_mm += leg_girth_mm(part_, height);
      return;
    }
    shape::Region region = face.region;
    for (const Zone* zone : shaped) region = shape::subtract(region, zone->region);
    rest->tape_mm += shape::inner_boundary_mm(region, face.region);
    if (rest->face != "all") rest->region = std::move(region);
  }

  bool meet(const Zone& a, const Zone& b, const Face& face) const {
    if (!face.region.outlines.empty()) return shape::area_mm2(shape::intersect(a.region, b.region)) > kTouchMm2;
    return std::min(a.from_mm + a.height_mm, b.from_mm + b.height_mm) - std::max(a.from_mm, b.from_mm) > 1e-6;
  }

  double leg_tape_mm(const Zone& zone, const Face& face) const {
    double sum = 0;
    for (const double height : {zone.from_mm, zone.from_mm + zone.height_mm})
      if (height > 1e-6 && height < face.height_mm - 1e-6) sum += leg_girth_mm(part_, height);
    return sum;
  }

  // Heights where the rest of a leg meets a band: not the ends of the leg, not where two bands touch.
  std::vector<double> leg_lines(const std::vector<Zone*>& bands, const Face& face) const {
    std::vector<double> lines;
    for (const Zone* band : bands)
      for (const double height : {band->from_mm, band->from_mm + band->height_mm})
        if (height > 1e-6 && height < face.height_mm - 1e-6) {
          const auto same =
              std::find_if(lines.begin(), lines.end(), [&](double l) { return std::abs(l - height) < 1e-6; });
          if (same == lines.end())
            lines.push_back(height);
          else
            lines.erase(same);
        }
    return lines;
  }

  Part& part_;
  std::vector<Problem>& problems_;
  bool failed_ = false;
};

}  // namespace

Results<Piece> measure(Piece piece) {
  std::vector<Problem> problems;
  for (Part& part : piece.parts) Measurer(part, problems).run();
  if (!problems.empty()) return tl::unexpected(std::move(problems));
  return piece;
}

}  // namespace tackcloth::piece
