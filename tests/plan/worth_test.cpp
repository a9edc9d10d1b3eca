// A piece judged before it is taken on, with the real catalogue.
#include "plan/worth.h"

#include <cmath>

#include "world.h"

namespace tackcloth::plan {
namespace {

class Taking : public testing::Example {
 protected:
  Taking() {
    options_.odds = false;
    options_.schedules = 60;
    options_.start = *parse_instant("2027-04-05T08:00");
    candidate_.width_mm = 900;
    candidate_.height_mm = 800;
    candidate_.depth_mm = 450;
    candidate_.fronts = 4;
    candidate_.existing = piece::Existing::varnish;
    candidate_.year = 1990;
  }
  Results<Worth> judged(std::optional<Money> market = {}) const {
    return worth_of(candidate_, job_.shop, world_, options_, market);
  }
  Candidate candidate_;
  Options options_;
};

TEST_F(Taking, BandsAreInOrderAndPricesFollow) {
  const auto worth = judged(Money{60000});
  ASSERT_TRUE(worth.has_value()) << to_text(worth.error().front());
  for (const Span3& span : {worth->hours, worth->days}) {
    EXPECT_GT(span.p10, 0);
    EXPECT_LE(span.p10, span.p50);
    EXPECT_LE(span.p50, span.p90);
  }
  // At least the spread of a piece nobody has looked into, both ways.
  EXPECT_GE(worth->hours.p90 / worth->hours.p50, std::exp(1.28 * kLooksLikeSigma));
  EXPECT_GE(worth->hours.p50 / worth->hours.p10, std::exp(1.28 * kLooksLikeSigma));
  EXPECT_LE(worth->materials.p10, worth->materials.p50);
  EXPECT_GT(worth->break_even.p50, worth->materials.p50);
  EXPECT_GT(worth->from_cost.p50, worth->break_even.p50);
  ASSERT_TRUE(worth->per_hour.has_value());
  EXPECT_LE(worth->per_hour->p10, worth->per_hour->p50);
  EXPECT_LE(worth->per_hour->p50, worth->per_hour->p90);
  EXPECT_EQ(worth->readings.size(), 2u);
}

// The middle figure is what the plan of the same piece as a job says.
TEST_F(Taking, BareWoodAgreesWithItsPlan) {
  candidate_.existing = piece::Existing::bare;
  candidate_.fronts = 0;
  const auto worth = judged();
  ASSERT_TRUE(worth.has_value()) << to_text(worth.error().front());
  ASSERT_EQ(worth->readings.size(), 1u);
  job::Job job;
  job.shop = job_.shop;
  job.start = options_.start;
  job::PieceOrder order;
  order.room = job.shop.rooms.front().id;
  order.piece.id = "by_hand";
  order.piece.year = 1990;
  piece::Part box;
  box.id = "case";
  box.kind = piece::PartKind::box;
  box.width_mm = 900;
  box.height_mm = 800;
  box.depth_mm = 450;
  box.wall_mm = 20;
  box.existing = piece::Existing::bare;
  box.substrate.material = piece::Material::veneer;
  box.hidden_faces = {"front", "back", "bottom"};
  piece::Zone zone;
  zone.id = "outside";
  zone.face = "all";
  zone.treatment = piece::Treatment::clear;
  box.zones = {zone};
  order.piece.parts = {box};
  auto measured = piece::measure(order.piece);
  ASSERT_TRUE(measured.has_value());
  order.piece = *measured;
  job.pieces = {order};
  const auto plan = make_plan(job, world_, options_);
  ASSERT_TRUE(plan.has_value()) << to_text(plan.error().front());
  EXPECT_DOUBLE_EQ(worth->hours.p50, plan->pieces[0].bench_hours);
  EXPECT_EQ(worth->materials.p50, plan->pieces[0].price.materials);
}

TEST_F(Taking, DamageAndMoreFrontsTakeLonger) {
  const auto plain = judged();
  candidate_.damage_m2 = 0.3;
  const auto damaged = judged();
  candidate_.fronts = 12;
  const auto many = judged();
  ASSERT_TRUE(plain && damaged && many);
  EXPECT_GT(damaged->hours.p50, plain->hours.p50);
  EXPECT_GT(many->hours.p50, damaged->hours.p50);
}

TEST_F(Taking, UnknownWidensAndWarns) {
  const auto known = judged();
  candidate_.existing = piece::Existing::unknown;
  candidate_.year.reset();
  const auto unknown = judged();
  ASSERT_TRUE(known && unknown);
  EXPECT_GT(unknown->readings.size(), known->readings.size());
  EXPECT_GE(unknown->hours.p90, known->hours.p90);
  EXPECT_TRUE(std::any_of(unknown->hazards.begin(), unknown->hazards.end(), [](const catalog::Finding& finding) {
    return finding.rule.find("lead") != std::string::npos;
  }));
}

TEST_F(Taking, TheVerdictIsThatOfTheWholeBand) {
  Worth worth;
  EXPECT_EQ(verdict(worth, Money{2800}), std::nullopt);
  worth.per_hour = MoneySpan{Money{1100}, Money{2200}, Money{3800}};
  EXPECT_EQ(verdict(worth, Money{2800}), Verdict::maybe);
  EXPECT_EQ(verdict(worth, Money{1100}), Verdict::yes);
  EXPECT_EQ(verdict(worth, Money{3800}), Verdict::maybe);
  EXPECT_EQ(verdict(worth, Money{3801}), Verdict::no);
}

TEST_F(Taking, WhatCannotBeIsRefused) {
  const auto refused = [&](auto change) {
    const Candidate before = candidate_;
    change(candidate_);
    const auto worth = judged();
    candidate_ = before;
    return !worth.has_value();
  };
  EXPECT_TRUE(refused([](Candidate& c) { c.width_mm = -3; }));
  EXPECT_TRUE(refused([](Candidate& c) { c.depth_mm = std::nan(""); }));
  EXPECT_TRUE(refused([](Candidate& c) { c.fronts = 1000; }));
  EXPECT_TRUE(refused([](Candidate& c) { c.damage_m2 = 50; }));
  EXPECT_TRUE(refused([](Candidate& c) { c.wanted = piece::Treatment::fabric; }));
}

}  // namespace
}  // namespace tackcloth::plan
