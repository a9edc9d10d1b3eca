#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "piece/piece.h"

namespace tackcloth::piece {
namespace {

using ::testing::HasSubstr;
constexpr double kPi = std::numbers::pi;

Part make(PartKind kind, double width, double height, double depth) {
  Part part;
  part.id = "part";
  part.kind = kind;
  part.width_mm = width;
  part.height_mm = height;
  part.depth_mm = depth;
  return part;
}

Zone zone_on(const std::string& id, const std::string& face, ZoneForm form = ZoneForm::whole) {
  Zone zone;
  zone.id = id;
  zone.face = face;
  zone.form = form;
  zone.treatment = Treatment::clear;
  return zone;
}

Zone shaped(const std::string& id, const std::string& face, ZoneForm form, shape::Region region) {
  Zone zone = zone_on(id, face, form);
  zone.region = std::move(region);
  return zone;
}

Zone band(const std::string& id, const std::string& face, double from, double height) {
  Zone zone = zone_on(id, face, ZoneForm::band);
  zone.from_mm = from;
  zone.height_mm = height;
  return zone;
}

Part measured(Part part) {
  Piece piece;
  piece.parts.push_back(std::move(part));
  auto result = measure(std::move(piece));
  EXPECT_TRUE(result.has_value()) << (result ? "" : to_text(result.error().front()));
  return result ? result->parts[0] : Part{};
}

std::vector<Problem> refused(Part part) {
  Piece piece;
  piece.parts.push_back(std::move(part));
  auto result = measure(std::move(piece));
  EXPECT_FALSE(result.has_value());
  return result ? std::vector<Problem>{} : result.error();
}

double face_area(const Part& part, const std::string& name) {
  for (const Face& face : part.faces)
    if (face.name == name) return face.area_m2;
  ADD_FAILURE() << "no face " << name;
  return -1;
}

TEST(Faces, OfEveryKindOfPart) {
  const Part box = measured(make(PartKind::box, 680, 410, 300));
  EXPECT_NEAR(face_area(box, "front"), 0.68 * 0.41, 1e-12);
  EXPECT_NEAR(face_area(box, "left"), 0.3 * 0.41, 1e-12);
  EXPECT_NEAR(face_area(box, "top"), 0.68 * 0.3, 1e-12);
  EXPECT_NEAR(face_area(box, "inside"), 2 * 0.68 * 0.3 + 2 * 0.3 * 0.41 + 0.68 * 0.41, 1e-12);
  Part walled = make(PartKind::box, 680, 410, 300);
  walled.wall_mm = 20;
  EXPECT_NEAR(face_area(measured(walled), "inside"), 2 * 0.64 * 0.28 + 2 * 0.28 * 0.37 + 0.64 * 0.37, 1e-12);
  const Part drawer = measured(make(PartKind::drawer, 400, 100, 350));
  EXPECT_NEAR(face_area(drawer, "inside"), 0.4 * 0.35 + 2 * 0.75 * 0.1, 1e-12);
  const Part panel = measured(make(PartKind::panel, 1200, 620, 22));
  EXPECT_NEAR(face_area(panel, "back"), 1.2 * 0.62, 1e-12);
  EXPECT_NEAR(face_area(panel, "edges"), 2 * 1.82 * 0.022, 1e-12);
  EXPECT_EQ(measured(make(PartKind::door, 400, 600, 0)).faces.size(), 2u);
  Part frame = make(PartKind::frame, 500, 700, 20);
  frame.frame_width_mm = 60;
  frame = measured(frame);
  EXPECT_NEAR(face_area(frame, "front"), 0.5 * 0.7 - 0.38 * 0.58, 1e-12);
  EXPECT_NEAR(face_area(frame, "inner_edges"), 2 * (0.38 + 0.58) * 0.02, 1e-12);
  EXPECT_NEAR(face_area(measured(make(PartKind::rail, 900, 70, 20)), "top"), 0.9 * 0.02, 1e-12);
  Part moulding = make(PartKind::moulding, 2400, 0, 0);
  moulding.girth_mm = 45;
  EXPECT_NEAR(face_area(measured(moulding), "front"), 2.4 * 0.045, 1e-12);
  EXPECT_NEAR(face_area(measured(make(PartKind::hardware, 110, 28, 24)), "front"),
              (110 * 28 + 2 * 110 * 24 + 2 * 28 * 24) * 1e-6, 1e-12);
  Part odd = make(PartKind::hardware, 0, 0, 0);
  odd.given_area_m2 = 0.0123;
  EXPECT_NEAR(face_area(measured(odd), "front"), 0.0123, 1e-12);
  EXPECT_NEAR(face_area(measured(make(PartKind::fabric_panel, 260, 220, 0)), "front"), 0.26 * 0.22, 1e-12);
}

TEST(Faces, OfLegs) {
  EXPECT_NEAR(face_area(measured(make(PartKind::straight_leg, 45, 700, 40)), "side"), 2 * 0.085 * 0.7, 1e-12);
  Part round = make(PartKind::straight_leg, 0, 700, 0);
  round.top_diameter_mm = round.foot_diameter_mm = 50;
  EXPECT_NEAR(face_area(measured(round), "side"), kPi * 0.05 * 0.7, 1e-12);
  Part tapered = make(PartKind::tapered_leg, 0, 450, 0);
  tapered.top_diameter_mm = 38;
  tapered.foot_diameter_mm = 24;
  EXPECT_NEAR(face_area(measured(tapered), "side"), kPi * (0.019 + 0.012) * std::hypot(0.45, 0.007), 1e-12);
  tapered.square = true;
  EXPECT_NEAR(face_area(measured(tapered), "side"), 4 * 0.031 * std::hypot(0.45, 0.007), 1e-12);
  // A turned leg that is a ball of 40 mm on a cylinder: 4 pi r² of the ball's zones that stand free.
  Part turned = make(PartKind::turned_leg, 0, 0, 0);
  turned.profile = {{0, 12, 0}, {100, 12, 0}, {132, 12, 0}};
  // Arc from r = 12 to r = 12 over 32 mm on a ball of radius 20 centred on the axis: a zone, 2 pi R h.
  const double chord_angle = 2 * std::atan2(16, 12);
  turned.profile[2].bulge = -std::tan(chord_angle / 4);
  EXPECT_NEAR(face_area(measured(turned), "side"), (2 * kPi * 12 * 100 + 2 * kPi * 20 * 32) * 1e-6, 1e-10);
}

TEST(Zones, HalfCircleAndWhatRemains) {
  Part part = make(PartKind::box, 680, 410, 300);
  part.count = 2;
  part.hidden_faces = {"bottom", "back"};
  part.zones = {zone_on("rest", "front", ZoneForm::rest),
                shaped("sun", "front", ZoneForm::half_circle, shape::half_circle({340, 0}, 190, true))};
  part = measured(part);
  const double sun = kPi * 0.19 * 0.19 / 2;
  EXPECT_NEAR(part.zones[1].area_m2, 2 * sun, 1e-12);
  EXPECT_NEAR(part.zones[0].area_m2, 2 * (0.68 * 0.41 - sun), 1e-12);
  EXPECT_NEAR(part.zones[1].tape_mm, 2 * kPi * 190, 1e-6);  // the base lies on the edge
  EXPECT_NEAR(part.zones[0].tape_mm, 2 * kPi * 190, 1e-4);
  EXPECT_NEAR(shape::area_mm2(part.zones[0].region) * 2e-6, part.zones[0].area_m2, 1e-9);
}

TEST(Zones, AllCoversTheVisibleFacesOnly) {
  Part part = make(PartKind::box, 680, 410, 300);
  part.hidden_faces = {"bottom", "back", "inside"};
  part.zones = {zone_on("body", "all")};
  EXPECT_NEAR(measured(part).zones[0].area_m2, 0.68 * 0.41 + 2 * 0.3 * 0.41 + 0.68 * 0.3, 1e-12);
  part.zones = {zone_on("top", "top"), zone_on("body", "all", ZoneForm::rest)};
  EXPECT_NEAR(measured(part).zones[1].area_m2, 0.68 * 0.41 + 2 * 0.3 * 0.41, 1e-12);
  part.zones = {zone_on("top", "top"), zone_on("body", "all")};
  EXPECT_THAT(refused(part)[0].what, HasSubstr("overlaps"));
}

TEST(Zones, TipsOfLegs) {
  Part leg = make(PartKind::tapered_leg, 0, 450, 0);
  leg.top_diameter_mm = 38;
  leg.foot_diameter_mm = 24;
  leg.count = 4;
  leg.zones = {band("tip", "all", 0, 90), zone_on("shaft", "all", ZoneForm::rest)};
  leg = measured(leg);
  const double at = 12 + 7 * 90.0 / 450;
  EXPECT_NEAR(leg.zones[0].area_m2, 4e-6 * shape::cone_frustum_area_mm2(12, at, 90), 1e-12);
  EXPECT_NEAR(leg.zones[0].area_m2 + leg.zones[1].area_m2, face_area(leg, "side"), 1e-12);
  EXPECT_NEAR(leg.zones[0].tape_mm, 4 * 2 * kPi * at, 1e-6);
  EXPECT_NEAR(leg.zones[1].tape_mm, 4 * 2 * kPi * at, 1e-6);
  leg.count = 1;
  leg.zones = {band("a", "side", 0, 90), band("b", "side", 80, 50)};
  EXPECT_THAT(refused(leg)[0].what, HasSubstr("overlaps"));
  leg.zones = {band("a", "side", 400, 90)};
  EXPECT_THAT(refused(leg)[0].what, HasSubstr("leaves"));
  leg.zones = {zone_on("a", "foot")};
  EXPECT_THAT(refused(leg)[0].what, HasSubstr("hidden"));
  // Two bands that meet: one line between them, none for the rest there.
  leg.zones = {band("a", "side", 0, 90), band("b", "side", 90, 60), zone_on("r", "side", ZoneForm::rest)};
  const Part two = measured(leg);
  EXPECT_NEAR(two.zones[2].tape_mm, kPi * (24 + 14 * 150.0 / 450), 1e-6);
}

TEST(Zones, BandOnATurnedLegMeasuresFromTheFoot) {
  Part leg = make(PartKind::turned_leg, 0, 0, 0);
  leg.profile = {{0, 30, 0}, {400, 30, 0}, {400.0001, 15, 0}, {700, 15, 0}};
  leg.zones = {band("tip", "side", 0, 90)};
  EXPECT_NEAR(measured(leg).zones[0].area_m2, 2 * kPi * 15 * 90 * 1e-6, 1e-12);
}

TEST(Zones, ReportsAllThatIsWrong) {
  Part part = make(PartKind::panel, 500, 400, 20);
  part.line = 7;
  part.zones = {shaped("out", "front", ZoneForm::circle, shape::circle({490, 200}, 50)), zone_on("nowhere", "lid"),
                shaped("none", "front", ZoneForm::polygon, {})};
  const auto problems = refused(part);
  ASSERT_EQ(problems.size(), 3u);
  EXPECT_THAT(problems[0].what, HasSubstr("leaves face"));
  EXPECT_THAT(problems[1].expected, HasSubstr("front, back, edges"));
  for (const Problem& problem : problems) EXPECT_EQ(problem.line, 7);
  part.zones = {shaped("a", "front", ZoneForm::circle, shape::circle({200, 200}, 100)),
                shaped("b", "front", ZoneForm::circle, shape::circle({300, 200}, 100))};
  EXPECT_THAT(refused(part)[0].what, HasSubstr("overlaps zone 'a'"));
  part.zones = {zone_on("a", "front"), zone_on("b", "front")};
  EXPECT_THAT(refused(part)[0].remedy, HasSubstr("rest"));
  part.zones = {zone_on("a", "front", ZoneForm::rest), zone_on("b", "front", ZoneForm::rest)};
  EXPECT_FALSE(refused(part).empty());
  part.zones = {shaped("a", "front", ZoneForm::polygon, shape::rectangle({0, 0}, 500, 400)),
                zone_on("b", "front", ZoneForm::rest)};
  EXPECT_THAT(refused(part)[0].what, HasSubstr("nothing left"));
  part.hidden_faces = {"front", "back", "edges"};
  part.zones = {zone_on("a", "all")};
  EXPECT_FALSE(refused(part).empty());
}

TEST(Sizes, ThatCannotBeAreRefused) {
  for (const PartKind kind : {PartKind::box, PartKind::panel, PartKind::frame, PartKind::door, PartKind::drawer,
                              PartKind::straight_leg, PartKind::tapered_leg, PartKind::turned_leg, PartKind::rail,
                              PartKind::moulding, PartKind::hardware, PartKind::fabric_panel}) {
    EXPECT_FALSE(refused(make(kind, 0, 0, 0)).empty()) << to_text(kind);
    for (const double bad : {-5.0, std::nan(""), double(INFINITY), 1e9}) {
      Part part = make(kind, bad, bad, bad);
      part.frame_width_mm = part.top_diameter_mm = part.foot_diameter_mm = part.girth_mm = bad;
      part.profile = {{0, bad, 0}, {bad, 10, 0}};
      EXPECT_FALSE(refused(part).empty()) << to_text(kind) << bad;
    }
  }
  Part frame = make(PartKind::frame, 100, 100, 20);
  frame.frame_width_mm = 50;
  EXPECT_FALSE(refused(frame).empty());
}

// What the zones of a face take adds up to the face, whatever their shapes.
TEST(Zones, OfRandomFacesAddUp) {
  std::mt19937 random(23);
  const auto pick = [&](double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); };
  for (int round = 0; round < 150; ++round) {
    const double w = pick(300, 1500), h = pick(300, 900);
    Part part = make(PartKind::panel, w, h, 18);
    part.count = 1 + static_cast<int>(random() % 3);
    // One shape in each third of the face, so that they never meet.
    for (int third = 0; third < 3; ++third) {
      const double left = w * third / 3, right = w * (third + 1) / 3, r = pick(10, std::min(w / 6, h / 2) - 1);
      const double cx = pick(left + r, right - r), cy = pick(r, h - r);
      const std::string id = "z" + std::to_string(third);
      switch (random() % 4) {
        case 0:
          part.zones.push_back(shaped(id, "front", ZoneForm::circle, shape::circle({cx, cy}, r)));
          break;
        case 1:
          part.zones.push_back(
              shaped(id, "front", ZoneForm::half_circle, shape::half_circle({cx, cy}, r, random() % 2)));
          break;
        case 2:
          part.zones.push_back(
              shaped(id, "front", ZoneForm::arch, *shape::arch({cx - r, cy - r}, 2 * r, r, pick(0.05, 1) * r)));
          break;
        default:
          part.zones.push_back(shaped(id, "front", ZoneForm::polygon,
                                      *shape::polygon({{cx - r, cy - r}, {cx + r, cy - r / 2}, {cx, cy + r}})));
      }
    }
    part.zones.push_back(zone_on("rest", "front", ZoneForm::rest));
    part = measured(part);
    double sum = 0, tape = 0;
    for (const Zone& zone : part.zones) {
      EXPECT_GT(zone.area_m2, 0);
      sum += zone.area_m2;
      if (zone.form != ZoneForm::rest) tape += zone.tape_mm;
    }
    EXPECT_NEAR(sum, face_area(part, "front"), 1e-12);
    EXPECT_NEAR(part.zones.back().tape_mm, tape, 1e-3);
    EXPECT_NEAR(shape::area_mm2(part.zones.back().region) * part.count * 1e-6, part.zones.back().area_m2, 1e-8);
  }
}

}  // namespace
}  // namespace tackcloth::piece
