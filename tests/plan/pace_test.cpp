// The learner against published numbers, against a dense normal model, and as a shop uses it.
#include "plan/pace.h"

#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <random>

#include "plan/pace_log.h"
#include "plan/step_mark.h"
#include "world.h"

namespace tackcloth {
namespace {

plan::PaceLine line(const std::string& kind, double table, double took, int n) {
  return {kind, "P1-" + std::to_string(n), table, took, Instant{} + Minutes(n)};
}

// Gelman et al., Bayesian Data Analysis, table 5.2 and section 5.2: eight schools, pooled estimate 7.7 with standard
// error 4.1 (the pooled variance there is 16.6).
TEST(Pace, PooledEstimateOfTheEightSchools) {
  const std::vector<double> effect = {28, 8, -3, 7, -1, 1, 18, 12}, error = {15, 10, 16, 11, 9, 11, 10, 18};
  std::vector<std::vector<double>> values, sigma;
  for (std::size_t i = 0; i < effect.size(); ++i) {
    values.push_back({effect[i]});
    sigma.push_back({error[i]});
  }
  const auto fit = plan::fit_pace(values, sigma, 1e6, 1e-6, false);
  EXPECT_NEAR(fit.shop.mean, 7.7, 0.05);
  EXPECT_NEAR(fit.shop.sigma * fit.shop.sigma, 16.6, 0.05);
}

// The same model as one multivariate normal, conditioned with dense matrices.
TEST(Pace, AgreesWithTheDenseNormalModel) {
  std::mt19937 random(7);
  std::normal_distribution<double> normal;
  for (int round = 0; round < 200; ++round) {
    const double shop = 0.1 + 0.3 * (round % 5), kind = 0.05 + 0.2 * (round % 3);
    const int groups = 1 + round % 4;
    std::vector<std::vector<double>> values(static_cast<std::size_t>(groups)), sigma(values.size());
    std::vector<std::size_t> of;
    std::vector<double> y, s;
    for (std::size_t k = 0; k < values.size(); ++k)
      for (int i = 0; i < (round + static_cast<int>(k)) % 4; ++i) {
        values[k].push_back(normal(random));
        sigma[k].push_back(0.1 + std::abs(normal(random)));
        of.push_back(k);
        y.push_back(values[k].back());
        s.push_back(sigma[k].back());
      }
    const auto n = static_cast<Eigen::Index>(y.size());
    Eigen::MatrixXd cov(n, n);
    Eigen::VectorXd seen(n);
    for (Eigen::Index a = 0; a < n; ++a) {
      const auto i = static_cast<std::size_t>(a);
      seen(a) = y[i];
      for (Eigen::Index b = 0; b < n; ++b) {
        const auto j = static_cast<std::size_t>(b);
        cov(a, b) = shop * shop + (of[i] == of[j] ? kind * kind : 0) + (a == b ? s[i] * s[i] : 0);
      }
    }
    const auto fit = plan::fit_pace(values, sigma, shop, kind, false);
    for (std::size_t k = 0; k < values.size(); ++k) {
      Eigen::VectorXd with(n);
      for (Eigen::Index a = 0; a < n; ++a)
        with(a) = shop * shop + (of[static_cast<std::size_t>(a)] == k ? kind * kind : 0);
      double mean = 0, variance = shop * shop + kind * kind;
      if (n > 0) {
        const Eigen::VectorXd gain = cov.ldlt().solve(with);
        mean = gain.dot(seen);
        variance -= gain.dot(with);
      }
      EXPECT_NEAR(fit.kinds[k].mean, mean, 1e-9) << "round " << round;
      EXPECT_NEAR(fit.kinds[k].sigma, std::sqrt(variance), 1e-9) << "round " << round;
    }
  }
}

TEST(Pace, NothingToldIsTheTable) {
  const auto pace = plan::learn_pace({});
  EXPECT_TRUE(pace.kinds.empty());
  EXPECT_EQ(plan::pace_factor(pace, "sand"), 1);
}

TEST(Pace, ComesNearerWithMoreSteps) {
  std::vector<plan::PaceLine> lines;
  double before = 0, width = 10;
  for (int n = 1; n <= 40; ++n) {
    lines.push_back(line("sand", 30, 45, n));
    const auto pace = plan::learn_pace(lines);
    ASSERT_EQ(pace.kinds.size(), 1u);
    const auto& sand = pace.kinds[0];
    EXPECT_GT(sand.factor, before);
    EXPECT_LT(sand.factor, 1.5);
    EXPECT_LT(sand.high / sand.low, width);
    EXPECT_EQ(sand.used, n >= plan::kPaceEnough);
    before = sand.factor;
    width = sand.high / sand.low;
  }
  EXPECT_NEAR(before, 1.5, 0.03);
}

TEST(Pace, AStepOfTenTimesTheTableIsNamedAndMovesLittle) {
  std::vector<plan::PaceLine> lines;
  for (int n = 1; n <= 5; ++n) lines.push_back(line("strip", 60, 54 + 3 * n, n));
  const double without = plan::learn_pace(lines).kinds[0].factor;
  lines.push_back(line("strip", 60, 600, 9));
  const auto with = plan::learn_pace(lines);
  ASSERT_EQ(with.odd.size(), 1u);
  EXPECT_NE(with.odd[0].find("P1-9"), std::string::npos);
  EXPECT_NE(with.odd[0].find("10 times"), std::string::npos);
  EXPECT_LT(with.kinds[0].factor / without, 1.08);
  // Without robust weights it would have moved further.
  std::vector<double> values;
  for (const auto& one : lines) values.push_back(std::log(one.took_min / one.table_min));
  const auto plain = plan::fit_pace({values}, {std::vector<double>(6, plan::kPaceSpread.step)}, plan::kPaceSpread.shop,
                                    plan::kPaceSpread.kind, false);
  EXPECT_GT(std::exp(plain.kinds[0].mean) / without, 1.2);
}

TEST(Pace, TheOrderOfTheLogDoesNotMatter) {
  std::vector<plan::PaceLine> lines;
  for (int n = 1; n <= 9; ++n) lines.push_back(line(n % 2 ? "sand" : "coat by brush", 20 + n, 25 + 3 * (n % 4), n));
  const auto a = plan::learn_pace(lines);
  std::reverse(lines.begin(), lines.end());
  const auto b = plan::learn_pace(lines);
  ASSERT_EQ(a.kinds.size(), b.kinds.size());
  for (std::size_t k = 0; k < a.kinds.size(); ++k) EXPECT_EQ(a.kinds[k].factor, b.kinds[k].factor);
}

// Shops made by the model itself: the band holds the truth eight times in ten.
TEST(Pace, TheBandIsTrue) {
  std::mt19937 random(11);
  std::normal_distribution<double> normal;
  int held = 0, all = 0;
  for (int shop = 0; shop < 3000; ++shop) {
    const double lean = plan::kPaceSpread.shop * normal(random);
    std::vector<plan::PaceLine> lines;
    std::vector<double> truth;
    for (int k = 0; k < 3; ++k) {
      truth.push_back(lean + plan::kPaceSpread.kind * normal(random));
      for (int i = 0; i <= 2 * k + 1; ++i)
        lines.push_back(line(std::string(1, static_cast<char>('a' + k)), 30,
                             30 * std::exp(truth.back() + plan::kPaceSpread.step * normal(random)), i));
    }
    const auto pace = plan::learn_pace(lines);
    for (std::size_t k = 0; k < 3; ++k, ++all)
      held += std::log(pace.kinds[k].low) <= truth[k] && truth[k] <= std::log(pace.kinds[k].high) ? 1 : 0;
  }
  // The weights make it a little wider than the normal model needs.
  EXPECT_GT(double(held) / all, 0.79);
  EXPECT_LT(double(held) / all, 0.90);
}

class PaceLog : public testing::Example {
 protected:
  plan::Plan planned(const plan::Options& options) {
    auto plan = plan::make_plan(job_, world_, options);
    if (!plan) {
      ADD_FAILURE() << to_text(plan.error().front());
      return {};
    }
    return std::move(*plan);
  }
  // Every sanding and dusting step but the last three, done as planned, each `times` the hours of the table.
  std::vector<plan::LogEntry> told(const plan::Plan& plan, double times) {
    const std::string json = plan::to_json(plan);
    std::vector<plan::LogEntry> log;
    std::vector<const plan::PlannedStep*> steps;
    for (const auto& piece : plan.pieces)
      for (const auto& step : piece.schedule)
        if (step.task_kind == "dust off") steps.push_back(&step);
    EXPECT_GT(steps.size(), 6u);
    for (std::size_t k = 0; k + 3 < steps.size(); ++k)
      log.push_back({steps[k]->id, steps[k]->end, "done", "", plan::mark_of(json, steps[k]->id),
                     static_cast<int>(std::lround(steps[k]->table_minutes * times))});
    return log;
  }
  plan::Options quick() {
    plan::Options options;
    options.odds = false;
    options.schedules = 20;
    return options;
  }
};

TEST_F(PaceLog, WhatIsToComeIsPlannedAtTheShopsPaceWhatIsDoneKeepsItsHours) {
  auto options = quick();
  const auto before = planned(options);
  options.log = told(before, 2);
  const auto after = planned(options);
  const auto& pace = after.taught.pace;
  ASSERT_EQ(pace.kinds.size(), 1u);
  EXPECT_EQ(pace.kinds[0].kind, "dust off");
  EXPECT_TRUE(pace.kinds[0].used);
  EXPECT_GT(pace.kinds[0].factor, 1.5);
  EXPECT_EQ(pace.lines.size(), options.log.size());
  int to_come = 0;
  for (const auto& piece : after.pieces)
    for (const auto& step : piece.schedule) {
      if (step.task_kind != "dust off") {
        EXPECT_EQ(step.minutes, step.table_minutes) << step.id;
      } else if (step.done) {
        EXPECT_EQ(step.minutes, step.table_minutes) << step.id;
        ASSERT_TRUE(step.took_minutes) << step.id;
        EXPECT_NEAR(*step.took_minutes, 2 * step.table_minutes, 0.5) << step.id;
      } else {
        EXPECT_NEAR(step.minutes, step.table_minutes * pace.kinds[0].factor, 1e-9) << step.id;
        ++to_come;
      }
    }
  EXPECT_EQ(to_come, 3);
  EXPECT_GT(after.cost.labour, before.cost.labour);
  const auto again = plan::from_json(plan::to_json(after));
  ASSERT_TRUE(again);
  EXPECT_EQ(plan::to_json(*again), plan::to_json(after));

  options.own_pace = false;
  const auto table = planned(options);
  EXPECT_FALSE(table.taught.pace.wanted);
  EXPECT_EQ(table.cost.labour, before.cost.labour);
  options.own_pace = true;
  job_.shop.own_pace = false;
  EXPECT_EQ(planned(options).cost.labour, before.cost.labour);
}

TEST_F(PaceLog, EarlierWorkCountsFromTheFirstPlanOn) {
  auto options = quick();
  const auto before = planned(options);
  for (int n = 0; n < 12; ++n) options.pace_history.push_back(line("dust off", 10, 20, n));
  const auto after = planned(options);
  EXPECT_GT(after.cost.labour, before.cost.labour);
  EXPECT_TRUE(after.taught.pace.lines.empty());  // of this log alone: else the next shop would count them twice
  for (const auto& piece : after.pieces) EXPECT_EQ(plan::paces_used(after.taught.pace, piece).size(), 1u) << piece.id;
}

TEST_F(PaceLog, NotToldIsNotKnown) {
  auto options = quick();
  const auto plan = planned(options);
  const auto& step = plan.pieces[0].schedule[0];
  options.log = {{step.id, step.end, "done", "", ""}};
  EXPECT_FALSE(planned(options).pieces[0].schedule[0].took_minutes);
  // From "started" to "done" in one stretch of working hours.
  options.log = {{step.id, step.start, "started", "", ""}, {step.id, step.start + Minutes(12), "done", "", ""}};
  const auto clocked = planned(options);
  ASSERT_TRUE(clocked.pieces[0].schedule[0].took_minutes);
  EXPECT_EQ(*clocked.pieces[0].schedule[0].took_minutes, 12);
  // A night between them is no work.
  options.log[1].when = step.start + std::chrono::hours(24);
  EXPECT_FALSE(planned(options).pieces[0].schedule[0].took_minutes);
  // Told twice, the last one counts.
  options.log[1] = {step.id, step.start + Minutes(40), "done", "", "", 30};
  options.log.push_back({step.id, step.start + Minutes(41), "done", "", "", 25});
  EXPECT_EQ(planned(options).pieces[0].schedule[0].took_minutes.value_or(0), 25);
}

}  // namespace
}  // namespace tackcloth
