// docs/job.schema.json and the reader know the same keys and the same words.
#include <gtest/gtest.h>

#include <array>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>

#include "job/job.h"
#include "job/words.h"
#include "piece/words.h"
#include "sample.h"

namespace tackcloth::job {
namespace {

using nlohmann::json;

json schema() {
  std::ifstream in(std::string(TACKCLOTH_SOURCE_DIR) + "/docs/job.schema.json");
  return json::parse(in, nullptr, false);
}

std::set<std::string> names(const json& object) {
  std::set<std::string> all;
  for (const auto& [name, value] : object.at("properties").items()) all.insert(name);
  return all;
}

// What the reader knows in the table where `stray` sits, told by its complaint about it.
std::set<std::string> known_beside_stray(const std::string& text) {
  const auto job = parse_job(text, "job.toml", testing::small_catalog());
  std::set<std::string> all;
  EXPECT_FALSE(job.has_value());
  if (job) return all;
  for (const Problem& problem : job.error()) {
    if (problem.what.find("'qqqqqqqq'") == std::string::npos) continue;
    std::string list = problem.expected.substr(std::string("one of: ").size());
    for (std::size_t at; (at = list.find(", ")) != std::string::npos; list.erase(0, at + 2))
      all.insert(list.substr(0, at));
    all.insert(list);
  }
  return all;
}

TEST(Schema, KeysAgreeWithTheReader) {
  const json file = schema();
  ASSERT_TRUE(file.is_object());
  EXPECT_EQ(known_beside_stray("qqqqqqqq = 1\n" + testing::kSample), names(file));
  const std::string stray = "qqqqqqqq = 1";
  const std::vector<std::array<std::string, 3>> places = {
      {"shop", "[shop]\n", "[shop]\n" + stray + "\n"},
      {"room", "[[shop.room]]\n", "[[shop.room]]\n" + stray + "\n"},
      {"set_point", "set_point = { ", "set_point = { " + stray + ", "},
      {"follows_outdoors", "follows_outdoors = { ", "follows_outdoors = { " + stray + ", "},
      {"outdoor_day", "[[shelf]]\n", "[[shop.outdoors]]\n" + stray + "\n\n[[shelf]]\n"},
      {"person", "[[shop.person]]\n", "[[shop.person]]\n" + stray + "\n"},
      {"hours", "hours = { ", "hours = { " + stray + ", "},
      {"exception", "[[shop.person.exception]]\n", "[[shop.person.exception]]\n" + stray + "\n"},
      {"shelf", "[[shelf]]\n", "[[shelf]]\n" + stray + "\n"},
      {"waste_fee", "[[shelf]]\n", "[[shop.waste_fee]]\n" + stray + "\n\n[[shelf]]\n"},
      {"piece", "[[piece]]\n", "[[piece]]\n" + stray + "\n"},
      {"part", "[[piece.part]]\n", "[[piece.part]]\n" + stray + "\n"},
      {"substrate", "substrate = { ", "substrate = { " + stray + ", "},
      {"photo", "[[piece.photo]]\n", "[[piece.photo]]\n" + stray + "\n"},
      {"look", "[[piece.look]]\n", "[[piece.look]]\n" + stray + "\n"},
      {"look_zone", "[[piece.look.zone]]\n", "[[piece.look.zone]]\n" + stray + "\n"},
      {"taken_off", "[[piece.taken_off]]\n", "[[piece.taken_off]]\n" + stray + "\n"},
      {"held_by", "held_by = [{ ", "held_by = [{ " + stray + ", "},
      {"cable", "cable = [{ ", "cable = [{ " + stray + ", "},
      {"zone", "[[piece.part.zone]]\n", "[[piece.part.zone]]\n" + stray + "\n"},
      {"cut", "[[shelf]]\n", "[[cut]]\n" + stray + "\n\n[[shelf]]\n"},
      {"cut_remnant", "[[shelf]]\n", "[[cut]]\nremnant = [{ " + stray + " }]\n\n[[shelf]]\n"},
      {"cut_part", "[[shelf]]\n", "[[cut]]\npart = [{ " + stray + " }]\n\n[[shelf]]\n"},
      {"cut_hole", "[[shelf]]\n", "[[cut]]\npart = [{ hole = [{ " + stray + " }] }]\n\n[[shelf]]\n"},
  };
  for (const auto& [definition, from, to] : places)
    EXPECT_EQ(known_beside_stray(testing::changed(from, to)), names(file.at("$defs").at(definition))) << definition;
  EXPECT_EQ(places.size(), file.at("$defs").size());
}

TEST(Schema, WordsAgreeWithTheReader) {
  const json file = schema();
  const auto words = [&](const char* definition, const char* key) {
    return file.at("$defs").at(definition).at("properties").at(key).at("enum").get<std::vector<std::string>>();
  };
  EXPECT_EQ(words("part", "kind"), piece::part_kind_words());
  EXPECT_EQ(words("shop", "numbers"), number_words());
  EXPECT_EQ(words("shop", "dates"), date_words());
  EXPECT_EQ(words("part", "existing"), piece::existing_words());
  EXPECT_EQ(words("substrate", "material"), piece::material_words());
  EXPECT_EQ(words("zone", "form"), piece::zone_form_words());
  EXPECT_EQ(words("zone", "mirror"), mirror_words());
  EXPECT_EQ(words("zone", "treatment"), piece::treatment_words());
  EXPECT_EQ(file.at("properties").at("schema").at("const"), kSchemaVersion);
}

}  // namespace
}  // namespace tackcloth::job
