#include "look/changes.h"

#include <gtest/gtest.h>

#include "job/edit.h"

namespace tackcloth::look {
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
  EXPECT_EQ(std::get<std::string>(edits[0].set[0].second), "lab(40 -5 -30)");
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

}  // namespace
}  // namespace tackcloth::look
