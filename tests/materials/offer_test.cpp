// The arithmetic of an offer against exact fractions (Boost.Multiprecision), and examples worked by hand.
#include "materials/offer.h"

#include <gtest/gtest.h>

#include <boost/multiprecision/cpp_int.hpp>
#include <limits>
#include <random>

namespace tackcloth::materials {
namespace {

using Exact = boost::multiprecision::cpp_rational;
using boost::multiprecision::cpp_int;

// Half away from zero.
std::int64_t rounded(const Exact& value) {
  const Exact size = value < 0 ? Exact(-value) : value;
  const cpp_int whole = (2 * numerator(size) + denominator(size)) / (2 * denominator(size));
  const auto small = static_cast<std::int64_t>(whole);
  return value < 0 ? -small : small;
}

Costs shop(Money materials, double hours) {
  Costs costs;
  costs.materials = materials;
  costs.hours = hours;
  costs.hourly_rate = {4500};
  costs.overhead_percent = 10;
  costs.profit_percent = 15;
  costs.tax_percent = 7.25;
  return costs;
}

TEST(Offer, FromCostWorkedByHand) {
  // As Price.WorkedByHand, with 6.50 for waste: 7.25 % of 246.85 is 17.896625.
  Costs costs = shop({4000}, 3 + 20.0 / 60);
  costs.waste_fees = {{"spent stripper", {650}}};
  const auto made = offer(costs, {}, {{}, 30});
  ASSERT_TRUE(made.has_value());
  EXPECT_EQ(made->work.minor, 15000);
  EXPECT_EQ(made->net.minor, 24685);
  EXPECT_EQ(made->tax.minor, 1790);
  EXPECT_EQ(made->total.minor, 26475);
  EXPECT_EQ(made->deposit.minor, 7943);           // 79.425
  EXPECT_EQ(made->earned.minor, 18135);           // labour and profit
  EXPECT_EQ(made->per_hour->minor, 5441);         // in 3 h 20 min: 54.405
  EXPECT_EQ(made->break_even.minor, 6550 + 475);  // 40.00 + 19.00 + 6.50, 7.25 % of it 4.74875
}

TEST(Offer, FromEarningPaysWhatWasWanted) {
  const auto made = offer(shop({4000}, 5), {Ask::From::earning, {4000}}, {});
  ASSERT_TRUE(made.has_value());
  // Overhead stays that of the shop's own rate: 10 % of 40.00 + 225.00.
  EXPECT_EQ(made->overhead.minor, 2650);
  EXPECT_EQ(made->net.minor, 4000 + 20000 + 2650);
  EXPECT_EQ(made->profit.minor, 0);
  EXPECT_EQ(made->per_hour->minor, 4000);
}

TEST(Offer, FromMarketTaxIsInside) {
  Costs costs = shop({4000}, 5);
  costs.tax_percent = 20;
  const auto made = offer(costs, {Ask::From::market, {12000}}, {});
  ASSERT_TRUE(made.has_value());
  EXPECT_EQ(made->total.minor, 12000);
  EXPECT_EQ(made->tax.minor, 2000);
  EXPECT_EQ(made->earned.minor, 12000 - 2000 - 4000 - 2650);
  EXPECT_EQ(made->per_hour->minor, 670);
  // A price that does not even pay the materials: a loss by the hour, said as such.
  const auto loss = offer(costs, {Ask::From::market, {5000}}, {});
  EXPECT_LT(loss->per_hour->minor, 0);
  EXPECT_EQ(loss->total.minor, 5000);
}

TEST(Offer, SumsAreTheirLinesAndLinesAreExact) {
  std::mt19937_64 random(11);
  std::uniform_int_distribution<std::int64_t> cents(0, 2'000'000), steps(0, 1'000'000), minutes(0, 20'000),
      choice(0, 2), fees(0, 4);
  int losses = 0;
  for (int i = 0; i < 20'000; ++i) {
    Costs costs;
    costs.materials = {cents(random)};
    const std::int64_t worked = minutes(random);
    costs.hours = static_cast<double>(worked) / 60;
    costs.hourly_rate = {cents(random) / 100};
    const std::int64_t overhead = steps(random), profit = steps(random), tax = steps(random), down = steps(random);
    costs.overhead_percent = static_cast<double>(overhead) / 1e4;
    costs.profit_percent = static_cast<double>(profit) / 1e4;
    costs.tax_percent = static_cast<double>(tax) / 1e4;
    for (std::int64_t n = fees(random); n > 0; --n) costs.waste_fees.push_back({"fee", {cents(random) / 200}});
    Ask ask{static_cast<Ask::From>(choice(random)), {cents(random) + 1}};
    const auto made = offer(costs, ask, {{}, static_cast<double>(down) / 1e4});
    ASSERT_TRUE(made.has_value()) << made.error().what;

    std::int64_t lines = made->materials.minor + made->work.minor + made->overhead.minor + made->profit.minor;
    for (const Fee& fee : made->waste_fees) lines += fee.amount.minor;
    ASSERT_EQ(made->net.minor, lines);
    ASSERT_EQ(made->total.minor, lines + made->tax.minor);
    ASSERT_EQ(made->total, made->deposit + made->balance);
    ASSERT_EQ(made->waste_fees.size(), costs.waste_fees.size());

    const Exact labour = Exact(costs.hourly_rate.minor) * worked / 60;
    ASSERT_EQ(made->overhead.minor, rounded(Exact(costs.materials.minor + rounded(labour)) * overhead / 1'000'000));
    if (ask.from == Ask::From::market) {
      ASSERT_EQ(made->total, ask.amount);
      ASSERT_EQ(made->tax.minor, rounded(Exact(ask.amount.minor) * tax / (1'000'000 + tax)));
      // The tax taken out of a price is the tax that would be put on its net, but for one minor unit.
      ASSERT_LE(std::abs(made->tax.minor - rounded(Exact(made->net.minor) * tax / 1'000'000)), 1);
    } else {
      ASSERT_EQ(made->tax.minor, rounded(Exact(made->net.minor) * tax / 1'000'000));
      ASSERT_EQ(made->work.minor,
                ask.from == Ask::From::cost ? rounded(labour) : rounded(Exact(ask.amount.minor) * worked / 60));
    }
    ASSERT_EQ(made->deposit.minor, rounded(Exact(made->total.minor) * down / 1'000'000));
    ASSERT_EQ(made->per_hour.has_value(), worked > 0);
    if (worked > 0) {
      ASSERT_EQ(made->per_hour->minor, rounded(Exact(made->earned.minor) * 60 / worked));
      losses += made->per_hour->minor < 0;
    }
    // Asked for the break-even, nothing is earned.
    if (made->break_even.minor > 0) {
      const auto even = offer(costs, {Ask::From::market, made->break_even}, {});
      ASSERT_LE(std::abs(even->earned.minor), 1);
    }
  }
  EXPECT_GT(losses, 100);
}

TEST(Offer, RefusesWhatCannotBeMeant) {
  const Costs costs = shop({4000}, 5);
  Costs bad = costs;
  bad.hours = std::numeric_limits<double>::quiet_NaN();
  EXPECT_FALSE(offer(bad, {}, {}).has_value());
  bad = costs;
  bad.waste_fees = {{"fee", {-1}}};
  EXPECT_FALSE(offer(bad, {}, {}).has_value());
  EXPECT_FALSE(offer(costs, {Ask::From::market, {0}}, {}).has_value());
  EXPECT_FALSE(offer(costs, {Ask::From::earning, {-1}}, {}).has_value());
  EXPECT_FALSE(offer(costs, {Ask::From::earning, {std::numeric_limits<std::int64_t>::max()}}, {}).has_value());
  const auto deposit = offer(costs, {Ask::From::market, {10000}}, {Money{10001}, 0});
  ASSERT_FALSE(deposit.has_value());
  EXPECT_NE(deposit.error().what.find("100.01"), std::string::npos);
}

TEST(Offer, NoWorkPaysNoHour) {
  const auto made = offer(shop({4000}, 0), {Ask::From::market, {10000}}, {});
  ASSERT_TRUE(made.has_value());
  EXPECT_FALSE(made->per_hour.has_value());
}

TEST(Deposit, PercentOrMoney) {
  EXPECT_EQ(parse_deposit("30%").value().percent, 30);
  EXPECT_EQ(parse_deposit("12.5 %").value().percent, 12.5);
  EXPECT_EQ(parse_deposit("150.00").value().amount.value().minor, 15000);
  for (const char* bad : {"", "%", "101%", "-5%", "nan%", "1e1%", "30%%", "-3.00", "a lot", "0x10%"})
    EXPECT_FALSE(parse_deposit(bad).has_value()) << bad;
}

}  // namespace
}  // namespace tackcloth::materials
