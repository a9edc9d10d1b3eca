#include "job/changes.h"

#include <gtest/gtest.h>

#include "job/edit.h"

namespace tackcloth::job {
namespace {

std::vector<Change> read_all(const std::vector<std::pair<std::string, std::string>>& bodies) {
  std::vector<Change> changes;
  for (const auto& [key, body] : bodies) {
    auto read = read_change(key, "2027-04-05T18:00", body);
    EXPECT_TRUE(read) << body;
    if (read) changes.push_back(std::move(*read));
  }
  return changes;
}

const char* kBlue = R"j({"piece":"c","part":"case","zone":"sun","set":{"color":"lab(40 -5 -30)"}})j";
const char* kGreen = R"j({"piece":"c","part":"case","zone":"sun","set":{"color":"lab(62 -12 6)"}})j";

TEST(Changes, TakingBackIsAChangeOfItsOwn) {
  auto changes = read_all({{"a", kBlue}, {"b", kGreen}, {"u", R"({"take_back":"b"})"}});
  ASSERT_TRUE(settle(changes));
  auto edits = standing(changes);
  ASSERT_EQ(edits.size(), 1u);
  EXPECT_EQ(std::get<std::string>(std::get<Edit>(edits[0]).set[0].second), "lab(40 -5 -30)");
  // Taking back the taking back brings the green again.
  changes = read_all({{"a", kBlue}, {"b", kGreen}, {"u", R"({"take_back":"b"})"}, {"v", R"({"take_back":"u"})"}});
  ASSERT_TRUE(settle(changes));
  EXPECT_EQ(standing(changes).size(), 2u);
  // And a third time takes it away.
  changes = read_all(
      {{"b", kGreen}, {"u", R"({"take_back":"b"})"}, {"v", R"({"take_back":"u"})"}, {"w", R"({"take_back":"v"})"}});
  ASSERT_TRUE(settle(changes));
  EXPECT_TRUE(standing(changes).empty());
}

std::string put(const std::string& name, const std::string& after, const std::string& chapter = "piece/c") {
  return R"({"put":")" + chapter + R"(","body":{"id":"c","name":")" + name + R"("},"after":")" + after + "\"}";
}
std::vector<std::string> names(const std::vector<Step>& steps) {
  std::vector<std::string> said;
  for (const Step& step : steps) {
    const auto* one = std::get_if<Put>(&step);
    if (one == nullptr)
      said.emplace_back("edit");
    else
      said.push_back(one->body.substr(one->body.find("name") + 7, 1));
  }
  return said;
}

TEST(Changes, APutThatSawTheOneBeforeFollowsIt) {
  auto changes = read_all({{"1", put("A", "")}, {"2", put("B", "1")}, {"3", put("C", "2")}});
  ASSERT_TRUE(settle(changes));
  EXPECT_EQ(names(standing(changes)), (std::vector<std::string>{"A", "B", "C"}));
  EXPECT_EQ(heads(changes).at("piece/c"), "3");
  // Undone, it does not count, but whoever comes next has seen it.
  changes = read_all({{"1", put("A", "")}, {"2", put("B", "1")}, {"u", R"({"take_back":"2"})"}, {"3", put("C", "2")}});
  ASSERT_TRUE(settle(changes));
  EXPECT_EQ(names(standing(changes)), (std::vector<std::string>{"A", "C"}));
}

TEST(Changes, TwoAtOnceAreBothKeptAndOneIsChosen) {
  std::vector<std::pair<std::string, std::string>> bodies = {
      {"1", put("A", "")}, {"2", put("B", "1")}, {"3", put("C", "1")}};
  auto changes = read_all(bodies);
  ASSERT_TRUE(settle(changes));
  EXPECT_FALSE(changes[1].contested);
  EXPECT_TRUE(changes[2].contested);
  EXPECT_TRUE(changes[2].stands);
  EXPECT_EQ(names(standing(changes)), (std::vector<std::string>{"A", "B"}));
  EXPECT_EQ(heads(changes).at("piece/c"), "2");

  bodies.emplace_back("4", R"({"choose":"3"})");
  changes = read_all(bodies);
  ASSERT_TRUE(settle(changes));
  EXPECT_FALSE(changes[2].contested);
  EXPECT_EQ(names(standing(changes)), (std::vector<std::string>{"A", "B", "C"}));
  EXPECT_EQ(heads(changes).at("piece/c"), "4");

  // A choice can be taken back, and the next put follows the choice.
  bodies.emplace_back("5", put("D", "4"));
  changes = read_all(bodies);
  ASSERT_TRUE(settle(changes));
  EXPECT_EQ(names(standing(changes)), (std::vector<std::string>{"A", "B", "C", "D"}));
  bodies.emplace_back("6", R"({"take_back":"4"})");
  changes = read_all(bodies);
  ASSERT_TRUE(settle(changes));
  EXPECT_TRUE(changes[2].contested);
  EXPECT_EQ(names(standing(changes)), (std::vector<std::string>{"A", "B", "D"}));

  // Or the contested one is dropped.
  changes = read_all({{"1", put("A", "")}, {"2", put("B", "1")}, {"3", put("C", "1")}, {"4", R"({"take_back":"3"})"}});
  ASSERT_TRUE(settle(changes));
  EXPECT_FALSE(changes[2].stands);
  EXPECT_EQ(names(standing(changes)), (std::vector<std::string>{"A", "B"}));
}

TEST(Changes, AChosenPutComesInForceWhereItWasChosen) {
  auto changes = read_all(
      {{"1", put("A", "")}, {"2", put("B", "1")}, {"3", put("C", "1")}, {"e", kBlue}, {"4", R"({"choose":"3"})"}});
  ASSERT_TRUE(settle(changes));
  EXPECT_EQ(names(standing(changes)), (std::vector<std::string>{"A", "B", "edit", "C"}));
}

TEST(Changes, AnEditOfAZoneCountsAsSeenToo) {
  auto changes = read_all({{"1", put("A", "")}, {"e", kBlue}, {"2", put("B", "1")}});
  ASSERT_TRUE(settle(changes));
  EXPECT_TRUE(changes[2].contested) << "it would lay the older colour over the new one";
  changes = read_all({{"1", put("A", "")}, {"e", kBlue}, {"2", put("B", "e")}, {"s", put("S", "", "shop")}});
  ASSERT_TRUE(settle(changes));
  EXPECT_FALSE(changes[2].contested);
  EXPECT_FALSE(changes[3].contested) << "another chapter";
}

TEST(Changes, OnlyWhatIsThereCanBeChosen) {
  auto changes = read_all({{"1", put("A", "")}, {"2", R"({"choose":"9"})"}});
  EXPECT_FALSE(settle(changes));
  changes = read_all({{"e", kBlue}, {"2", R"({"choose":"e"})"}});
  EXPECT_FALSE(settle(changes));
  for (const char* body :
       {R"({"put":"piece/c","body":{}})", R"({"put":"barn","body":{},"after":""})",
        R"({"put":"shop","body":null,"after":""})", R"({"put":"piece/c","body":{},"after":3})",
        R"({"put":"piece/c","body":{},"after":"","who":"me"})", R"({"choose":""})", R"({"choose":"a","piece":"c"})"}) {
    EXPECT_FALSE(read_change("k", "2027-04-05T18:00", body)) << body;
  }
}

TEST(Changes, RefusesWhatCannotBeTaken) {
  const std::vector<std::string> bad = {
      "",
      "[]",
      "{}",
      R"j({"piece":"c","part":"case","zone":"sun"})j",
      R"j({"piece":"c","part":"case","zone":"sun","set":{}})j",
      R"j({"piece":"c","part":"case","zone":"sun","set":{"id":"other"}})j",
      R"j({"piece":"c","part":"case","zone":"sun","set":{"color":{"l":1}}})j",
      R"j({"piece":"c","part":"case","zone":"sun","set":{"color":"x"},"remove":true})j",
      R"j({"piece":"c","part":"case","zone":"sun","set":{"color":"x"},"who":"me"})j",
      R"j({"piece":7,"part":"case","zone":"sun","set":{"color":"x"}})j",
      R"({"take_back":"a","piece":"c"})",
      R"({"take_back":""})",
      "{\"piece\":\"c\",\"part\":\"case\",\"zone\":\"sun\",\"set\":{\"color\":\"" + std::string(20000, 'x') + "\"}}",
  };
  for (const std::string& body : bad) {
    const auto read = read_change("k", "2027-04-05T18:00", body);
    EXPECT_FALSE(read) << body.substr(0, 100);
    if (!read) {
      EXPECT_FALSE(read.error().remedy.empty());
    }
  }
  auto changes = read_all({{"u", R"({"take_back":"nothing"})"}});
  EXPECT_FALSE(settle(changes));
}

std::string pin(const std::string& start, bool beside = false, const std::string& zones = "top") {
  return R"({"pin":"c-07","mark":{"piece":"c","step":"clear","zones":")" + zones + R"("},"start":)" +
         (start.empty() ? "null" : "\"" + start + "\"") + (beside ? R"(,"beside":true})" : "}");
}
std::vector<std::string> hours(std::vector<Change>& changes) {
  EXPECT_TRUE(settle(changes));
  std::vector<std::string> said;
  for (const PinStep& one : standing_pins(changes))
    said.push_back(one.start.empty() ? "loose" : one.start.substr(11, 5));
  return said;
}

TEST(Pins, TheLastOfAStepCountsAndIsUndoneLikeAnyChange) {
  auto changes = read_all({{"1", pin("2027-04-06T18:00")}, {"2", pin("2027-04-06T19:15")}});
  EXPECT_EQ(hours(changes), std::vector<std::string>{"19:15"});
  EXPECT_TRUE(standing(changes).empty()) << "nothing of the job is touched";
  EXPECT_TRUE(heads(changes).empty());
  changes = read_all({{"1", pin("2027-04-06T18:00")}, {"2", pin("")}});
  EXPECT_EQ(hours(changes), std::vector<std::string>{"loose"});
  changes = read_all({{"1", pin("2027-04-06T18:00")}, {"2", pin("")}, {"u", R"({"take_back":"2"})"}});
  EXPECT_EQ(hours(changes), std::vector<std::string>{"18:00"});
  changes = read_all({{"1", pin("2027-04-06T18:00")}, {"u", R"({"take_back":"1"})"}});
  EXPECT_TRUE(hours(changes).empty());
  // Another step's is another pin.
  changes = read_all({{"1", pin("2027-04-06T18:00")}, {"2", pin("2027-04-06T19:15", false, "leg")}});
  EXPECT_EQ(hours(changes), (std::vector<std::string>{"18:00", "19:15"}));
}

TEST(Pins, OneMadeBesideAnotherWaitsUntilItIsChosen) {
  std::vector<std::pair<std::string, std::string>> bodies = {{"1", pin("2027-04-06T18:00")},
                                                             {"2", pin("2027-04-06T20:00", true)}};
  auto changes = read_all(bodies);
  EXPECT_EQ(hours(changes), std::vector<std::string>{"18:00"});
  EXPECT_TRUE(changes[1].contested);
  bodies.emplace_back("3", R"({"choose":"2"})");
  changes = read_all(bodies);
  EXPECT_EQ(hours(changes), std::vector<std::string>{"20:00"});
  EXPECT_FALSE(changes[1].contested);
  EXPECT_TRUE(standing(changes).empty());
  bodies.emplace_back("4", R"({"take_back":"3"})");
  changes = read_all(bodies);
  EXPECT_EQ(hours(changes), std::vector<std::string>{"18:00"});
  EXPECT_TRUE(changes[1].contested);
}

TEST(Pins, WhatIsNoneIsRefused) {
  for (const char* bad :
       {R"({"pin":""})", R"({"pin":3,"mark":{"piece":"c"},"start":null})", R"({"pin":"c-07","start":null})",
        R"({"pin":"c-07","mark":{},"start":null})", R"({"pin":"c-07","mark":{"piece":"c"}})",
        R"({"pin":"c-07","mark":{"piece":"c"},"start":"soon"})", R"({"pin":"c-07","mark":{"piece":"c"},"start":7})",
        R"({"pin":"c-07","mark":{"piece":"c"},"start":null,"beside":1})",
        R"({"pin":"c-07","mark":{"piece":"c"},"start":null,"other":1})"})
    EXPECT_FALSE(read_change("k", "2027-04-05T18:00", bad)) << bad;
  const auto read = read_pin_step(pin("2027-04-06T18:00", true));
  ASSERT_TRUE(read);
  const auto again = read_pin_step(to_json(*read));
  ASSERT_TRUE(again);
  EXPECT_EQ(to_json(*again), to_json(*read));
  EXPECT_TRUE(again->beside);
}

std::string reading(const char* room, const char* at, double temp_c) {
  return std::string("{\"reading\":\"") + room + "\",\"at\":\"" + at + "\",\"temp_c\":" + std::to_string(temp_c) +
         ",\"rh\":0.5}";
}

TEST(Readings, OfEachRoomTheNewestByItsHourCountsWhateverOrderTheyCameIn) {
  // A telephone that was away sends an older reading later.
  auto changes = read_all({{"a", reading("bench", "2027-04-05T10:00", 19)},
                           {"b", reading("loft", "2027-04-05T09:00", 12)},
                           {"c", reading("bench", "2027-04-05T08:00", 15)}});
  ASSERT_TRUE(settle(changes));
  EXPECT_TRUE(standing(changes).empty());  // nothing of the job
  EXPECT_TRUE(heads(changes).empty());
  const auto latest = latest_readings(changes);
  ASSERT_EQ(latest.size(), 2u);
  EXPECT_EQ(latest[0].room, "bench");
  EXPECT_DOUBLE_EQ(latest[0].temp_c, 19);
  EXPECT_DOUBLE_EQ(latest[1].temp_c, 12);
}

TEST(Readings, OneThatIsTakenBackGivesPlaceToTheOneBefore) {
  auto changes = read_all({{"a", reading("bench", "2027-04-05T10:00", 19)},
                           {"b", reading("bench", "2027-04-05T11:00", 31)},
                           {"u", R"({"take_back":"b"})"}});
  ASSERT_TRUE(settle(changes));
  ASSERT_EQ(latest_readings(changes).size(), 1u);
  EXPECT_DOUBLE_EQ(latest_readings(changes)[0].temp_c, 19);
}

TEST(Readings, WhatCannotBeIsRefused) {
  for (const char* body :
       {R"({"reading":"","at":"2027-04-05T10:00","temp_c":19,"rh":0.5})", R"({"reading":"bench","temp_c":19,"rh":0.5})",
        R"({"reading":"bench","at":"2027-04-05T18:06","temp_c":19,"rh":0.5})",
        R"({"reading":"bench","at":"2027-04-05T10:00","temp_c":190,"rh":0.5})",
        R"({"reading":"bench","at":"2027-04-05T10:00","temp_c":19,"rh":50})",
        R"({"reading":"bench","at":"2027-04-05T10:00","temp_c":19,"rh":0})",
        R"({"reading":"bench","at":"2027-04-05T10:00","temp_c":"19","rh":0.5})",
        R"({"reading":"bench","at":"2027-04-05T10:00","temp_c":19,"rh":0.5,"set":{}})"}) {
    const auto read = read_change("k", "2027-04-05T18:00", body);
    EXPECT_FALSE(read) << body;
  }
  EXPECT_TRUE(read_change("k", "2027-04-05T18:00", reading("bench", "2027-04-05T18:05", 19)));
}

}  // namespace
}  // namespace tackcloth::job
