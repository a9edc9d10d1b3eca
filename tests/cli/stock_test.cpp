// The shelf as a shop keeps it: told, used by the log, explained below zero, taken back, bought around.
#include <gmock/gmock.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "run.h"

namespace tackcloth::cli {
namespace {

using nlohmann::json;
using ::testing::HasSubstr;

class Stock : public InDirectory {
 protected:
  std::string at(const char* name) const { return (dir_ / name).string(); }
  std::string data() const { return " --data " + at("a.db"); }
  void store_example() {
    for (const char* name : {"spring.toml", "spring-weather.csv"})
      std::filesystem::copy_file(std::string(TACKCLOTH_SOURCE_DIR) + "/examples/" + name, dir_ / name,
                                 std::filesystem::copy_options::overwrite_existing);
    const TakenPort taken;
    ASSERT_EQ(run("serve --port " + taken.number() + data() + " --job " + at("spring.toml")).code, 2);
  }
  json shelf() { return json::parse(run("stock --json" + data()).out); }
  static json line_of(const json& shelf, const std::string& product) {
    for (const json& line : shelf.at("lines"))
      if (line.at("product") == product) return line;
    return nullptr;
  }
};

TEST_F(Stock, ToldUsedExplainedAndTakenBack) {
  store_example();
  const json first = shelf();
  const json wash = line_of(first, "soap_wash");
  ASSERT_TRUE(wash.is_object());
  EXPECT_EQ(wash.at("on_shelf"), 0.0);
  EXPECT_GT(wash.at("reserved").get<double>(), 0.0);
  EXPECT_EQ(wash.at("free").get<double>(), -wash.at("reserved").get<double>());
  EXPECT_EQ(line_of(first, "mineral_spirits").at("on_shelf"), 0.6);  // of the job's own shelf
  EXPECT_FALSE(first.at("left_over").empty());

  // A step that used something of which nothing is known to have come.
  const json plan = json::parse(run("plan " + at("spring.toml") + " --json").out);
  std::string step;
  double amount = 0;
  for (const json& piece : plan.at("pieces"))
    for (const json& one : piece.at("schedule"))
      for (const json& use : one.at("uses"))
        if (step.empty() && use.at("product") == "soap_wash") {
          step = one.at("id");
          amount = use.at("amount");
        }
  ASSERT_FALSE(step.empty());
  ASSERT_EQ(run("log " + step + " done" + data()).code, 0);
  const json below = line_of(shelf(), "soap_wash");
  EXPECT_NEAR(below.at("on_shelf").get<double>(), -amount, 1e-4);
  EXPECT_EQ(below.at("short").at(0).at("step"), step);
  EXPECT_THAT(run("stock" + data()).out, HasSubstr("more was used than is known to have been there: " + step));

  const auto counted = run("stock counted soap_wash 0.6L --json" + data());
  ASSERT_EQ(counted.code, 0);
  const std::string key = json::parse(counted.out).at("key");
  const json known = line_of(shelf(), "soap_wash");
  EXPECT_EQ(known.at("on_shelf"), 0.6);
  EXPECT_TRUE(known.at("short").empty());
  const auto& book = known.at("book");
  EXPECT_NEAR(book.at("there").get<double>() + book.at("came").get<double>() + book.at("found").get<double>() -
                  book.at("used").get<double>() - book.at("gone").get<double>(),
              0.6, 1e-9);
  // To buy is only what the shelf has not.
  const auto need = [&](const std::string& product) {
    const json bought = json::parse(run("buy --json" + data()).out);
    for (const json& purchase : bought.at("purchases"))
      if (purchase.at("product") == product) return purchase;
    return json();
  };
  EXPECT_NEAR(need("soap_wash").at("from_shelf").get<double>(),
              std::min(0.6, need("soap_wash").at("need").get<double>()), 1e-9);

  ASSERT_EQ(run("stock back '" + key + "'" + data()).code, 0);
  EXPECT_LT(line_of(shelf(), "soap_wash").at("on_shelf").get<double>(), 0.0);
  ASSERT_EQ(run("stock back '" + key + "'" + data()).code, 0);
  EXPECT_EQ(line_of(shelf(), "soap_wash").at("on_shelf"), 0.6);

  ASSERT_EQ(run("stock came --listed" + data()).code, 0);
  const json bought = json::parse(run("buy --json" + data()).out);
  for (const json& purchase : bought.at("purchases"))
    if (!purchase.at("product").get<std::string>().starts_with("cut_")) {
      EXPECT_TRUE(purchase.at("lines").empty()) << purchase.dump();
    }
  const json now = shelf();
  for (const json& line : now.at("lines")) EXPECT_GE(line.at("free").get<double>(), -1e-4) << line.dump();

  const std::string csv = at("shelf.csv");
  ASSERT_EQ(run("stock --csv " + csv + data()).code, 0);
  std::ifstream in(csv);
  std::string head;
  std::getline(in, head);
  EXPECT_THAT(head, HasSubstr("product,name,unit"));
}

TEST_F(Stock, WhatCannotBeIsSaidAndChangesNothing) {
  store_example();
  const json before = shelf();
  for (const auto& [arguments, says] : std::vector<std::pair<std::string, std::string>>{
           {"counted unicorn_glue \"1 l\"", "there is no product 'unicorn_glue'"},
           {"counted soap_wash much", "is no amount"},
           {"came soap_wash \"1 l\" --on 2999-01-01", "in the future"},
           {"came soap_wash \"1 l\" --bought 2026-03-02 --opened 2026-03-01", "opened before it was bought"},
           {"came", "what came is missing"},
           {"back nothing", "nothing was told"}}) {
    const Ran ran = run("stock " + arguments + data(), true);
    EXPECT_EQ(ran.code, 2) << arguments;
    EXPECT_THAT(ran.out, HasSubstr(says)) << arguments;
  }
  json after = shelf();
  after["now"] = before.at("now");
  EXPECT_EQ(after, before);
  EXPECT_EQ(run("stock --data " + at("none.db"), true).code, 2);
  EXPECT_FALSE(std::filesystem::exists(at("none.db")));
  EXPECT_EQ(run("buy").code, 2);
}

}  // namespace
}  // namespace tackcloth::cli
