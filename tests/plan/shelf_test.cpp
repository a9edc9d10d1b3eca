// The shelf of a plan: used by what is logged, kept for what is to come, bought only as far as it does not reach.
#include "plan/shelf.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "job_maker.h"
#include "plan/step_mark.h"
#include "plan/uses.h"

namespace tackcloth::plan {
namespace {

using materials::Move;
using materials::Movement;
using materials::stock_amount;
using materials::stock_grains;

Plan plan_of(const job::Job& job, const std::vector<LogEntry>& log = {}, const std::vector<Movement>& told = {}) {
  Options options;
  options.schedules = 20;
  options.odds = false;
  options.log = log;
  options.stock = told;
  auto plan = make_plan(job, testing::real_world().world(), options);
  EXPECT_TRUE(plan.has_value()) << (plan ? "" : to_text(plan.error().front()));
  return plan ? *plan : Plan{};
}

const ShelfLine* line_of(const Shelf& shelf, const std::string& product) {
  for (const ShelfLine& line : shelf.lines)
    if (line.product == product) return &line;
  return nullptr;
}

const materials::Purchase* purchase_of(const Plan& plan, const std::string& product) {
  for (const materials::Purchase& purchase : plan.purchases)
    if (purchase.product == product) return &purchase;
  return nullptr;
}

LogEntry done(const Plan& plan, const PlannedStep& step) {
  return {step.id, step.end, "done", "", mark_of(to_json(plan), step.id)};
}

// For several random jobs, with the first half of the steps logged: what is used, to come, left over and paid adds up.
TEST(Shelf, EverythingAddsUpInRandomJobs) {
  for (std::uint64_t seed = 1; seed <= 4; ++seed) {
    const job::Job job = testing::JobMaker(seed).make(2);
    const Plan before = plan_of(job);
    std::vector<LogEntry> log;
    for (const PlannedPiece& piece : before.pieces)
      for (std::size_t k = 0; k < piece.schedule.size() / 2; ++k) log.push_back(done(before, piece.schedule[k]));
    const Plan plan = plan_of(job, log);
    const Instant now = plan.finish;
    const auto shelf = shelf_of(job, plan, {}, log, testing::real_world().catalog, now);
    ASSERT_TRUE(shelf.has_value());
    std::map<std::string, std::int64_t> used;
    std::map<std::string, double> to_come;
    for (const PlannedPiece& piece : plan.pieces)
      for (const PlannedStep& step : piece.schedule)
        for (const StepUse& use : step.uses) {
          if (step.done)
            used[use.product] += stock_grains(use.amount);
          else
            to_come[use.product] += use.amount;
        }
    for (const ShelfLine& line : shelf->lines) {
      const materials::Book& book = line.book;
      EXPECT_EQ(book.used, used[line.product]) << line.product << ", seed " << seed;
      EXPECT_EQ(book.on_shelf, book.there + book.came + book.found - book.used - book.gone);
      EXPECT_GE(stock_amount(line.reserved) + 1e-4, to_come[line.product]) << line.product;
      EXPECT_EQ(line.free, line.usable - line.reserved);
      EXPECT_EQ(book.on_shelf < 0, !line.says.empty() && !book.shorts.empty()) << line.product;
    }
    // Of what the price paid for nothing is lost: what is left over is worth no more than its share.
    for (const PlannedPiece& piece : plan.pieces) {
      Money left;
      for (const LeftOver& one : piece.left_over) {
        EXPECT_GT(one.amount, 0);
        EXPECT_GE(one.in_price.minor, 0);
        left += one.in_price;
      }
      EXPECT_LE(left.minor, piece.price.materials.minor + static_cast<std::int64_t>(piece.left_over.size()));
    }
    // Every purchase: packs less what is expected is what the pieces leave over together.
    for (const materials::Purchase& purchase : plan.purchases) {
      double left = 0, bought = 0;
      for (const auto& line : purchase.lines) bought += line.pack * line.count;
      for (const PlannedPiece& piece : plan.pieces)
        for (const LeftOver& one : piece.left_over)
          if (one.product == purchase.product) left += one.amount;
      const double over = std::min(bought, bought + purchase.from_shelf - purchase.expected);
      if (purchase.expected > 0 && over > 1e-4) {
        EXPECT_NEAR(left, over, 1e-6) << purchase.product;
      }
    }
  }
}

TEST(Shelf, WhatWasBoughtIsNotBoughtAgainAndPricesStay) {
  const job::Job job = testing::JobMaker(2).make(1);
  const Plan before = plan_of(job);
  std::vector<Movement> came;
  for (const materials::Purchase& purchase : before.purchases)
    for (const auto& line : purchase.lines)
      for (int k = 0; k < line.count; ++k)
        came.push_back({Move::came, purchase.product, stock_grains(line.pack), before.start, {}, {}, "list"});
  ASSERT_FALSE(came.empty());
  const Plan plan = plan_of(job, {}, came);
  for (const materials::Purchase& purchase : plan.purchases)
    EXPECT_TRUE(purchase.lines.empty()) << purchase.product << ": " << purchase.note;
  EXPECT_EQ(plan.cost.total.minor, before.cost.total.minor);
  EXPECT_EQ(plan.pieces[0].price.materials.minor, before.pieces[0].price.materials.minor);
  // Counted as empty, all of it is to buy again.
  auto counted = came;
  const std::string product = came.front().product;
  counted.push_back({Move::counted, product, 0, before.start + Minutes(1), {}, {}, "count"});
  const Plan empty = plan_of(job, {}, counted);
  const materials::Purchase* purchase = purchase_of(empty, product);
  ASSERT_NE(purchase, nullptr);
  EXPECT_FALSE(purchase->lines.empty());
  EXPECT_EQ(empty.cost.total.minor, before.cost.total.minor);
}

TEST(Shelf, AnOldCanIsNotCountedOnAndSaysSo) {
  const job::Job job = testing::JobMaker(2).make(1);
  const Plan before = plan_of(job);
  const catalog::Catalog& catalog = testing::real_world().catalog;
  std::string product;
  for (const materials::Purchase& purchase : before.purchases)
    if (const auto* known = catalog.product(purchase.product); known && known->shelf_life_months && purchase.need > 0)
      product = purchase.product;
  ASSERT_FALSE(product.empty());
  const Instant long_ago = before.start - std::chrono::hours(24 * 365 * 10);
  const std::vector<Movement> told = {{Move::counted, product, 50'000, before.start, long_ago, {}, "count"}};
  const Plan plan = plan_of(job, {}, told);
  const materials::Purchase* purchase = purchase_of(plan, product);
  ASSERT_NE(purchase, nullptr);
  EXPECT_EQ(purchase->from_shelf, 0);
  EXPECT_NE(purchase->note.find("past its shelf life"), std::string::npos) << purchase->note;
  const auto shelf = shelf_of(job, plan, told, {}, catalog, before.start);
  ASSERT_TRUE(shelf.has_value());
  const ShelfLine* line = line_of(*shelf, product);
  ASSERT_NE(line, nullptr);
  EXPECT_EQ(line->book.expired, 50'000);
  EXPECT_EQ(line->usable, 0);
  ASSERT_FALSE(line->says.empty());
  EXPECT_NE(line->says[0].find("past its date"), std::string::npos);
}

TEST(Shelf, ADoneStepStaysUsedWhenItsPieceIsTakenOutAndCountsOnce) {
  const job::Job job = testing::JobMaker(2).make(1);
  const Plan before = plan_of(job);
  const auto& schedule = before.pieces[0].schedule;
  const auto step = std::find_if(schedule.begin(), schedule.end(), [](const auto& s) { return !s.uses.empty(); });
  ASSERT_NE(step, schedule.end());
  std::vector<LogEntry> log = {done(before, *step), done(before, *step)};
  log[1].when += Minutes(60);
  Plan gone = before;
  gone.pieces.clear();
  const auto shelf = shelf_of(job, gone, {}, log, testing::real_world().catalog, before.finish);
  ASSERT_TRUE(shelf.has_value());
  for (const StepUse& use : step->uses) {
    const ShelfLine* line = line_of(*shelf, use.product);
    ASSERT_NE(line, nullptr) << use.product;
    EXPECT_EQ(line->book.used, stock_grains(use.amount));
  }
}

Task coat(const std::string& product, catalog::Method method, double area_m2, double minutes) {
  Task task;
  task.step.kind = finish::StepKind::clear;
  task.step.product = product;
  task.step.method = method;
  task.step.wet_um = 100;
  task.step.ground = film::Ground::sealed;
  task.area_m2 = area_m2;
  task.minutes = minutes;
  return task;
}

TEST(PotLife, BatchesAreLaidWhileThePotIsGood) {
  const catalog::Catalog& catalog = testing::real_world().catalog;
  const job::PieceOrder order;
  const catalog::Product& glue = *catalog.product("glue_epoxy");
  ASSERT_TRUE(glue.pot_life_h.has_value());
  const catalog::Method method = glue.applications.front().method;
  for (const double minutes : {1.0, 17.0, 30.0, 55.0, 240.0})
    for (const double temp : {12.0, glue.label.temp_c, 26.0, 32.0}) {
      const auto mix = mixed_for(coat("glue_epoxy", method, 0.5, minutes), order, catalog, temp);
      ASSERT_TRUE(mix.has_value());
      EXPECT_LE(mix->within_min, *glue.pot_life_h * 60 * 0.75);  // never longer than the label, cold or not
      EXPECT_LE(minutes / mix->batches, mix->within_min + 1e-9);
      if (mix->batches > 1) {
        EXPECT_GT(minutes / (mix->batches - 1), mix->within_min);
      }
    }
  const auto cool = mixed_for(coat("glue_epoxy", method, 0.5, 30), order, catalog, glue.label.temp_c);
  const auto warm = mixed_for(coat("glue_epoxy", method, 0.5, 30), order, catalog, glue.label.temp_c + 10);
  EXPECT_NEAR(warm->within_min / cool->within_min, 0.5, 0.06);  // doubling for 10 K
  EXPECT_FALSE(
      mixed_for(coat("varnish_wiping", catalog::Method::wiping_cloth, 0.5, 30), order, catalog, 21).has_value());
  // Each batch leaves its rest: two take more than one, and the batches hold all that is drawn but the cans' share.
  const auto drawn = [&](double minutes) {
    return drawn_by(coat("glue_epoxy", method, 0.5, minutes), order, catalog, 21).front().amount;
  };
  EXPECT_GE(drawn(240), drawn(1));
}

TEST(Uses, WhatStaysInTheToolIsBoughtToo) {
  const catalog::Catalog& catalog = testing::real_world().catalog;
  const job::PieceOrder order;
  const auto drawn = drawn_by(coat("paint_acrylic", catalog::Method::roller, 1, 20), order, catalog, 20);
  const auto film = catalog::find_application(*catalog.product("paint_acrylic"), catalog::Method::roller);
  ASSERT_NE(film, nullptr);
  ASSERT_FALSE(drawn.empty());
  EXPECT_NEAR(drawn.front().amount, (1 * 0.1 / film->transfer + 0.06) * 1.02, 1e-9);  // 1 m² of 100 µm is 0.1 l
}

}  // namespace
}  // namespace tackcloth::plan
