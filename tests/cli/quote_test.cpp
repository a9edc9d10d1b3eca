// quote and papers as a shop runs them.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "run.h"

namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using tackcloth::cli::run;

const std::string kExample = std::string(TACKCLOTH_SOURCE_DIR) + "/examples/spring.toml";

class Quote : public tackcloth::cli::InDirectory {};

long long minor(const json& money) { return std::llround(std::stod(money.get<std::string>()) * 100); }

TEST_F(Quote, ThreeWaysAndWhatEachPays) {
  const auto offer = [](const std::string& more) {
    const auto ran = run("quote " + kExample + " --piece table --json " + more);
    EXPECT_EQ(ran.code, 0) << more;
    return json::parse(ran.out).at("pieces").at(0).at("offer");
  };
  const json cost = offer(""), earning = offer("--earn 45"), market = offer("--market 480 --deposit 30%");
  EXPECT_EQ(cost.at("from"), "cost");
  EXPECT_NEAR(double(minor(earning.at("per_hour"))), 4500, 1);
  EXPECT_EQ(minor(market.at("total")), 48000);
  EXPECT_EQ(minor(market.at("tax")), 8000);  // 20 % inside
  EXPECT_EQ(minor(market.at("deposit")), 14400);
  for (const json& one : {cost, earning, market}) {
    long long lines = 0;
    for (const char* line : {"materials", "labour", "overhead", "profit", "tax"}) lines += minor(one.at(line));
    for (const json& fee : one.at("waste_fees")) lines += minor(fee.at("amount"));
    EXPECT_EQ(lines, minor(one.at("total"))) << one;
  }
}

TEST_F(Quote, PapersOfAPiece) {
  const std::string quote = (dir_ / "quote.pdf").string(), invoice = (dir_ / "invoice.pdf").string();
  ASSERT_EQ(run("quote " + kExample + " --piece table --valid-until 2099-05-01 --out " + quote).code, 0);
  EXPECT_GT(fs::file_size(quote), 3000u);
  ASSERT_EQ(run("quote " + kExample + " --piece table --invoice 2027-3 --paid 100 --out " + invoice).code, 0);
  EXPECT_GT(fs::file_size(invoice), 3000u);
  const std::string all = (dir_ / "all").string();
  ASSERT_EQ(run("papers " + kExample + " --piece cabinet --out " + all).code, 0);
  for (const char* name :
       {"job-sheet.pdf", "quote.pdf", "care-card.pdf", "safety-sheet.pdf", "calendar.ics", "shopping.csv"})
    EXPECT_GT(fs::file_size(fs::path(all) / name), 500u) << name;
  const std::string german = (dir_ / "german").string();
  ASSERT_EQ(run("papers " + kExample + " --piece cabinet --language de --out " + german).code, 0);
  EXPECT_NE(fs::file_size(fs::path(german) / "quote.pdf"), fs::file_size(fs::path(all) / "quote.pdf"));
  EXPECT_EQ(run("papers " + kExample + " --piece cabinet --language tlh --out " + german).code, 2);
}

TEST_F(Quote, SellersForWhatIsMissing) {
  const std::string list = file("sellers.toml",
                                "[[seller]]\nid = \"corner\"\n[[seller.pack]]\nproduct = \"varnish_wiping\"\n"
                                "amount = \"1 l\"\nprice = \"24.00\"\n[[seller]]\nid = \"post\"\ndelivery = \"6.90\"\n"
                                "[[seller.pack]]\nproduct = \"varnish_wiping\"\namount = \"1 l\"\nprice = \"23.00\"\n");
  const json out = json::parse(run("buy " + kExample + " --json --sellers " + list).out);
  const json& sellers = out.at("sellers");
  EXPECT_TRUE(sellers.at("optimal").get<bool>());
  ASSERT_EQ(sellers.at("baskets").size(), 1u);
  long long total = 0;
  for (const json& basket : sellers.at("baskets")) total += minor(basket.at("goods")) + minor(basket.at("delivery"));
  EXPECT_EQ(total, minor(sellers.at("total")));
  EXPECT_FALSE(sellers.at("notes").empty());  // the rest of the job is sold by neither
  EXPECT_EQ(run("buy " + kExample + " --sellers " + file("none.toml", "")).code, 2);
}

TEST_F(Quote, WorthBeforeItIsTakenOn) {
  const std::string asked =
      file("chest.toml",
           "width = \"90 cm\"\nheight = \"80 cm\"\ndepth = \"45 cm\"\nfronts = 4\n"
           "damage = \"0.1 m2\"\nyear = \"unknown\"\nexisting = \"varnish\"\nwanted = \"clear\"\n");
  const auto ran = run("worth " + asked + " --shop " + kExample + " --market 480 --json");
  ASSERT_EQ(ran.code, 0) << ran.out;
  const json worth = json::parse(ran.out);
  for (const char* key : {"hours", "days"})
    EXPECT_LE(worth.at(key).at("p10").get<double>(), worth.at(key).at("p90").get<double>()) << key;
  EXPECT_LE(minor(worth.at("per_hour").at("p10")), minor(worth.at("per_hour").at("p90")));
  EXPECT_FALSE(worth.at("hazards").empty());
  EXPECT_EQ(run("worth --shop " + kExample, true).code, 2);
  EXPECT_EQ(run("worth " + asked + " --shop " + kExample + " --existing tar", true).code, 2);
  EXPECT_EQ(run("worth " + asked + " --shop " + kExample + " --width -3cm", true).code, 2);
}

TEST_F(Quote, WrongInputIsTold) {
  for (const char* arguments : {" --piece nobody", " --piece table --market abc", " --piece table --market 0",
                                " --market 480", " --piece table --earn -5", " --piece table --deposit 120%",
                                " --piece table --paid 3", " --piece table --invoice 7",
                                " --piece table --valid-until 2020-01-01", " --piece table --market 5 --earn 5"}) {
    const auto ran = run("quote " + kExample + arguments, true);
    EXPECT_EQ(ran.code, 2) << arguments << ": " << ran.out;
  }
}

}  // namespace
