// What the bench says moves the plan: the coat that was looked at, the product's other coats, and the promise.
#include "plan/learning.h"

#include <gtest/gtest.h>

#include <cmath>

#include "world.h"

namespace tackcloth {
namespace {

class BenchTeaches : public testing::Example {
 protected:
  void SetUp() override {
    Example::SetUp();
    if (HasFatalFailure()) return;
    first_ = make({});
    // Everything done as planned up to the first coat that others wait for: that coat is what is looked at.
    for (const auto& piece : first_.pieces)
      for (const auto& step : piece.schedule)
        if ((step.kind == finish::StepKind::clear || step.kind == finish::StepKind::paint ||
             step.kind == finish::StepKind::oil) &&
            hours_between(step.end, step.ready_p50) > 2 && (coat_.id.empty() || step.end < coat_.end))
          coat_ = step, piece_ = piece.id;
    ASSERT_FALSE(coat_.id.empty());
    for (const auto& piece : first_.pieces)
      for (const auto& step : piece.schedule)
        if (step.end <= coat_.end) done_.push_back({step.id, step.end, "done", ""});
  }
  plan::Plan make(const std::vector<plan::LogEntry>& log) {
    plan::Options options;
    options.log = log;
    auto made = plan::make_plan(job_, world_, options);
    EXPECT_TRUE(made) << to_text(made.error().front());
    return made ? *made : plan::Plan{};
  }
  plan::Plan make_after(double share_of_p90, const char* what) {
    const double hours = share_of_p90 * hours_between(coat_.end, coat_.ready_p90);
    auto log = done_;
    log.push_back({coat_.id, coat_.end + Minutes(static_cast<long>(hours * 60)), what, ""});
    return make(log);
  }
  const plan::PlannedStep* step(const plan::Plan& plan, const std::string& id) {
    for (const auto& piece : plan.pieces)
      for (const auto& s : piece.schedule)
        if (s.id == id) return &s;
    return nullptr;
  }
  plan::Plan first_;
  plan::PlannedStep coat_;
  std::string piece_;
  std::vector<plan::LogEntry> done_;
};

TEST_F(BenchTeaches, StillSoftAtThePromisedHourMakesTheProductSlower) {
  const plan::Plan after = make_after(1.0, "soft");
  const auto* coat = step(after, coat_.id);
  ASSERT_TRUE(coat);
  EXPECT_GT(coat->ready_p90, coat_.ready_p90);
  ASSERT_EQ(after.taught.products.size(), 1u);
  const plan::LearnedProduct& l = after.taught.products.front();
  EXPECT_EQ(l.product, coat_.product);
  EXPECT_EQ(l.entries, 1);
  EXPECT_GT(l.posterior_mean, l.prior_mean);
  EXPECT_LT(l.posterior_sigma, l.prior_sigma * 1.2);
  EXPECT_GT(l.recoat_p50_after_h, l.recoat_p50_before_h);
  ASSERT_EQ(after.taught.looks.size(), 1u);
  EXPECT_EQ(after.taught.looks.front().step, coat_.id);
  EXPECT_EQ(after.taught.promises.size(), after.pieces.size());
}

TEST_F(BenchTeaches, ReadyEarlyMakesItQuickerAndShortensTheWait) {
  const plan::Plan after = make_after(0.5, "sands_to_powder");
  const auto* coat = step(after, coat_.id);
  ASSERT_TRUE(coat);
  EXPECT_LT(coat->ready_p90, coat_.ready_p90);
  ASSERT_EQ(after.taught.products.size(), 1u);
  EXPECT_LT(after.taught.products.front().posterior_mean, 0);
}

TEST_F(BenchTeaches, ALookBeforeTheCoatIsDoneTeachesNothing) {
  auto log = done_;
  log.push_back({coat_.id, coat_.end - Minutes(30), "tacky", ""});
  EXPECT_TRUE(make(log).taught.looks.empty());
}

// What one job taught is known to the next from its first plan on, through the looks the plan keeps.
TEST_F(BenchTeaches, HistoryCountsInTheNextPlan) {
  const plan::Plan after = make_after(1.3, "soft");
  plan::Options options;
  for (const auto& look : after.taught.looks) {
    auto entry = plan::entry_of(look, testing::real_world().catalog);
    ASSERT_TRUE(entry);
    options.history.push_back(*entry);
  }
  ASSERT_FALSE(options.history.empty());
  const auto next = plan::make_plan(job_, world_, options);
  ASSERT_TRUE(next);
  const auto* coat = step(*next, coat_.id);
  ASSERT_TRUE(coat);
  EXPECT_GT(hours_between(coat->end, coat->ready_p50), hours_between(coat_.end, coat_.ready_p50));
  ASSERT_EQ(next->taught.products.size(), 1u);
  EXPECT_EQ(next->taught.products.front().product, coat_.product);
}

TEST_F(BenchTeaches, ThePlanTellsItInItsJson) {
  const plan::Plan after = make_after(1.0, "soft");
  const auto back = plan::from_json(plan::to_json(after));
  ASSERT_TRUE(back) << to_text(back.error());
  EXPECT_EQ(back->taught.looks.size(), after.taught.looks.size());
  EXPECT_EQ(plan::to_json(*back), plan::to_json(after));
}

}  // namespace
}  // namespace tackcloth
