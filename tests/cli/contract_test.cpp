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
using tackcloth::cli::TakenPort;

const std::string kExample = std::string(TACKCLOTH_SOURCE_DIR) + "/examples/spring.toml";

class Cli : public tackcloth::cli::InDirectory {
 protected:
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

// The example moved into the past, so that its log can be kept; stored, logged, learned from.
TEST_F(Cli, TheBenchTeachesThroughTheLog) {
  const fs::path dir = dir_;
  for (const char* name : {"spring.toml", "spring-weather.csv"}) {
    std::ifstream in(std::string(TACKCLOTH_SOURCE_DIR) + "/examples/" + name);
    std::ofstream out(dir / name);
    for (std::string line; std::getline(in, line);) {
      for (std::size_t at; (at = line.find("2027-")) != std::string::npos;) line.replace(at, 5, "2025-");
      out << line << "\n";
    }
  }
  const std::string job = (dir / "spring.toml").string(), data = (dir / "t.db").string();
  // The plan is stored first; a port that is taken then ends the program.
  const TakenPort taken;
  EXPECT_EQ(run("serve --port " + taken.number() + " --data " + data + " --job " + job).code, 2);
  const auto plan = json::parse(run("plan " + job + " --json").out);
  std::string coat, coat_end, coat_ready;
  for (const auto& piece : plan["pieces"])
    for (const auto& step : piece["schedule"])
      if (step["step"] == "clear" && (coat.empty() || step["end"] < coat_end))
        coat = step["id"], coat_end = step["end"], coat_ready = step["ready_p90"];
  ASSERT_FALSE(coat.empty());
  ASSERT_EQ(run("log " + coat + " done --data " + data + " --when " + coat_end).code, 0);
  const Ran looked = run("log " + coat + " soft --data " + data + " --when " + coat_ready + " --json");
  ASSERT_EQ(looked.code, 0);
  const auto taught = json::parse(looked.out)["taught"];
  ASSERT_EQ(taught["products"].size(), 1u);
  EXPECT_GT(taught["products"][0]["posterior_mean"], taught["products"][0]["prior_mean"]);
  ASSERT_EQ(taught["looks"].size(), 1u);
  // What one data file has seen, another question may learn from.
  const std::string product = taught["products"][0]["product"];
  const auto plain = json::parse(run("dry --product " + product + " --json").out);
  const auto wiser = json::parse(run("dry --product " + product + " --learn " + data + " --json").out);
  EXPECT_GT(wiser["recoat_h"]["p50"], plain["recoat_h"]["p50"]);
  EXPECT_EQ(wiser["learned"]["entries"], 1);
  EXPECT_EQ(run("dry --product " + product + " --learn " + (dir / "none.db").string()).code, 2);
  EXPECT_FALSE(fs::exists(dir / "none.db"));
}

TEST_F(Cli, SoonerRanksWhatHelps) {
  const Ran ran = run("sooner " + std::string(TACKCLOTH_SOURCE_DIR) + "/examples/spring.toml --json");
  ASSERT_EQ(ran.code, 0);
  const auto said = json::parse(ran.out);
  EXPECT_GT(said["tried"], 10);
  EXPECT_EQ(said["hurried"].size(), 4u);
  ASSERT_FALSE(said["helps"].empty());
  for (const char* key : {"kind", "what", "heed", "late_hours_less", "finish_hours_less", "piece_hours_less", "pieces"})
    EXPECT_TRUE(said["helps"][0].contains(key)) << key;
}

}  // namespace
