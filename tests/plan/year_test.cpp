// The year's sums against exact rationals, and against the lines they are sums of.
#include "plan/year.h"

#include <gtest/gtest.h>

#include <boost/multiprecision/cpp_int.hpp>
#include <random>

#include "world.h"

namespace tackcloth {
namespace {

using boost::multiprecision::cpp_int;
using boost::multiprecision::cpp_rational;

// Half away from zero.
std::int64_t rounded(const cpp_rational& value) {
  const bool below = value < 0;
  const cpp_rational size = below ? cpp_rational(-value) : value;
  const cpp_int twice = 2 * numerator(size) + denominator(size);
  const cpp_int whole = twice / (2 * denominator(size));
  return static_cast<std::int64_t>(below ? cpp_int(-whole) : whole);
}

plan::PieceActual random_piece(std::mt19937& random, int n) {
  const auto upto = [&](int most) { return std::uniform_int_distribution<int>(0, most)(random); };
  plan::PieceActual actual;
  actual.id = "p" + std::to_string(n);
  actual.handed_over = Instant(std::chrono::local_days(std::chrono::year(2025 + upto(2)) / (1 + upto(11)) / 1) +
                               std::chrono::days(upto(27))) +
                       Minutes(upto(1439));
  actual.agreed = upto(1) == 1;
  if (upto(1) == 1) actual.materials_bought = Money{upto(90000)};
  actual.all.planned_min = upto(6000);
  actual.all.timed_planned_min = std::min<double>(actual.all.planned_min, upto(6000));
  materials::Costs costs;
  costs.materials = actual.materials_bought.value_or(Money{upto(90000)});
  costs.hours = upto(6000) / 60.0;
  costs.hourly_rate = Money{upto(9000)};
  costs.overhead_percent = upto(300000) / 10000.0;
  costs.tax_percent = upto(300000) / 10000.0;
  for (int i = upto(3); i > 0; --i) costs.waste_fees.push_back({"fee", Money{upto(3000)}});
  const auto offer = materials::offer(costs, {materials::Ask::From::market, Money{1 + upto(300000)}}, {});
  EXPECT_TRUE(offer) << to_text(offer.error());
  if (offer) actual.as_it_went = *offer;
  return actual;
}

TEST(Year, TwentyThousandRandomBooks) {
  std::mt19937 random(2027);
  for (int round = 0; round < 20'000; ++round) {
    std::vector<plan::PieceActual> actuals;
    for (int n = round % 13; n > 0; --n) actuals.push_back(random_piece(random, n));
    const plan::Year year = plan::year_of(2026, "EUR", actuals);
    cpp_int income = 0, left = 0, minutes = 0;
    std::int64_t pieces = 0;
    for (const auto& actual : actuals) {
      if (static_cast<int>(
              std::chrono::year_month_day(std::chrono::floor<std::chrono::days>(*actual.handed_over)).year()) != 2026)
        continue;
      const auto& o = actual.as_it_went;
      // From the lines of the offer, not from the sums it carries.
      income += o.total.minor;
      left += o.work.minor + o.overhead.minor + o.profit.minor;
      minutes += o.minutes;
      ++pieces;
    }
    const auto& total = year.total;
    ASSERT_EQ(total.pieces, pieces);
    ASSERT_EQ(cpp_int(total.income.minor), income);
    ASSERT_EQ(cpp_int(total.left.minor), left) << "income less tax, materials and fees is work and overhead";
    ASSERT_EQ(cpp_int(total.minutes), minutes);
    ASSERT_EQ(total.income.minor, total.tax.minor + total.materials.minor + total.waste_fees.minor + total.left.minor);
    ASSERT_LE(total.untimed_minutes, total.minutes);
    plan::YearSums months, rows;
    for (const auto& month : year.months) {
      months += month;
      ASSERT_EQ(month.income.minor,
                month.tax.minor + month.materials.minor + month.waste_fees.minor + month.left.minor);
    }
    for (const auto& piece : year.pieces) rows += piece.sums;
    for (const auto& sums : {months, rows}) {
      ASSERT_EQ(sums.pieces, total.pieces);
      ASSERT_EQ(sums.income, total.income);
      ASSERT_EQ(sums.tax, total.tax);
      ASSERT_EQ(sums.materials, total.materials);
      ASSERT_EQ(sums.waste_fees, total.waste_fees);
      ASSERT_EQ(sums.left, total.left);
      ASSERT_EQ(sums.minutes, total.minutes);
    }
    ASSERT_EQ(total.per_hour().has_value(), minutes > 0);
    if (minutes > 0) {
      ASSERT_EQ(total.per_hour()->minor, rounded(cpp_rational(left * 60, minutes)));
    }
  }
}

class Actual : public testing::Example {
 protected:
  plan::Plan planned(const std::vector<plan::LogEntry>& log) {
    plan::Options options;
    options.odds = false;
    options.schedules = 20;
    options.log = log;
    auto plan = plan::make_plan(job_, world_, options);
    if (!plan) {
      ADD_FAILURE() << to_text(plan.error().front());
      return {};
    }
    return std::move(*plan);
  }
};

TEST_F(Actual, HoursNobodyToldAreUnknownAndNotNothing) {
  const auto first = planned({});
  std::vector<plan::LogEntry> log;
  const auto& steps = first.pieces[0].schedule;
  double told = 0, had = 0, untold = 0;
  for (std::size_t k = 0; k < 4; ++k) {
    const int took = k % 2 == 0 ? static_cast<int>(steps[k].minutes) + 7 : 0;
    log.push_back({steps[k].id, steps[k].end, "done", "", "", took});
    (took > 0 ? told : untold) += took > 0 ? took * steps[k].people : steps[k].minutes * steps[k].people;
    if (took > 0) had += steps[k].minutes * steps[k].people;
  }
  const auto plan = planned(log);
  const auto actuals = plan::actuals(job_, plan);
  ASSERT_TRUE(actuals);
  const auto& piece = actuals->front();
  EXPECT_EQ(piece.all.done, 4);
  EXPECT_EQ(piece.all.timed, 2);
  EXPECT_NEAR(piece.all.took_min, told, 1e-9);
  EXPECT_NEAR(piece.all.timed_planned_min, had, 1e-9);
  EXPECT_NEAR(piece.all.untimed_planned_min, untold, 1e-9);
  EXPECT_FALSE(piece.hours_known);
  EXPECT_FALSE(piece.handed_over);
  EXPECT_FALSE(piece.materials_bought);
  EXPECT_EQ(piece.as_it_went.total, piece.planned.total);
  EXPECT_EQ(piece.as_it_went.minutes, std::lround(piece.all.planned_min - had + told));
  double by_kind = 0;
  for (const auto& kind : piece.kinds) by_kind += kind.planned_min;
  EXPECT_NEAR(by_kind, piece.all.planned_min, 1e-9);
  EXPECT_TRUE(plan::year_of(2027, "EUR", *actuals).pieces.empty());
}

TEST_F(Actual, WhatWasAgreedAndBoughtCounts) {
  job_.pieces[0].agreed = Money{48000};
  job_.pieces[0].bought = {{"varnish", Money{2150}}, {"abrasives", Money{935}}};
  const auto plan = planned({});
  const auto actuals = plan::actuals(job_, plan);
  ASSERT_TRUE(actuals);
  const auto& piece = actuals->front();
  EXPECT_TRUE(piece.agreed);
  EXPECT_EQ(piece.materials_bought, Money{3085});
  EXPECT_EQ(piece.planned.total, Money{48000});
  EXPECT_EQ(piece.as_it_went.total, Money{48000});
  EXPECT_EQ(piece.as_it_went.materials, Money{3085});
}

TEST_F(Actual, WhatIsDoneForNothingCostsTheShop) {
  job_.pieces[0].agreed = Money{0};
  const auto actuals = plan::actuals(job_, planned({}));
  ASSERT_TRUE(actuals) << to_text(actuals.error());
  const auto& offer = actuals->front().as_it_went;
  EXPECT_EQ(offer.total, Money{0});
  EXPECT_EQ(offer.tax, Money{0});
  EXPECT_EQ(offer.earned, Money{} - offer.materials - offer.overhead - materials::sum_of(offer.waste_fees));
  EXPECT_LT(offer.per_hour.value_or(Money{}), Money{0});
}

}  // namespace
}  // namespace tackcloth
