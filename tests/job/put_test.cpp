// Chapters put into a job, and the job as JSON and back.
#include "job/put.h"

#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "job/job.h"
#include "sample.h"

namespace tackcloth::job {
namespace {

using nlohmann::json;

std::string text_of(const std::string& path) {
  std::ifstream in(std::string(TACKCLOTH_SOURCE_DIR) + path);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

const std::string kShop = R"(schema = 1
[shop]
hourly_rate = "30.00"
[[shop.room]]
id = "w"
volume_m3 = 40
set_point = { temperature = "20 C", humidity = "50%" }
[[shop.person]]
id = "me"
hours = { sat = ["09:00-12:00"] }
)";
const char* kBoard =
    R"({"id":"b","part":[{"id":"p","kind":"panel","width":"60 cm","height":"40 cm","depth":"2 cm","count":2,
        "grimy":false,"substrate":{"material":"solid_wood","species":"oak"},"damage":["a \"quoted\" word","ü"],
        "zone":[{"id":"z","face":"all","treatment":"clear"}]}],"due":"2027-06-01","weight":1.5,"year":1936})";

TEST(Put, EveryChapterOfTheExamplePutBackLeavesItTheSame) {
  const std::string toml = text_of("/examples/spring.toml");
  ASSERT_FALSE(toml.empty());
  const auto before = as_json(toml);
  ASSERT_TRUE(before);
  const json job = json::parse(*before);
  std::vector<Step> steps;
  steps.emplace_back(Put{Chapter::shop, "", job["shop"].dump()});
  steps.emplace_back(Put{Chapter::shelf, "", job["shelf"].dump()});
  for (const json& piece : job["piece"])
    steps.emplace_back(Put{Chapter::piece, piece["id"].get<std::string>(), piece.dump()});
  ASSERT_EQ(steps.size(), 2 + job["piece"].size());
  const auto laid = laid_over(toml, steps);
  ASSERT_TRUE(laid) << laid.error().what;
  EXPECT_EQ(json::parse(as_json(*laid).value()), job);
}

TEST(Put, ANewPieceComesLastAndIsReadAsItsJsonSays) {
  auto with = laid_over(kShop, {Put{Chapter::piece, "b", kBoard}});
  ASSERT_TRUE(with) << with.error().what;
  EXPECT_TRUE(json::parse(as_json(*with).value()).contains("piece"));
  EXPECT_FALSE(json::parse(as_json(kShop).value()).contains("piece"));
  const auto job = parse_job(*with, "", testing::small_catalog());
  ASSERT_TRUE(job) << to_text(job.error().front());
  ASSERT_EQ(job->pieces.size(), 1u);
  const PieceOrder& order = job->pieces[0];
  EXPECT_EQ(order.piece.year, 1936);
  EXPECT_EQ(order.weight, 1.5);
  EXPECT_EQ(to_iso(*order.due).substr(0, 10), "2027-06-01");
  EXPECT_FALSE(order.piece.parts[0].grimy);
  EXPECT_EQ(order.piece.parts[0].damage, (std::vector<std::string>{"a \"quoted\" word", "ü"}));
  // Two boards, two broad faces and four narrow sides each: 2 x (2 x 0.6 x 0.4 + 0.02 x 2 x (0.6 + 0.4)) m².
  EXPECT_NEAR(order.piece.parts[0].zones[0].area_m2, 2 * (0.48 + 0.04), 1e-9);

  json other = json::parse(kBoard);
  other["id"] = "c";
  with = laid_over(*with, {Put{Chapter::piece, "c", other.dump()}});
  other = json::parse(kBoard);
  other["name"] = "Changed";
  with = laid_over(*with, {Put{Chapter::piece, "b", other.dump()}});
  const json all = json::parse(as_json(*with).value());
  ASSERT_EQ(all["piece"].size(), 2u);
  EXPECT_EQ(all["piece"][0]["name"], "Changed");
  EXPECT_EQ(all["piece"][1]["id"], "c");
  with = laid_over(*with, {Put{Chapter::piece, "b", ""}, Put{Chapter::piece, "c", ""}});
  ASSERT_TRUE(with);
  EXPECT_FALSE(json::parse(as_json(*with).value()).contains("piece"));
}

TEST(Put, EditsAndPutsKeepTheirOrder) {
  Edit edit;
  edit.piece = "b";
  edit.part = "p";
  edit.zone = "z";
  edit.set = {{"color", std::string("lab(60 0 0)")}};
  const Put put{Chapter::piece, "b", kBoard};
  const auto after = laid_over(kShop, {put, edit});
  ASSERT_TRUE(after) << after.error().what;
  EXPECT_EQ(json::parse(as_json(*after).value())["piece"][0]["part"][0]["zone"][0]["color"], "lab(60 0 0)");
  const auto before = laid_over(kShop, {put, edit, put});
  ASSERT_TRUE(before);
  EXPECT_FALSE(json::parse(as_json(*before).value())["piece"][0]["part"][0]["zone"][0].contains("color"));
  EXPECT_FALSE(laid_over(kShop, {edit, put})) << "the piece is not there yet";
}

TEST(Put, RefusesWhatIsNoChapter) {
  std::string deep = "1";
  for (int k = 0; k < 60; ++k) deep = "[" + deep + "]";
  const std::vector<Put> bad = {{Chapter::piece, "b", "{"},
                                {Chapter::piece, "b", "[]"},
                                {Chapter::piece, "b", R"({"id":"other"})"},
                                {Chapter::piece, "b", R"({"part":[]})"},
                                {Chapter::piece, "b", R"({"id":"b","part":)" + deep + "}"},
                                {Chapter::piece, "gone", ""},
                                {Chapter::shop, "", "[]"},
                                {Chapter::shelf, "", "{}"},
                                {Chapter::shelf, "", "[1]"}};
  for (const Put& put : bad) {
    const auto laid = laid_over(kShop, {put});
    ASSERT_FALSE(laid) << put.body.substr(0, 60);
    EXPECT_FALSE(laid.error().remedy.empty());
  }
  EXPECT_FALSE(put_named("piece/"));
  EXPECT_FALSE(put_named("shops"));
  EXPECT_EQ(name_of(put_named("piece/chair").value()), "piece/chair");
}

// The usual pieces of the catalogue are parts a job file takes, each of the kinds it names.
TEST(Put, EveryUsualPieceMakesAPieceThatCanBeMeasured) {
  const json patterns = json::parse(as_json(text_of("/catalog/patterns.toml")).value())["pattern"];
  ASSERT_GT(patterns.size(), 5u);
  for (const json& pattern : patterns) {
    json piece{{"id", pattern["id"]}, {"name", pattern["name"]}, {"part", pattern["part"]}};
    for (json& part : piece["part"]) {
      part["substrate"] = {{"material", "solid_wood"}, {"species", "oak"}};
      part["zone"] = json::array({{{"id", "all"}, {"face", "all"}, {"treatment", "clear"}}});
    }
    const auto toml = laid_over(kShop, {Put{Chapter::piece, pattern["id"].get<std::string>(), piece.dump()}});
    ASSERT_TRUE(toml);
    const auto job = parse_job(*toml, "", testing::small_catalog());
    ASSERT_TRUE(job) << pattern["id"] << ": " << to_text(job.error().front());
    for (const auto& part : job->pieces[0].piece.parts) EXPECT_GT(part.zones[0].area_m2, 0) << part.id;
  }
}

}  // namespace
}  // namespace tackcloth::job
