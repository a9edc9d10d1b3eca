// Putting back in reverse, and what stands in its way. Every case is a small radio: a back plate covers a chassis, the
// grille in front is of cloth.
#include "piece/apart.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <stdexcept>

namespace tackcloth::piece {
namespace {

using catalog::Severity;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

TakenOff off(const std::string& id, std::vector<std::string> under = {}, std::vector<std::string> ticked = {}) {
  TakenOff one;
  one.id = id;
  one.name = id;
  one.under = std::move(under);
  one.ticked = std::move(ticked);
  return one;
}
std::vector<std::string> ids(const std::vector<BackOn>& back) {
  std::vector<std::string> list;
  for (const BackOn& one : back) list.push_back(one.id);
  return list;
}
const BackOn& of(const std::vector<BackOn>& back, const std::string& id) {
  for (const BackOn& one : back)
    if (one.id == id) return one;
  throw std::out_of_range(id);
}
std::vector<std::string> rules(const BackOn& one) {
  std::vector<std::string> list;
  for (const auto& finding : one.findings) {
    list.push_back(finding.rule);
    EXPECT_EQ(finding.zone, one.id);
    EXPECT_FALSE(finding.reason.empty());
    EXPECT_FALSE(finding.mend.empty());
    EXPECT_FALSE(finding.source.empty());
  }
  return list;
}
PartState coats(const std::string& part, double build_um, const std::string& not_ready = "") {
  PartState state;
  state.part = part;
  state.build_um = build_um;
  state.not_ready = not_ready;
  return state;
}

TEST(PuttingBack, IsTheReverseOfTakingOff) {
  const auto back = way_back({off("knobs"), off("plate"), off("chassis", {"plate"})}, {});
  EXPECT_THAT(ids(back), ElementsAre("chassis", "plate", "knobs"));
  EXPECT_TRUE(of(back, "chassis").may);
  EXPECT_FALSE(of(back, "plate").may);
  EXPECT_TRUE(of(back, "knobs").may);
  EXPECT_THAT(rules(of(back, "plate")), ElementsAre("apart-covers"));
  EXPECT_THAT(of(back, "plate").findings[0].mend, HasSubstr("chassis"));
}

TEST(PuttingBack, WhatCoversWaitsEvenWhenItCameOffLater) {
  // Written down in the wrong order: the chassis first, then the plate that was over it.
  const auto back = way_back({off("chassis", {"plate"}), off("plate")}, {});
  EXPECT_THAT(ids(back), ElementsAre("chassis", "plate"));
}

TEST(PuttingBack, ACoverThatIsOnTooEarlyHasToComeOffAgain) {
  const auto back = way_back({off("plate", {}, {"on"}), off("chassis", {"plate"})}, {});
  EXPECT_THAT(rules(of(back, "plate")), ElementsAre("apart-covers"));
  EXPECT_THAT(of(back, "plate").findings[0].mend, HasSubstr("Take plate off again"));
  EXPECT_FALSE(of(back, "plate").may);
}

TEST(PuttingBack, ABagAndBothEndsOfACableAreSettledBeforeTheyAreCovered) {
  TakenOff chassis = off("chassis", {"plate"}, {"on"});
  chassis.bag = "A1";
  chassis.cables = {{"Ak1", "loudspeaker, left lug", "chassis, pin 2"}};
  const auto plate = [&] { return of(way_back({off("plate"), chassis}, {}), "plate"); };
  EXPECT_THAT(rules(plate()), ElementsAre("apart-loose"));
  EXPECT_THAT(plate().findings[0].reason, HasSubstr("bag A1"));
  EXPECT_THAT(plate().findings[0].reason, HasSubstr("loudspeaker, left lug"));
  EXPECT_THAT(tick_words(chassis), ElementsAre("on", "bag", "Ak1/from", "Ak1/to"));
  chassis.ticked = {"on", "bag", "Ak1/from"};
  EXPECT_FALSE(plate().may);
  EXPECT_THAT(plate().findings[0].reason, Not(HasSubstr("bag A1")));
  chassis.ticked.emplace_back("Ak1/to");
  EXPECT_TRUE(plate().may);
  EXPECT_THAT(plate().findings, IsEmpty());
}

TEST(PuttingBack, CoatsThatAreNotReadyKeepItOpen) {
  TakenOff chassis = off("shelf", {"plate"}, {"on"});
  chassis.part = "shelf_board";
  TakenOff plate = off("plate");
  plate.part = "back";
  const auto under = way_back({plate, chassis}, {coats("shelf_board", 80, "Brush varnish")});
  EXPECT_THAT(rules(of(under, "plate")), ElementsAre("apart-cure-under"));
  EXPECT_THAT(rules(of(under, "shelf")), ElementsAre("apart-coats"));
  EXPECT_EQ(of(under, "shelf").findings[0].severity, Severity::caution);  // it is on already
  const auto own = way_back({plate}, {coats("back", 80, "Brush varnish")});
  EXPECT_THAT(rules(own[0]), ElementsAre("apart-coats"));
  EXPECT_FALSE(own[0].may);
  TakenOff fitted = off("door");
  fitted.fits = "case";
  EXPECT_THAT(rules(way_back({fitted}, {coats("case", 0, "Brush varnish")})[0]), ElementsAre("apart-coats"));
  EXPECT_TRUE(way_back({plate}, {coats("back", 80)})[0].may);
}

TEST(PuttingBack, ClothOverTheOpeningKeepsWhatGoesThroughItOut) {
  TakenOff speaker = off("speaker");
  speaker.through = {"front"};
  PartState front = coats("front", 0);
  front.cloth_step = "Glue cloth";
  const auto planned = way_back({speaker}, {front})[0];
  EXPECT_THAT(rules(planned), ElementsAre("apart-cloth"));
  EXPECT_TRUE(planned.may);  // there is still time, and that is said
  EXPECT_THAT(planned.findings[0].mend, HasSubstr("before"));
  front.cloth_is_on = true;
  EXPECT_FALSE(way_back({speaker}, {front})[0].may);
}

TEST(PuttingBack, CoatsAreMeasuredAgainstTheGap) {
  TakenOff door = off("door");
  door.part = "door";
  door.fits = "case";
  const auto with = [&](double gap_um) {
    door.clearance_um = gap_um;
    return way_back({door}, {coats("door", 120), coats("case", 100)})[0];  // 0.22 mm together
  };
  EXPECT_THAT(with(1000).findings, IsEmpty());
  EXPECT_THAT(rules(with(400)), ElementsAre("apart-joint"));
  EXPECT_TRUE(with(400).may);
  EXPECT_FALSE(with(220).may);
  EXPECT_FALSE(with(0).may);
  EXPECT_THAT(with(200).findings[0].reason, HasSubstr("0.22 mm in a gap of 0.20 mm"));
  door.clearance_um.reset();
  EXPECT_THAT(way_back({door}, {coats("door", 120)})[0].findings, IsEmpty());
}

TEST(PuttingBack, SaysACircleAndABagOfTwo) {
  const auto back = way_back({off("a", {"b"}), off("b", {"a"})}, {});
  EXPECT_EQ(back.size(), 2u);
  EXPECT_THAT(rules(back[0]), Contains("apart-circle"));
  TakenOff one = off("one"), two = off("two");
  one.bag = two.bag = "B2";
  EXPECT_THAT(rules(way_back({one, two}, {})[0]), ElementsAre("apart-bag-twice"));
}

// Against a plain re-check: whatever is put on as the way back allows, in its order, never covers something that is
// still off; and as long as there is no circle it always goes on to the end.
TEST(PuttingBack, OfManyRandomPiecesAlwaysCloses) {
  std::mt19937 random(7);
  for (int trial = 0; trial < 300; ++trial) {
    std::vector<TakenOff> apart;
    const int count = 1 + static_cast<int>(random() % 12);
    for (int k = 0; k < count; ++k) {
      TakenOff one = off("t" + std::to_string(k));
      for (int j = 0; j < k; ++j)
        if (random() % 4 == 0) one.under.push_back("t" + std::to_string(j));
      apart.push_back(one);
    }
    std::shuffle(apart.begin(), apart.end(), random);  // written down in any order
    for (int turn = 0; turn < count; ++turn) {
      const auto back = way_back(apart, {});
      ASSERT_EQ(back.size(), apart.size());
      const auto next = std::find_if(back.begin(), back.end(), [](const BackOn& one) { return !one.on; });
      ASSERT_TRUE(next->may) << "trial " << trial << ", " << next->id;
      for (const TakenOff& other : apart)
        for (const std::string& cover : other.under)
          if (cover == next->id) {
            EXPECT_THAT(other.ticked, Contains("on"));
          }
      for (TakenOff& one : apart)
        if (one.id == next->id) one.ticked.emplace_back("on");
    }
    for (const BackOn& one : way_back(apart, {})) EXPECT_TRUE(one.on && one.findings.empty());
  }
}

TEST(BagNames, CountOnFromTheLast) {
  TakenOff one = off("one");
  one.bag = "C7";
  one.cables = {{"Ck3", "", ""}};
  EXPECT_THAT(bag_letters({{}, {one}, {}}), ElementsAre("A", "C", "B"));
  EXPECT_EQ(next_bag("C", {one}), "C8");
  EXPECT_EQ(next_cable("C", {one}), "Ck4");
  EXPECT_EQ(next_bag("A", {}), "A1");
  const auto many = bag_letters(std::vector<std::vector<TakenOff>>(30));
  EXPECT_EQ(many[25], "Z");
  EXPECT_EQ(many[26], "AA");
  for (const char* good : {"A1", "ZZ999"}) EXPECT_TRUE(is_bag_name(good)) << good;
  for (const char* bad : {"", "A", "1", "a1", "A0", "A01", "A1000", "ABC1", "A1 ", "Ak1"})
    EXPECT_FALSE(is_bag_name(bad)) << bad;
  EXPECT_TRUE(is_cable_name("Ak1"));
  EXPECT_FALSE(is_cable_name("A1"));
}

TEST(Mains, AreLeftToAQualifiedPerson) {
  EXPECT_EQ(mains_caution().severity, Severity::must_not);
  EXPECT_THAT(mains_caution().mend, HasSubstr("qualified person"));
}

}  // namespace
}  // namespace tackcloth::piece
