#include "film/calibrate.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "small_catalog.h"

namespace tackcloth::film {
namespace {

using test::air;

class Learning : public testing::Test {
 protected:
  const catalog::Catalog catalog_ = test::small_catalog();
  const Model model_{catalog_};
  BenchEntry entry(const char* id, double hours, Seen seen) const {
    const catalog::Product* p = catalog_.product(id);
    return {{p, p->label.wet_um}, Instant{}, air(21, 0.5, 0.1), hours, seen, 0, ""};
  }
  double taught(const Learned& l, const char* id) const {
    return std::exp(l.calibration.shop.mean_log + l.calibration.product.at(id).mean_log);
  }
};

TEST_F(Learning, NothingSeenChangesNothing) {
  const Learned l = learn(model_, {});
  EXPECT_TRUE(l.calibration.product.empty());
  EXPECT_EQ(l.calibration.shop.mean_log, 0);
}

// A made-up shop in which the varnish takes 1.35 times the label (touch 3 h, scuff 14 h): entries drawn from it.
TEST_F(Learning, FindsASlowVarnishFromIntervalEntries) {
  std::vector<BenchEntry> entries;
  std::mt19937 random(3);
  std::normal_distribution<double> coat(0, 0.1);
  std::uniform_real_distribution<double> look(-0.5, 0.5);
  for (int i = 0; i < 30; ++i) {
    const double factor = 1.35 * std::exp(coat(random));
    const double at = 14 * 1.35 * std::exp(look(random));
    entries.push_back(entry("wiping", at, at < 14 * factor ? Seen::soft : Seen::sands_to_powder));
  }
  const Learned l = learn(model_, entries);
  EXPECT_NEAR(taught(l, "wiping"), 1.35, 0.08);
  EXPECT_LT(l.calibration.product.at("wiping").sigma_log, l.product_prior.at("wiping").sigma_log);
  EXPECT_GT(l.promise.at("wiping").p50_after_h, l.promise.at("wiping").p50_before_h);
  EXPECT_TRUE(l.messages.empty());
  // Half of it is laid to the product more than to the shop; another product moves less, the same way.
  EXPECT_GT(l.product_posterior.at("wiping").mean_log, l.shop_posterior.mean_log);
  EXPECT_GT(l.shop_posterior.mean_log, 0);
}

TEST_F(Learning, OneOddEntryDoesNotWreckTheRest) {
  std::vector<BenchEntry> entries;
  for (double h : {12.0, 13.0, 14.5}) entries.push_back(entry("wiping", h, Seen::soft));
  for (double h : {16.0, 17.0, 19.0}) entries.push_back(entry("wiping", h, Seen::sands_to_powder));
  const double before = taught(learn(model_, entries), "wiping");
  entries.push_back(entry("wiping", 90, Seen::tacky));  // a wrong can, a wrong day
  const Learned l = learn(model_, entries);
  EXPECT_NEAR(taught(l, "wiping") / before, 1.0, 0.06);
  ASSERT_FALSE(l.messages.empty());
  bool named = false;
  for (const std::string& m : l.messages) named = named || m.find("entry 7") != std::string::npos;
  EXPECT_TRUE(named);
}

TEST_F(Learning, ContradictingEntriesAreSaid) {
  const Learned l = learn(model_, {entry("alkyd", 40, Seen::soft), entry("alkyd", 8, Seen::sands_to_powder)});
  ASSERT_EQ(l.messages.size(), 1u);
  EXPECT_NE(l.messages[0].find("both cannot be right"), std::string::npos);
  EXPECT_NEAR(taught(l, "alkyd"), 1.0, 0.25);
}

TEST_F(Learning, EntriesTheModelCannotPlaceAreSetAside) {
  BenchEntry cold = entry("wiping", 5, Seen::tacky);
  cold.air = air(2, 0.5);
  BenchEntry none = entry("wiping", 5, Seen::tacky);
  none.coat.product = nullptr;
  const Learned l = learn(model_, {cold, none, entry("wiping", -1, Seen::dry)});
  EXPECT_EQ(l.messages.size(), 3u);
  EXPECT_TRUE(l.calibration.product.empty());
}

TEST_F(Learning, MoreEntriesNarrowThePromise) {
  double last = 10;
  for (int n : {1, 4, 16, 64}) {
    std::vector<BenchEntry> entries;
    for (int i = 0; i < n; ++i) {
      entries.push_back(entry("paint", 3.6, Seen::soft));
      entries.push_back(entry("paint", 4.4, Seen::sands_to_powder));
    }
    const Learned l = learn(model_, entries);
    EXPECT_LT(l.calibration.product.at("paint").sigma_log, last);
    EXPECT_NEAR(taught(l, "paint"), 1.0, 0.05);
    last = l.calibration.product.at("paint").sigma_log;
  }
}

TEST_F(Learning, ReadsAListAndReportsEveryMistake) {
  const auto good = parse_bench_csv(
      "product,applied,wet_um,temp_c,rh_percent,air_m_s,hours,seen\n"
      "wiping,2026-03-04T08:00,60,20,45,0.2,5,tacky\n\n"
      "paint,2026-03-04T09:00,90,20,45,,5,sands to powder\n",
      "bench.csv", catalog_);
  ASSERT_TRUE(good);
  ASSERT_EQ(good->size(), 2u);
  EXPECT_EQ((*good)[1].seen, Seen::sands_to_powder);
  EXPECT_EQ((*good)[1].line, 4);
  EXPECT_NEAR((*good)[0].air.states()[0].rh, 0.45, 1e-12);
  const auto bad = parse_bench_csv(
      "product,applied,wet_um,temp_c,rh_percent,hours,seen\n"
      "varnish9,2026-03-04T08:00,60,20,145,5,tacky\n"
      "paint,soon,x,20,45,-5,sticky\n",
      "bench.csv", catalog_);
  ASSERT_FALSE(bad);
  EXPECT_EQ(bad.error().size(), 6u);
  EXPECT_EQ(bad.error()[0].line, 2);
  EXPECT_FALSE(parse_bench_csv("", "e.csv", catalog_));
  EXPECT_FALSE(parse_bench_csv("product,seen\n", "e.csv", catalog_));
  EXPECT_FALSE(parse_bench_csv(std::string_view("a\0b", 3), "e.csv", catalog_));
  EXPECT_FALSE(read_bench_csv("/nowhere/bench.csv", catalog_));
}

// Ten looks at one coat are one coat's worth of evidence; ten coats are ten.
TEST_F(Learning, LooksAtOneCoatCountOnce) {
  std::vector<BenchEntry> one, ten;
  for (int i = 0; i < 10; ++i) {
    BenchEntry e = entry("wiping", 5 + 0.1 * i, Seen::tacky);  // only lower bounds: the last says all
    ten.push_back(e);
    e.name = "same";
    one.push_back(e);
  }
  const Learned same = learn(model_, one), single = learn(model_, {one.back()}), many = learn(model_, ten);
  EXPECT_NEAR(taught(same, "wiping"), taught(single, "wiping"), 1e-12);
  EXPECT_GT(taught(many, "wiping"), taught(single, "wiping"));
  EXPECT_EQ(same.used.at("wiping"), 10);
}

}  // namespace
}  // namespace tackcloth::film
