// Promise odds, and what would bring a date forward.
#include "plan/sooner.h"

#include <gtest/gtest.h>

#include <cmath>

#include "plan/odds.h"
#include "world.h"

namespace tackcloth {
namespace {

// One coat of P90 100 ticks between two jobs, hands always there: the second begins at 10 + 100 * e^(s (z - z90)), so a
// due date at the planned end is kept in 90 of 100 trials, and one at the P50 in 50 of 100.
TEST(Odds, AreThoseOfTheLogNormal) {
  calendar::Model m;
  m.resources.push_back({"hands", 1, {}});
  for (int i = 0; i < 2; ++i) {
    calendar::Activity a;
    a.name = i == 0 ? "coat" : "rub down";
    a.duration = 10;
    a.demands = {{0, 1}};
    m.activities.push_back(a);
  }
  calendar::Precedence p;
  p.from = 0;
  p.to = 1;
  p.min_lag.value = {100000};
  m.precedences.push_back(p);
  const auto planned = calendar::solve(m, {});
  ASSERT_EQ(planned.best.start[1], 100010);
  const double sigma = 0.4;
  const auto ends = plan::worked_off(m, planned.best, {{"varnish", sigma, {0}, -1}}, 4000, 5);
  ASSERT_EQ(ends.size(), 4000u);
  int by_p90 = 0, by_p50 = 0;
  for (const auto& end : ends) {
    by_p90 += end[1] <= 100020;
    by_p50 += static_cast<double>(end[1] - 20) <= 100000 * std::exp(-1.2815515655446004 * sigma);
  }
  // Four standard errors of a binomial of 4,000.
  EXPECT_NEAR(by_p90 / 4000.0, 0.9, 4 * std::sqrt(0.09 / 4000));
  EXPECT_NEAR(by_p50 / 4000.0, 0.5, 4 * std::sqrt(0.25 / 4000));
  EXPECT_EQ(plan::worked_off(m, planned.best, {{"varnish", sigma, {0}, -1}}, 50, 5),
            plan::worked_off(m, planned.best, {{"varnish", sigma, {0}, -1}}, 50, 5));
}

class Dates : public testing::Example {
 protected:
  Dates() { options_.schedules = 100; }
  plan::Options options_;
};

TEST_F(Dates, EveryPieceHasOddsAndADayToPromise) {
  const auto plan = plan::make_plan(job_, world_, options_);
  ASSERT_TRUE(plan);
  for (const auto& piece : plan->pieces) {
    ASSERT_TRUE(piece.promise_90) << piece.id;
    ASSERT_TRUE(piece.finish_p50) << piece.id;
    EXPECT_EQ(piece.odds.has_value(), piece.due.has_value()) << piece.id;
    if (piece.odds) {
      EXPECT_GE(*piece.odds, 0);
      EXPECT_LE(*piece.odds, 1);
      // The day that is safe nine times in ten, promised, is kept at least nine times in ten.
      EXPECT_EQ(*piece.due >= *piece.promise_90, *piece.odds >= 0.9) << piece.id;
    }
  }
}

TEST_F(Dates, HelpsAreRankedAndTrue) {
  job_.pieces.resize(2);
  for (auto& order : job_.pieces) order.due = *job_.start + std::chrono::days(7);  // too soon: something has to help
  const auto base = plan::make_plan(job_, world_, options_);
  ASSERT_TRUE(base);
  int told = 0;
  const auto helps = plan::what_would_help(job_, world_, options_, *base, [&](int done, int of) {
    EXPECT_LT(done, of);
    return ++told > 0;
  });
  ASSERT_TRUE(helps);
  EXPECT_EQ(helps->tried, told);
  ASSERT_FALSE(helps->best_first.empty());
  for (std::size_t i = 0; i < helps->best_first.size(); ++i) {
    const plan::Help& help = helps->best_first[i];
    EXPECT_GE(help.late_hours_less, 0) << help.what;
    EXPECT_TRUE(help.late_hours_less >= 1 || help.piece_hours_less >= 1) << help.what;
    if (i > 0) {
      EXPECT_LE(help.late_hours_less, helps->best_first[i - 1].late_hours_less);
    }
  }
  // A helper on Saturday, put into the job by hand, gives the dates it is said to give, or was rightly left out.
  job::Job changed = job_;
  job::Person person;
  person.id = "a helper";
  person.week[6].push_back({9 * 60, 13 * 60});
  changed.shop.people.push_back(person);
  for (auto& order : changed.pieces)
    order.due = std::chrono::floor<std::chrono::days>(base->start) - std::chrono::days(1);
  plan::Options plain = options_;
  plain.odds = false;
  const auto again = plan::make_plan(changed, world_, plain);
  ASSERT_TRUE(again);
  const auto helper = std::find_if(helps->best_first.begin(), helps->best_first.end(), [](const plan::Help& h) {
    return h.what.find("A helper on Saturday") != std::string::npos;
  });
  double gained = 0;
  for (std::size_t p = 0; p < again->pieces.size(); ++p) {
    const Instant before = helps->hurried[p].finish_after, now = again->pieces[p].finish;
    gained += hours_between(now, before);
    if (helper == helps->best_first.end()) continue;
    const auto said = std::find_if(helper->pieces.begin(), helper->pieces.end(),
                                   [&](const plan::PromiseMoved& m) { return m.piece == again->pieces[p].id; });
    if (said != helper->pieces.end()) {
      EXPECT_EQ(said->finish_after, now);
    } else {
      EXPECT_LT(std::abs(hours_between(now, before)), 1);
    }
  }
  if (helper == helps->best_first.end()) {
    EXPECT_LT(gained, 1);
  } else {
    EXPECT_NEAR(helper->piece_hours_less, gained, 1e-9);
  }
}

TEST_F(Dates, CanBeStoppedBetweenTwoChanges) {
  job_.pieces.resize(1);
  const auto base = plan::make_plan(job_, world_, options_);
  ASSERT_TRUE(base);
  const auto helps = plan::what_would_help(job_, world_, options_, *base, [](int done, int) { return done < 2; });
  ASSERT_TRUE(helps);
  EXPECT_EQ(helps->tried, 2);
}

// Where promises compete, the exact search on top only ever brings them nearer.
TEST_F(Dates, AShortExactSearchNeverMakesPromisesWorse) {
  for (auto& order : job_.pieces) order.due = std::chrono::floor<std::chrono::days>(*job_.start) + std::chrono::days(9);
  options_.odds = false;
  const auto late_hours = [&](const plan::Plan& plan) {
    double sum = 0;
    for (std::size_t p = 0; p < plan.pieces.size(); ++p)
      sum += job_.pieces[p].weight *
             std::max(0.0, hours_between(*plan.pieces[p].due + std::chrono::hours(24), plan.pieces[p].finish));
    return sum;
  };
  const auto quick = plan::make_plan(job_, world_, options_);
  ASSERT_TRUE(quick);
  ASSERT_GT(late_hours(*quick), 0);
  options_.proof_conflicts = 300;
  const auto proved = plan::make_plan(job_, world_, options_);
  ASSERT_TRUE(proved);
  EXPECT_LE(late_hours(*proved), late_hours(*quick) + 0.5);
  const auto again = plan::make_plan(job_, world_, options_);
  ASSERT_TRUE(again);
  EXPECT_EQ(plan::to_json(*again), plan::to_json(*proved));
}

}  // namespace
}  // namespace tackcloth
