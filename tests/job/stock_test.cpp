// What was told of the shelf, as it is stored among the changes.
#include <gmock/gmock.h>

#include "job/changes.h"
#include "job/stock_step.h"

namespace tackcloth::job {
namespace {

using materials::Move;
using ::testing::HasSubstr;

Change change_of(const std::string& key, const std::string& when, const std::string& body) {
  auto change = read_change(key, when, body);
  EXPECT_TRUE(change.has_value()) << (change ? "" : change.error().what);
  return change ? *change : Change{};
}

TEST(StockStep, IsReadAndWrittenBack) {
  const std::string text =
      R"({"stock":"came","on":"2026-03-04T17:30:00","lines":[{"product":"varnish_wiping","amount":0.5,"packs":2},)"
      R"({"product":"abrasive_p120","amount":3.0,"bought":"2026-03-01T00:00:00"}]})";
  const auto step = read_stock_step(text);
  ASSERT_TRUE(step.has_value()) << step.error().what;
  const auto again = read_stock_step(to_json(*step));
  ASSERT_TRUE(again.has_value());
  EXPECT_EQ(to_json(*again), to_json(*step));
  EXPECT_EQ(again->lines[0].packs, 2);
  EXPECT_EQ(again->lines[1].bought.substr(0, 10), "2026-03-01");
}

TEST(StockStep, WhatCannotBeSoIsRefusedInWords) {
  const auto refused = [](const std::string& text) {
    const auto step = read_stock_step(text);
    EXPECT_FALSE(step.has_value()) << text;
    return step ? std::string() : step.error().what;
  };
  EXPECT_THAT(refused(R"({"stock":"counted","lines":[{"product":"a","amount":-0.1}]})"), HasSubstr("below zero"));
  EXPECT_THAT(refused(R"({"stock":"counted","lines":[{"product":"a","amount":1e9}]})"), HasSubstr("beyond reason"));
  EXPECT_THAT(refused(R"({"stock":"counted","lines":[{"product":"a"}]})"), HasSubstr("missing"));
  EXPECT_THAT(refused(R"({"stock":"lost","lines":[{"product":"a","amount":1}]})"), HasSubstr("nothing that is known"));
  EXPECT_THAT(refused(R"({"stock":"used","lines":[{"product":"a","amount":1}]})"), HasSubstr("nothing that is known"));
  EXPECT_THAT(refused(R"({"stock":"came","lines":[]})"), HasSubstr("lines"));
  EXPECT_THAT(refused(R"({"stock":"came","lines":[{"product":"a","amount":1,"packs":0}]})"), HasSubstr("packs"));
  EXPECT_THAT(refused(R"({"stock":"came","lines":[{"product":"a","amount":1,"color":"red"}]})"), HasSubstr("color"));
  EXPECT_FALSE(read_stock_step(R"({"stock":"came","on":"soon","lines":[{"product":"a","amount":1}]})").has_value());
}

TEST(StockStep, WhatStandsIsTold) {
  std::vector<Change> changes;
  changes.push_back(
      change_of("a", "2026-03-04T09:00", R"({"stock":"came","lines":[{"product":"x","amount":1,"packs":3}]})"));
  changes.push_back(
      change_of("b", "2026-03-05T09:00",
                R"({"stock":"counted","lines":[{"product":"x","amount":0.5},{"product":"x","amount":0.25}]})"));
  changes.push_back(
      change_of("c", "2026-03-06T09:00", R"({"stock":"gone","on":"2026-03-01","lines":[{"product":"y","amount":2}]})"));
  ASSERT_TRUE(settle(changes).has_value());
  EXPECT_TRUE(standing(changes).empty()) << "the job itself does not change";
  auto told = told_stock(changes);
  ASSERT_EQ(told.size(), 5u);
  EXPECT_EQ(told[0].amount, 10'000);
  EXPECT_EQ(told[3].move, Move::counted);
  EXPECT_EQ(told[3].amount, 7'500);
  EXPECT_EQ(to_iso(told[4].when).substr(0, 10), "2026-03-01");

  changes.push_back(change_of("d", "2026-03-07T09:00", R"({"take_back":"b"})"));
  ASSERT_TRUE(settle(changes).has_value());
  told = told_stock(changes);
  ASSERT_EQ(told.size(), 4u);
  for (const auto& one : told) EXPECT_NE(one.by, "b");
  changes.push_back(change_of("e", "2026-03-08T09:00", R"({"take_back":"d"})"));
  ASSERT_TRUE(settle(changes).has_value());
  EXPECT_EQ(told_stock(changes).size(), 5u);
}

TEST(StockStep, NothingContestsACount) {
  std::vector<Change> changes;
  for (const char* key : {"a", "b"})
    changes.push_back(
        change_of(key, "2026-03-04T09:00", R"({"stock":"counted","lines":[{"product":"x","amount":1}]})"));
  ASSERT_TRUE(settle(changes).has_value());
  for (const Change& change : changes) EXPECT_FALSE(change.contested);
  EXPECT_TRUE(heads(changes).empty());
}

TEST(Amounts, AreReadInTheirOwnUnit) {
  EXPECT_NEAR(*parse_amount("0.6 l", "l"), 0.6, 1e-12);
  EXPECT_NEAR(*parse_amount("600 ml", "l"), 0.6, 1e-12);
  EXPECT_NEAR(*parse_amount("1 qt", "l"), 0.946352946, 1e-9);
  EXPECT_NEAR(*parse_amount("12 m", "m"), 12, 1e-12);
  EXPECT_NEAR(*parse_amount("12", "m"), 12, 1e-12);
  EXPECT_NEAR(*parse_amount("3", "piece"), 3, 1e-12);
  for (const char* text : {"", "much", "3 l", "nan", "inf", "-1"})
    EXPECT_FALSE(parse_amount(text, "piece").has_value()) << text;
  EXPECT_FALSE(parse_amount("-1 l", "l").has_value());
}

}  // namespace
}  // namespace tackcloth::job
