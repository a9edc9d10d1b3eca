#include <gtest/gtest.h>

#include <algorithm>

#include "job_maker.h"
#include "plan/plan.h"
#include "world.h"

namespace tackcloth {
namespace {

TEST(PlanJson, RoundTrips) {
  ASSERT_TRUE(testing::real_world().problems.empty());
  const auto plan = plan::make_plan(testing::JobMaker(3).make(2), testing::real_world().world(), {});
  ASSERT_TRUE(plan);
  const std::string once = plan::to_json(*plan);
  const auto back = plan::from_json(once);
  ASSERT_TRUE(back) << to_text(back.error());
  EXPECT_EQ(plan::to_json(*back), once);
}

// What a page draws is what was measured: the outline encloses the area of one part, and stays on its face.
TEST(PlanJson, OutlinesEncloseTheAreaAndComeBackTheSame) {
  ASSERT_TRUE(testing::real_world().problems.empty());
  int drawn = 0;
  for (const std::uint64_t seed : {3, 4, 5, 6}) {
    const job::Job job = testing::JobMaker(seed).make(2);
    const auto plan = plan::make_plan(job, testing::real_world().world(), {});
    ASSERT_TRUE(plan);
    const auto back = plan::from_json(plan::to_json(*plan));
    ASSERT_TRUE(back) << to_text(back.error());
    for (std::size_t p = 0; p < plan->pieces.size(); ++p)
      for (std::size_t z = 0; z < plan->pieces[p].zones.size(); ++z) {
        const plan::PlannedZone& zone = back->pieces[p].zones[z];
        if (zone.outlines.empty()) continue;
        ++drawn;
        int count = 0;
        for (const piece::Part& part : job.pieces[p].piece.parts)
          if (part.id == zone.part) count = part.count;
        EXPECT_NEAR(shape::area_mm2(shape::Region{zone.outlines}) * 1e-6 * count, zone.area_m2, 1e-9);
        const shape::Box box = shape::bounds({zone.outlines});
        EXPECT_GE(box.left, -1e-6);
        EXPECT_LE(box.right, zone.face_width_mm + 1e-6);
        EXPECT_LE(box.top, zone.face_height_mm + 1e-6);
        ASSERT_EQ(zone.outlines.size(), plan->pieces[p].zones[z].outlines.size());
        for (std::size_t o = 0; o < zone.outlines.size(); ++o)
          for (std::size_t e = 0; e < zone.outlines[o].edges.size(); ++e)
            EXPECT_EQ(zone.outlines[o].edges[e].bulge, plan->pieces[p].zones[z].outlines[o].edges[e].bulge);
      }
  }
  EXPECT_GT(drawn, 0);
}

TEST(PlanJson, RoundZonesHaveNoOutline) {
  plan::Plan plan;
  plan.pieces.emplace_back();
  plan.pieces[0].zones.push_back({"tip", "leg", "side", "paint", 0.02, 240, 0, 0, {}});
  EXPECT_EQ(plan::to_json(plan).find("outlines"), std::string::npos);
  plan.pieces[0].zones.push_back({"sun", "case", "front", "paint", 0.06, 590, 680, 410, {}});
  plan.pieces[0].zones[1].outlines = shape::half_circle({340, 0}, 190, true).outlines;
  const auto back = plan::from_json(plan::to_json(plan));
  ASSERT_TRUE(back) << to_text(back.error());
  EXPECT_TRUE(back->pieces[0].zones[0].outlines.empty());
  ASSERT_EQ(back->pieces[0].zones[1].outlines.size(), 1u);
  EXPECT_EQ(back->pieces[0].zones[1].outlines[0].edges[1].bulge, 1);
  EXPECT_EQ(back->pieces[0].zones[1].face_width_mm, 680);
}

// Whatever is planned lies within the hours that the plan tells of the person who does it.
TEST(PlanJson, TellsTheHoursThatTheTurnsLieIn) {
  ASSERT_TRUE(testing::real_world().problems.empty());
  const job::Job job = testing::JobMaker(5).make(3);
  const auto made = plan::make_plan(job, testing::real_world().world(), {});
  ASSERT_TRUE(made);
  const auto plan = plan::from_json(plan::to_json(*made));
  ASSERT_TRUE(plan) << to_text(plan.error());
  ASSERT_EQ(plan->people.size(), job.shop.people.size());
  ASSERT_EQ(plan->rooms.size(), job.shop.rooms.size());
  EXPECT_EQ(plan->rooms[0].resting_places, job.shop.rooms[0].resting_places);
  int turns = 0;
  for (const plan::PlannedPiece& piece : plan->pieces)
    for (const plan::PlannedStep& step : piece.schedule)
      for (const plan::Turn& turn : step.turns)
        for (const std::string& who : turn.who) {
          ++turns;
          const auto person =
              std::find_if(plan->people.begin(), plan->people.end(), [&](const auto& p) { return p.id == who; });
          ASSERT_NE(person, plan->people.end()) << who;
          EXPECT_TRUE(std::any_of(person->hours.begin(), person->hours.end(),
                                  [&](const auto& h) { return h.start <= turn.start && turn.end <= h.end; }))
              << step.id << " at " << to_iso(turn.start);
        }
  EXPECT_GT(turns, 0);
}

// A plan stored before the shop's hours were told can still be read.
TEST(PlanJson, ReadsPlansWithoutTheShopsHours) {
  std::string text = plan::to_json(plan::Plan{});
  for (const char* newer : {"\"people\": [],", "\"rooms\": [],"}) {
    const std::size_t at = text.find(newer);
    ASSERT_NE(at, std::string::npos);
    text.erase(at, std::string(newer).size());
  }
  const auto back = plan::from_json(text);
  ASSERT_TRUE(back) << to_text(back.error());
  EXPECT_TRUE(back->people.empty());
}

TEST(PlanJson, RefusesOtherText) {
  EXPECT_FALSE(plan::from_json(""));
  EXPECT_FALSE(plan::from_json("{\"schema\": 1}"));
  EXPECT_FALSE(plan::from_json("{\"schema\": 99}"));
}

}  // namespace
}  // namespace tackcloth
