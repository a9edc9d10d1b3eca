// What the page computes by itself while a zone is drawn (web/src/look) against the program: areas, tape and snapping
// on one table of cases. The page's side is web/tests/unit/draw.test.ts. Made anew with TACKCLOTH_WRITE_FIXTURE=1.
#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <nlohmann/json.hpp>
#include <random>

#include "../job/sample.h"
#include "job/changes.h"
#include "job/edit.h"
#include "job/job.h"
#include "shape/snap.h"

namespace tackcloth::look {
namespace {

using nlohmann::ordered_json;

const std::string kFile = "web/tests/fixture/drawn.json";

const std::string kJob = R"(schema = 1
[shop]
name = "Bench"
currency = "EUR"
hourly_rate = "32.50"
[[shop.room]]
id = "bench"
volume_m3 = 46
set_point = { temperature = "20 C", humidity = "50%" }
[[shop.person]]
id = "ann"
hours = { sat = ["8:30-12:30"] }
[[piece]]
id = "p"
[[piece.part]]
id = "front"
kind = "panel"
width = "68 cm"
height = "41 cm"
depth = "2 cm"
hidden_faces = ["back", "edges"]
substrate = { material = "solid_wood", species = "oak" }
[[piece.part]]
id = "frame"
kind = "frame"
width = "60 cm"
height = "80 cm"
frame_width = "9 cm"
depth = "2 cm"
hidden_faces = ["back", "edges", "inner_edges"]
substrate = { material = "solid_wood", species = "oak" }
)";

// Everything a zone can be, alone and beside others, as the page keeps its keys: millimetres.
const char* kDrawings = R"([
  {"face":"front","zones":[{"id":"sun","form":"half_circle","keys":{"center_x":340,"base_y":0,"radius":190,"opens":"up"}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"front","zones":[{"id":"cup","form":"half_circle","keys":{"center_x":226.667,"base_y":410,"radius":150,"opens":"down"}},{"id":"dot","form":"circle","keys":{"center_x":500,"center_y":200,"radius":77.5}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"front","zones":[{"id":"door","form":"arch","keys":{"left":200,"bottom":0,"width":180,"spring_height":150,"rise":60}},{"id":"flat","form":"arch","keys":{"left":420,"bottom":20,"width":200,"spring_height":0,"rise":35}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"front","zones":[{"id":"wide","form":"arch","keys":{"left":100,"bottom":0,"width":300,"spring_height":60,"radius":260}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"front","zones":[{"id":"low","form":"band","keys":{"from":40,"height":60}},{"id":"high","form":"band","keys":{"from":340,"height":70}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"front","zones":[{"id":"slant","form":"stripe","keys":{"through":[[0,100],[680,310]],"width":30}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"front","zones":[{"id":"steep","form":"stripe","keys":{"through":[[300,200]],"angle":63,"width":44}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"front","zones":[{"id":"both","form":"stripe","keys":{"through":[[0,60],[680,330]],"width":26,"mirror":"left_right"}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"front","zones":[{"id":"line","form":"border","keys":{"from_edge":20,"width":8}},{"id":"panel","form":"rounded","keys":{"left":60,"bottom":70,"width":400,"height":220,"corner_radius":45}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"front","zones":[{"id":"stadium","form":"rounded","keys":{"left":60,"bottom":70,"width":400,"height":120,"corner_radius":60}},{"id":"square","form":"rounded","keys":{"left":500,"bottom":70,"width":100,"height":120,"corner_radius":0}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"front","zones":[{"id":"leaf","form":"polygon","keys":{"points":[[100,50],[300,60,40],[420,240],[180,300,-25]]}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"front","zones":[{"id":"clock","form":"polygon","keys":{"points":[[180,300],[420,240],[300,60,30],[100,50]]}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"front","zones":[{"id":"eyes","form":"circle","keys":{"center_x":290,"center_y":250,"radius":80,"mirror":"left_right"}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"front","zones":[{"id":"clover","form":"circle","keys":{"center_x":300,"center_y":170,"radius":70,"mirror":"both"}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"front","zones":[{"id":"sun","form":"half_circle","keys":{"center_x":340,"base_y":100,"radius":120,"opens":"up"}},{"id":"sea","form":"band","keys":{"from":0,"height":100}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"frame","zones":[{"id":"sash","form":"band","keys":{"from":300,"height":120}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"frame","zones":[{"id":"line","form":"border","keys":{"from_edge":25,"width":12}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"frame","zones":[{"id":"slash","form":"stripe","keys":{"through":[[0,200],[600,640]],"width":50}},{"id":"rest","form":"rest","keys":{}}]},
  {"face":"frame","zones":[{"id":"corner","form":"rounded","keys":{"left":10,"bottom":10,"width":70,"height":200,"corner_radius":20,"mirror":"left_right"}},{"id":"rest","form":"rest","keys":{}}]}
])";

ordered_json edit_body(const std::string& part, const ordered_json& zone) {
  ordered_json set{{"face", "front"}, {"form", zone["form"]}, {"treatment", "paint"}};
  for (const auto& [key, value] : zone["keys"].items())
    set[key] = value.is_number() && key != "angle" ? ordered_json(value.dump() + " mm") : value;
  return {{"piece", "p"}, {"part", part}, {"zone", zone["id"]}, {"set", std::move(set)}};
}

// The zones of a drawing, laid over the job the way the page's changes are.
const piece::Part* drawn(const ordered_json& drawing, job::Job& job) {
  std::vector<job::Edit> edits;
  for (const auto& zone : drawing["zones"]) {
    const auto change = job::read_change("k", "2027-04-05T18:00", edit_body(drawing["face"], zone).dump());
    EXPECT_TRUE(change) << zone.dump();
    if (change) edits.push_back(change->edit);
  }
  const auto toml = job::edited(kJob, edits);
  EXPECT_TRUE(toml);
  auto read = job::parse_job(toml.value_or(""), "job.toml", testing::small_catalog());
  if (!read) {
    ADD_FAILURE() << drawing.dump() << ": " << to_text(read.error().front());
    return nullptr;
  }
  job = std::move(*read);
  for (const piece::Part& part : job.pieces[0].piece.parts)
    if (part.id == drawing["face"]) return &part;
  return nullptr;
}

const piece::Face& front(const piece::Part& part) {
  return *std::find_if(part.faces.begin(), part.faces.end(), [](const auto& f) { return f.name == "front"; });
}

ordered_json snapped(const ordered_json& one, const piece::Part& part) {
  std::vector<shape::SnapZone> others;
  for (const piece::Zone& zone : part.zones)
    if (zone.form != piece::ZoneForm::rest) others.push_back({zone.id, zone.region});
  shape::SnapOptions options;
  options.reach_mm = one["reach"];
  options.grid_mm = one["grid"];
  options.margins_mm = one["margins"].get<std::vector<double>>();
  const shape::Snap snap = shape::snap({one["point"][0], one["point"][1]}, front(part).region, others, options);
  ordered_json out = one;
  out["to"] = {snap.to.x, snap.to.y};
  out["x_why"] = snap.x_why;
  out["y_why"] = snap.y_why;
  return out;
}

ordered_json made() {
  ordered_json all;
  ordered_json drawings = ordered_json::parse(kDrawings), snaps = ordered_json::array(), faces = ordered_json::array();
  std::mt19937 random(20270405);  // the same numbers everywhere (C++ standard, [rand.predef])
  const auto up_to = [&](double most) {
    return std::round(most * (static_cast<double>(random()) / 4294967296.0) * 10) / 10;
  };
  for (std::size_t k = 0; k < drawings.size(); ++k) {
    job::Job job;
    const piece::Part* part = drawn(drawings[k], job);
    if (part == nullptr) continue;
    for (const piece::Zone& zone : part->zones)
      drawings[k]["found"][zone.id] = {{"area_m2", zone.area_m2}, {"tape_mm", zone.tape_mm}};
    const auto& face = front(*part);
    // Where arcs cut arcs the program's outline has a short chord beside the cut (docs/shape.md), with a corner that is
    // not on the page: areas agree all the same, but not each corner.
    const bool arcs_cut = std::any_of(part->zones.begin(), part->zones.end(), [](const piece::Zone& z) {
      return z.form == piece::ZoneForm::circle && z.mirror != shape::Mirror::none;
    });
    for (int i = 0; !arcs_cut && i < 25; ++i) {
      ordered_json one{{"drawing", k},
                       {"point", {up_to(face.width_mm), up_to(face.height_mm)}},
                       {"reach", i % 5 == 4 ? 0.0 : 12.0},
                       {"grid", i % 3 == 0 ? 1.0 : 0.0},
                       {"margins", i % 2 == 0 ? ordered_json::array({35.5, 80.0}) : ordered_json::array()}};
      snaps.push_back(snapped(one, *part));
    }
    if (std::none_of(faces.begin(), faces.end(), [&](const auto& f) { return f["name"] == part->id; })) {
      ordered_json opening;  // a frame's: left, bottom, width, height
      if (part->frame_width_mm > 0)
        opening = {part->frame_width_mm, part->frame_width_mm, face.width_mm - 2 * part->frame_width_mm,
                   face.height_mm - 2 * part->frame_width_mm};
      faces.push_back({{"name", part->id}, {"width", face.width_mm}, {"height", face.height_mm}, {"opening", opening}});
    }
  }
  all["faces"] = std::move(faces);
  all["drawings"] = std::move(drawings);
  all["snaps"] = std::move(snaps);
  return all;
}

TEST(Drawn, ThePagesTableIsWhatTheProgramComputes) {
  const ordered_json now = made();
  if (std::getenv("TACKCLOTH_WRITE_FIXTURE") != nullptr) {
    std::ofstream out(kFile);
    out << "{\n\"faces\": " << now["faces"].dump() << ",\n\"drawings\": [\n";
    for (std::size_t i = 0; i < now["drawings"].size(); ++i)
      out << now["drawings"][i].dump() << (i + 1 < now["drawings"].size() ? ",\n" : "\n],\n\"snaps\": [\n");
    for (std::size_t i = 0; i < now["snaps"].size(); ++i)
      out << now["snaps"][i].dump() << (i + 1 < now["snaps"].size() ? ",\n" : "\n]\n}\n");
  }
  std::ifstream in(kFile);
  ASSERT_TRUE(in) << kFile;
  const ordered_json kept = ordered_json::parse(in);
  ASSERT_EQ(kept["faces"], now["faces"]);
  ASSERT_EQ(kept["drawings"].size(), now["drawings"].size());
  ASSERT_EQ(kept["snaps"].size(), now["snaps"].size());
  for (std::size_t i = 0; i < now["drawings"].size(); ++i) {
    const auto &a = kept["drawings"][i], &b = now["drawings"][i];
    ASSERT_EQ(a["zones"], b["zones"]);
    for (const auto& [id, found] : b["found"].items()) {
      EXPECT_NEAR(a["found"][id]["area_m2"].get<double>(), found["area_m2"].get<double>(), 1e-9) << id;
      EXPECT_NEAR(a["found"][id]["tape_mm"].get<double>(), found["tape_mm"].get<double>(), 1e-6) << id;
    }
  }
  for (std::size_t i = 0; i < now["snaps"].size(); ++i) {
    const auto &a = kept["snaps"][i], &b = now["snaps"][i];
    EXPECT_NEAR(a["to"][0].get<double>(), b["to"][0].get<double>(), 1e-9) << b.dump();
    EXPECT_NEAR(a["to"][1].get<double>(), b["to"][1].get<double>(), 1e-9) << b.dump();
    EXPECT_EQ(a["x_why"], b["x_why"]);
    EXPECT_EQ(a["y_why"], b["y_why"]);
  }
}

// Corners go through the changes and back to the page as they were drawn.
TEST(Drawn, CornersComeBackInMillimetres) {
  const auto change =
      job::read_change("k", "2027-04-05T18:00",
                       R"({"piece":"p","part":"front","zone":"leaf","set":{"face":"front","form":"polygon",
                                      "treatment":"paint","points":[[10,10],[200.25,10],[100,150,12.5]]}})");
  ASSERT_TRUE(change);
  const auto toml = job::edited(kJob, {change->edit});
  ASSERT_TRUE(toml);
  for (const auto& [key, value] : job::written_keys(*toml, "p", "front", "leaf")) {
    if (key == "points") {
      EXPECT_EQ(std::get<job::EditRows>(value), (job::EditRows{{10, 10}, {200.25, 10}, {100, 150, 12.5}}));
    }
  }
  for (const char* bad : {"[]", "[[]]", "[[1,2,3,4]]", "[[\"1\",2]]", "[1,2]", "[[1,null]]", "[[[1,2]]]"}) {
    EXPECT_FALSE(
        job::read_change("k", "2027-04-05T18:00",
                         std::string(R"({"piece":"p","part":"front","zone":"z","set":{"points":)") + bad + "}}"))
        << bad;
  }
  EXPECT_FALSE(job::read_change("k", "2027-04-05T18:00",
                                R"({"piece":"p","part":"front","zone":"z","set":{"points":)" +
                                    ordered_json(std::vector<std::vector<double>>(501, {1, 2})).dump() + "}}"));
}

}  // namespace
}  // namespace tackcloth::look
