// What the job file says for papers that go to the owner.
#include <gtest/gtest.h>

#include "job/job.h"
#include "sample.h"

namespace tackcloth::job {
namespace {

std::string with_shop_keys(const std::string& keys) { return testing::changed("[shop]\n", "[shop]\n" + keys + "\n"); }

TEST(PapersKeys, AreRead) {
  std::string text = with_shop_keys(
      "address = [\"3 Back Lane\", \"Exampleton\"]\ntax_number = \"EX 123\"\nnumbers = \"1.234,50\"\n"
      "dates = \"year_first\"\ndeposit = \"30%\"\nnot_included = [\"Carrying upstairs\"]\n"
      "waste_fee = [{ what = \"spent stripper\", amount = \"6.50\" }]");
  const std::string piece = "[[piece]]\n";
  text.insert(text.find(piece) + piece.size(),
              "owner_address = [\"9 Example Street\"]\nwaste_fee = [{ what = \"lead waste\", amount = \"12\" }]\n");
  const auto job = read(text);
  ASSERT_TRUE(job.has_value()) << to_text(job.error().front());
  const Shop& shop = job->shop;
  EXPECT_EQ(shop.address.size(), 2u);
  EXPECT_EQ(shop.tax_number, "EX 123");
  EXPECT_EQ(shop.numbers, Numbers::point_comma);
  EXPECT_EQ(shop.dates, Dates::year_first);
  EXPECT_EQ(shop.deposit.percent, 30);
  EXPECT_EQ(shop.not_included.size(), 1u);
  const auto fees = waste_fees(shop, job->pieces[0]);
  ASSERT_EQ(fees.size(), 2u);
  EXPECT_EQ(fees[0].amount.minor, 650);
  EXPECT_EQ(fees[1].what, "lead waste");
  EXPECT_EQ(fees[1].amount.minor, 1200);
  EXPECT_EQ(job->pieces[0].owner_address.size(), 1u);
}

TEST(PapersKeys, LeftOutTheyFollowTheUnits) {
  const auto us = read(testing::kSample);  // units = "us"
  ASSERT_TRUE(us.has_value());
  EXPECT_EQ(us->shop.numbers, Numbers::comma_point);
  EXPECT_EQ(us->shop.dates, Dates::month_first);
  EXPECT_TRUE(us->shop.address.empty());
  EXPECT_EQ(us->shop.deposit.percent, 0);
  const auto metric = read(testing::changed("units = \"us\"", "units = \"metric\""));
  ASSERT_TRUE(metric.has_value());
  EXPECT_EQ(metric->shop.numbers, Numbers::space_point);
  EXPECT_EQ(metric->shop.dates, Dates::day_first);
}

TEST(PapersKeys, MistakesAreTold) {
  for (const char* keys : {"waste_fee = [{ what = \"x\", amount = \"-3\" }]", "waste_fee = [{ amount = \"3\" }]",
                           "waste_fee = [{ what = \"x\" }]", "deposit = \"101%\"", "deposit = \"some\"",
                           "numbers = \"1'234.50\"", "dates = \"week_first\"",
                           "address = [\"1\", \"2\", \"3\", \"4\", \"5\", \"6\", \"7\"]", "tax_number = \"a\\nb\""}) {
    const auto job = read(with_shop_keys(keys));
    ASSERT_FALSE(job.has_value()) << keys;
    EXPECT_GT(job.error().front().line, 0) << keys;
    EXPECT_FALSE(job.error().front().remedy.empty()) << keys;
  }
}

}  // namespace
}  // namespace tackcloth::job
