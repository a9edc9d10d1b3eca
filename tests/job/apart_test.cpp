// What came off a piece: read from the file, and written one row at a time by two people.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "job/changes.h"
#include "job/job.h"
#include "sample.h"

namespace tackcloth::job {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

std::vector<piece::TakenOff> rows_of(const std::string& toml) {
  const auto job = parse_job(toml, "job.toml", testing::small_catalog());
  EXPECT_TRUE(job) << (job ? "" : job.error().front().what);
  return job ? job->pieces.at(0).taken_off : std::vector<piece::TakenOff>{};
}
std::string refusal(const std::string& toml) {
  const auto job = parse_job(toml, "job.toml", testing::small_catalog());
  EXPECT_FALSE(job);
  return job ? "" : job.error().front().what + " / " + job.error().front().remedy;
}

TEST(TakenOff, IsReadInItsOrder) {
  const auto rows = rows_of(testing::kSample);
  ASSERT_EQ(rows.size(), 2u);
  EXPECT_EQ(rows[0].name, "Back plate");
  ASSERT_EQ(rows[0].held_by.size(), 1u);
  EXPECT_EQ(rows[0].held_by[0].count, 6);
  EXPECT_EQ(rows[0].held_by[0].size, "3 x 12, slotted");
  EXPECT_EQ(rows[0].bag, "A1");
  EXPECT_EQ(rows[1].name, "leg-a");
  EXPECT_EQ(rows[1].part, "leg");
  EXPECT_THAT(rows[1].under, ElementsAre("back"));
  EXPECT_DOUBLE_EQ(rows[1].clearance_um.value_or(0), 400);
  EXPECT_EQ(rows[1].cables.at(0).to, "switch, left");
  EXPECT_THAT(rows[1].ticked, ElementsAre("on", "Ak1/to"));
}

TEST(TakenOff, WhatCannotBeIsSaid) {
  EXPECT_THAT(refusal(testing::changed("bag = \"A1\"", "bag = \"a box\"")), HasSubstr("no name of a bag"));
  EXPECT_THAT(refusal(testing::changed("name = \"Ak1\"", "name = \"red\"")), HasSubstr("no name of a cable"));
  EXPECT_THAT(refusal(testing::changed("under = [\"back\"]", "under = [\"bcak\"]")), HasSubstr("back"));
  EXPECT_THAT(refusal(testing::changed("id = \"leg-a\"\npart", "id = \"back\"\npart")), HasSubstr("already"));
  EXPECT_THAT(refusal(testing::changed("\"Ak1/to\"]", "\"bag\"]")), HasSubstr("bag"));
  EXPECT_THAT(refusal(testing::changed("fits = \"case\"", "fits = \"house\"")), HasSubstr("house"));
  EXPECT_THAT(refusal(testing::changed("clearance = \"0.4 mm\"", "clearance = \"0.4\"")), HasSubstr("0.4"));
}

class Together : public ::testing::Test {
 protected:
  // Stores a change, as the service does.
  void write(const std::string& key, const std::string& body) {
    auto change = read_change(key, "2027-04-06T10:00", body);
    ASSERT_TRUE(change) << change.error().what;
    changes_.push_back(std::move(*change));
    ASSERT_TRUE(settle(changes_));
  }
  std::vector<piece::TakenOff> rows() {
    const auto laid = laid_over(testing::kSample, standing(changes_));
    EXPECT_TRUE(laid) << (laid ? "" : laid.error().what);
    return laid ? rows_of(*laid) : std::vector<piece::TakenOff>{};
  }
  std::vector<Change> changes_;
};

TEST_F(Together, TwoPeopleWriteAtOnceAndNothingIsLost) {
  write("ann-1", R"({"piece":"cabinet","taken_off":"knob","set":{"name":"Knob","bag":"A2",
                     "held_by":[{"what":"grub screw","count":1}]}})");
  write("ben-1", R"({"piece":"cabinet","taken_off":"lamp","set":{"name":"Lamp","under":["back"]}})");
  write("ann-2", R"({"piece":"cabinet","taken_off":"knob","tick":"bag"})");
  write("ben-2", R"({"piece":"cabinet","taken_off":"knob","tick":"on"})");
  write("ben-3", R"({"piece":"cabinet","taken_off":"knob","tick":"on"})");
  auto all = rows();
  ASSERT_EQ(all.size(), 4u);
  EXPECT_EQ(all[2].id, "knob");
  EXPECT_THAT(all[2].ticked, ElementsAre("bag", "on"));
  EXPECT_EQ(all[3].id, "lamp");
  // Each is undone by itself, and again.
  write("u1", R"({"take_back":"ben-2"})");
  write("u2", R"({"take_back":"ben-3"})");
  EXPECT_THAT(rows()[2].ticked, ElementsAre("bag"));
  write("u3", R"({"take_back":"u1"})");
  EXPECT_THAT(rows()[2].ticked, ElementsAre("bag", "on"));
  write("ann-3", R"({"piece":"cabinet","taken_off":"knob","set":{"bag":null}})");
  const auto laid = laid_over(testing::kSample, standing(changes_));
  ASSERT_TRUE(laid);
  EXPECT_THAT(refusal(*laid), HasSubstr("bag"));  // ticked, but there is none: the service would not have taken it
}

TEST_F(Together, ChangingThePieceMeanwhileTouchesNothingOfIt) {
  const auto json = as_json(testing::kSample);
  ASSERT_TRUE(json);
  nlohmann::json body = nlohmann::json::parse(*json)["piece"][0];
  body["name"] = "Renamed";
  body["taken_off"] = nlohmann::json::array();  // as seen before anything came off
  write("ann-1", R"({"piece":"cabinet","taken_off":"knob","set":{"name":"Knob"}})");
  write("ben-1", R"({"put":"piece/cabinet","after":"","body":)" + body.dump() + "}");  // has not seen ann's
  EXPECT_FALSE(changes_.back().contested);
  ASSERT_EQ(rows().size(), 3u);
  const auto laid = laid_over(testing::kSample, standing(changes_));
  const auto job = parse_job(*laid, "job.toml", testing::small_catalog());
  ASSERT_TRUE(job) << job.error().front().what;
  EXPECT_EQ(job->pieces[0].piece.name, "Renamed");
  write("ann-2", R"({"piece":"cabinet","taken_off":"back","remove":true})");
  EXPECT_EQ(heads(changes_).at("piece/cabinet"), "ben-1");
}

TEST_F(Together, ARowThatIsNotThereIsNotTicked) {
  write("a", R"({"piece":"cabinet","taken_off":"ghost","tick":"on"})");
  EXPECT_FALSE(laid_over(testing::kSample, standing(changes_)));
}

TEST(ApartStep, IsOneThingAtATime) {
  const auto bad = [](const char* text) {
    const auto read = read_change("k", "", text);
    EXPECT_FALSE(read) << text;
    if (!read) {
      EXPECT_FALSE(read.error().remedy.empty());
    }
  };
  bad(R"({"piece":"c","taken_off":"b"})");
  bad(R"({"piece":"c","taken_off":"b","tick":"on","remove":true})");
  bad(R"({"piece":"c","taken_off":"b","set":{}})");
  bad(R"({"piece":"c","taken_off":"b","set":{"id":"x"}})");
  bad(R"({"piece":"c","taken_off":"b","set":{"ticked":["on"]}})");
  bad(R"({"piece":"c","taken_off":"","tick":"on"})");
  bad(R"({"piece":"c","taken_off":"b","tick":"on","part":"x"})");
  bad(R"({"piece":"c","taken_off":"b","remove":1})");
}

}  // namespace
}  // namespace tackcloth::job
