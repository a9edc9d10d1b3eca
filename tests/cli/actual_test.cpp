// log --took, actual and year as a shop runs them.
#include <gmock/gmock.h>

#include <nlohmann/json.hpp>

#include "run.h"

namespace tackcloth::cli {
namespace {

using nlohmann::json;
using ::testing::HasSubstr;

class Money : public InDirectory {
 protected:
  std::string at(const char* name) const { return (dir_ / name).string(); }
  std::string data() const { return " --data " + at("a.db"); }
  void store_example(const std::string& more = "") {
    std::ifstream in(std::string(TACKCLOTH_SOURCE_DIR) + "/examples/spring.toml");
    std::string text((std::istreambuf_iterator<char>(in)), {});
    const std::string id = "id = \"table\"\n";
    const auto piece = text.find(id);
    ASSERT_NE(piece, std::string::npos);
    text.insert(piece + id.size(), more);
    std::filesystem::copy_file(std::string(TACKCLOTH_SOURCE_DIR) + "/examples/spring-weather.csv",
                               dir_ / "spring-weather.csv", std::filesystem::copy_options::overwrite_existing);
    const TakenPort taken;
    // The plan is stored first; a port that is taken then ends the program.
    ASSERT_EQ(run("serve --port " + taken.number() + data() + " --job " + file("job.toml", text)).code, 2);
  }
  json actual(const std::string& piece) {
    const auto ran = run("actual --json" + data() + " --piece " + piece);
    EXPECT_EQ(ran.code, 0);
    const json all = json::parse(ran.out);
    EXPECT_EQ(all.at("pieces").size(), 1u);
    return all.at("pieces").at(0);
  }
};

TEST_F(Money, WhatIsToldAndWhatIsNot) {
  store_example("agreed = \"480.00\"\nbought = [{ what = \"varnish\", amount = \"21.50\" }]\n");
  const json before = actual("table");
  EXPECT_EQ(before.at("hours").at("timed"), 0);
  EXPECT_TRUE(before.at("hours").at("took_hours").is_null());
  EXPECT_EQ(before.at("materials_bought"), "21.50");
  EXPECT_EQ(before.at("planned").at("total"), "480.00");
  const auto logged = run("log table-01 done --took 45min --json" + data());
  ASSERT_EQ(logged.code, 0);
  EXPECT_EQ(json::parse(logged.out).at("took_min"), 45);
  ASSERT_EQ(run("log table-02 done" + data()).code, 0);
  const json after = actual("table");
  EXPECT_EQ(after.at("hours").at("done"), 2);
  EXPECT_EQ(after.at("hours").at("timed"), 1);
  EXPECT_DOUBLE_EQ(after.at("hours").at("took_hours"), 1.5);  // a table takes two, three quarters of an hour each
  EXPECT_GT(after.at("hours").at("untimed_planned_hours"), 0.0);
  EXPECT_EQ(after.at("hours_known"), false);
  EXPECT_EQ(after.at("as_it_went").at("total"), "480.00");
  const auto text = run("actual" + data()).out;
  EXPECT_THAT(text, HasSubstr("unknown, not nothing"));
  EXPECT_THAT(text, HasSubstr("Agreed 480.00"));

  // The last step of the piece is handing it over.
  const json planned = json::parse(run("plan --json " + at("job.toml")).out);
  ASSERT_EQ(planned.at("pieces").at(0).at("id"), "table");
  const std::string last = planned.at("pieces").at(0).at("schedule").back().at("id");
  ASSERT_EQ(run("log " + last + " done --took 20min" + data()).code, 0);
  const auto year = run("year 2027 --json" + data() + " --out " + at("year.ods"));
  ASSERT_EQ(year.code, 0);
  const json book = json::parse(year.out);
  ASSERT_EQ(book.at("pieces").size(), 1u) << "of four, one is handed over";
  EXPECT_EQ(book.at("pieces").at(0).at("id"), "table");
  EXPECT_EQ(book.at("total").at("income"), "480.00");
  EXPECT_EQ(book.at("total").at("tax"), "80.00");
  EXPECT_EQ(book.at("total").at("materials"), "21.50");
  EXPECT_GT(book.at("total").at("untimed_minutes"), 0);
  EXPECT_EQ(book.at("months").size(), 12u);
  EXPECT_GT(std::filesystem::file_size(at("year.ods")), 500u);
  ASSERT_EQ(run("year 2027" + data() + " --out " + at("year.csv")).code, 0);
  EXPECT_EQ(json::parse(run("year 2020 --json" + data()).out).at("total").at("pieces"), 0);
}

TEST_F(Money, SaysWhatIsWrong) {
  store_example();
  const auto wrong = [&](const std::string& command, const char* said) {
    const auto ran = run(command, true);
    EXPECT_EQ(ran.code, 2) << command;
    EXPECT_THAT(ran.out, HasSubstr(said));
    EXPECT_THAT(ran.out, HasSubstr("Expected:")) << command;
  };
  wrong("log table-01 done --took soon" + data(), "--took");
  wrong("log table-01 done --took 45" + data(), "--took");
  wrong("log table-01 done --took 0min" + data(), "--took");
  wrong("log table-01 done --took '-3 h'" + data(), "--took");
  wrong("log table-01 started --took 45min" + data(), "whole step");
  wrong("actual --data " + at("none.db"), "no such data file");
  EXPECT_FALSE(std::filesystem::exists(at("none.db"))) << "asking makes no file";
  wrong("actual --piece chair-9" + data(), "chair-9");
  wrong("year 2027 --data " + at("none.db"), "no such data file");
  wrong("year 2027 --out year.pdf" + data(), "year.pdf");
  EXPECT_EQ(run("year soon" + data()).code, 2);
}

}  // namespace
}  // namespace tackcloth::cli
