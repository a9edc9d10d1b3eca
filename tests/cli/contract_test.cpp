// The commands' contract: exit codes, JSON keys, and what bad input is told.
#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>

#include "run.h"

namespace {

namespace fs = std::filesystem;
using nlohmann::json;

using tackcloth::cli::Ran;
using tackcloth::cli::run;

const std::string kExample = std::string(TACKCLOTH_SOURCE_DIR) + "/examples/spring.toml";

class Cli : public ::testing::Test {
 protected:
  void SetUp() override {
    dir_ = fs::temp_directory_path() / ("tackcloth-cli-" + std::to_string(::getpid()));
    fs::create_directories(dir_);
  }
  void TearDown() override { fs::remove_all(dir_); }
  std::string file(const std::string& name, const std::string& text) {
    const fs::path path = dir_ / name;
    std::ofstream(path, std::ios::binary) << text;
    return path.string();
  }
  std::string example_with(const std::string& from, const std::string& to) {
    std::ifstream in(kExample);
    std::string text((std::istreambuf_iterator<char>(in)), {});
    const auto at = text.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    if (at != std::string::npos) text.replace(at, from.size(), to);
    fs::copy_file(fs::path(TACKCLOTH_SOURCE_DIR) / "examples/spring-weather.csv", dir_ / "spring-weather.csv",
                  fs::copy_options::overwrite_existing);
    return file("job.toml", text);
  }
  fs::path dir_;
};

TEST_F(Cli, PlanPrintsTheContractedKeys) {
  const Ran ran = run("plan " + kExample + " --json");
  ASSERT_EQ(ran.code, 0);
  const json plan = json::parse(ran.out);
  for (const char* key : {"pieces", "findings", "purchases", "cost", "finish", "lower_bound", "gap_percent"})
    EXPECT_TRUE(plan.contains(key)) << key;
  ASSERT_EQ(plan["pieces"].size(), 4u);
  for (const json& piece : plan["pieces"]) {
    ASSERT_FALSE(piece["zones"].empty());
    for (const json& zone : piece["zones"]) EXPECT_GT(zone.at("area_m2").get<double>(), 0);
    ASSERT_FALSE(piece["schedule"].empty());
    for (const json& step : piece["schedule"])
      for (const char* key : {"step", "product", "reason", "start", "end", "ready_p50", "ready_p90"})
        EXPECT_TRUE(step.contains(key)) << key;
  }
  for (const json& finding : plan["findings"])
    for (const char* key : {"rule", "severity", "reason", "mend", "source"})
      EXPECT_FALSE(finding.at(key).get<std::string>().empty()) << key << " of " << finding["rule"];
}

TEST_F(Cli, TheHalfCircleOfTheExampleIsExact) {
  const json plan = json::parse(run("plan " + kExample + " --json").out);
  double area = 0;
  for (const json& piece : plan["pieces"]) {
    for (const json& zone : piece["zones"]) {
      if (zone["id"] == "sunrise") area = zone["area_m2"].get<double>();
    }
  }
  EXPECT_NEAR(area, 3.14159265358979 * 0.19 * 0.19 / 2, 1e-9);
}

TEST_F(Cli, CheckExitsOneForAMustNot) {
  // Waxed shellac under an oil-modified urethane: refused, with the mend.
  const std::string job =
      example_with("product = \"varnish_wiping\"", "wanted = [\"shellac_waxed\", \"urethane_oil\"]");
  const Ran ran = run("check " + job);
  EXPECT_EQ(ran.code, 1);
  EXPECT_NE(ran.out.find("must-not"), std::string::npos);
  EXPECT_NE(ran.out.find("dewaxed"), std::string::npos) << ran.out.substr(0, 600);
  EXPECT_EQ(run("check " + kExample).code, 0);
}

TEST_F(Cli, BadInputExitsTwoAndSaysWhere) {
  for (const auto& [name, text] :
       std::vector<std::pair<std::string, std::string>>{{"empty.toml", ""},
                                                        {"truncated.toml", "schema = 1\n[shop\n"},
                                                        {"bytes.toml", std::string("\xff\xfe\x00\x01", 4)},
                                                        {"deep.toml", "x = " + std::string(100000, '[')}}) {
    const Ran ran = run("plan " + file(name, text), true);
    EXPECT_EQ(ran.code, 2) << name << ": " << ran.out.substr(0, 300);
    EXPECT_NE(ran.out.find(name), std::string::npos) << ran.out.substr(0, 300);
  }
  const Ran ran = run("plan " + example_with("width = \"120 cm\"", "width = \"-3 cm\""), true);
  EXPECT_EQ(ran.code, 2);
  EXPECT_NE(ran.out.find("job.toml:"), std::string::npos);
  EXPECT_EQ(run("plan no-such-file.toml", true).code, 2);
  EXPECT_EQ(run("climate --temp 21C --rh 150%", true).code, 2);
  EXPECT_EQ(run("nonsense", true).code, 2);
}

TEST_F(Cli, ADueDateInThePastIsLateWithTheReason) {
  const Ran ran = run("plan " + example_with("due = 2027-05-08", "due = 2020-01-01") + " --json");
  ASSERT_NE(ran.code, 2);
  const json plan = json::parse(ran.out);
  EXPECT_TRUE(plan["pieces"][0]["late"].get<bool>());
  EXPECT_FALSE(plan["pieces"][0]["late_reason"].get<std::string>().empty());
}

TEST_F(Cli, OneQuestionOneAnswer) {
  const json air = json::parse(run("climate --temp 21.1C --rh 50% --json").out);
  for (const char* key : {"dew_point_c", "wet_bulb_c", "humidity_ratio", "vapour_pressure_pa", "wood_moisture_percent"})
    EXPECT_TRUE(air.contains(key)) << key;
  const json dry =
      json::parse(run("dry --product varnish_wiping --wet-um 50 --temp 21C --rh 50% --air 0.2m/s --json").out);
  for (const char* need : {"touch_h", "recoat_h", "cure_h"}) {
    EXPECT_LT(dry.at(need).at("p10").get<double>(), dry.at(need).at("p50").get<double>());
    EXPECT_LT(dry.at(need).at("p50").get<double>(), dry.at(need).at("p90").get<double>());
  }
  const json vapour = json::parse(
      run("air --product urethane_oil --wet-um 100 --area 2m2 --temp 20C --rh 50% --volume 40m3 --ach 0.5 --json").out);
  for (const char* key : {"peak_ppm", "twa_ppm", "reentry_h"}) EXPECT_TRUE(vapour.contains(key)) << key;
}

TEST_F(Cli, PapersAreWritten) {
  const std::string out = (dir_ / "out").string();
  ASSERT_EQ(run("plan " + kExample + " --out " + out).code, 0);
  for (const char* name : {"job-sheet.pdf", "calendar.ics", "shopping.csv", "plan.json"})
    EXPECT_GT(fs::file_size(fs::path(out) / name), 500u) << name;
}

}  // namespace
