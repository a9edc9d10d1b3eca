// `tackcloth climate` and `tackcloth air`: what they answer and what bad input is told.
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <numbers>

#include "run.h"

namespace tackcloth::cli {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;

class ClimateAir : public InDirectory {
 protected:
  static std::string when(int hour) {
    char text[32];
    std::snprintf(text, sizeof text, "2026-03-%02dT%02d:00", 1 + hour / 24, hour % 24);
    return text;
  }
  static double outdoors_c(int hour) { return 9 + 6 * std::cos((hour - 15) * 2 * std::numbers::pi / 24); }
  std::string weather() {
    std::string text = "time,temp_c,rh_percent\n";
    for (int h = 0; h < 240; ++h) text += when(h) + "," + std::to_string(outdoors_c(h)) + ",60\n";
    return file("weather.csv", text);
  }
  // A first-order lag of tau hours, 2 °C above outdoors, in steps of a minute.
  std::string readings(double tau, double sway = 0) {
    std::string text = "time,temp_c\n";
    double inside = 9;
    for (int m = 0; m < 200 * 60; ++m) {
      const double hour = m / 60.0, part = hour - std::floor(hour);
      const double now = std::lerp(outdoors_c(m / 60), outdoors_c(m / 60 + 1), part);
      if (m % 360 == 0 && m >= 100 * 60)
        text += when(m / 60) + "," + std::to_string(inside + 2 + (m % 720 ? sway : -sway)) + "\n";
      inside += (now - inside) / 60 / tau;
    }
    return file("readings.csv", text);
  }
};

TEST_F(ClimateAir, RealGasBesideTheHandbooks) {
  const json air = json::parse(run("climate --temp 20C --rh 100% --json").out);
  // ASHRAE Fundamentals, saturated air at 20 °C: 0.014758 kg/kg (from memory).
  EXPECT_NEAR(air.at("humidity_ratio_real").get<double>(), 0.014758, 1.5e-5);
  EXPECT_LT(air.at("humidity_ratio").get<double>(), air.at("humidity_ratio_real").get<double>());
}

TEST_F(ClimateAir, ABoardMovesWithTheAir) {
  const json damp =
      json::parse(run("climate --temp 21C --rh 65% --species oak_red --width 300mm --from-rh 45% --json").out);
  const json& board = damp.at("movement");
  const double change = board.at("to_moisture_percent").get<double>() - board.at("from_moisture_percent").get<double>();
  // Wood Handbook, table 13-5, red oak: 0.00158 radial, 0.00369 tangential.
  EXPECT_NEAR(board.at("radial_mm").get<double>(), 300 * 0.00158 * change, 1e-9);
  EXPECT_NEAR(board.at("tangential_mm").get<double>(), 300 * 0.00369 * change, 1e-9);
  EXPECT_TRUE(board.at("coefficients_hold").get<bool>());
  EXPECT_EQ(run("climate --temp 21C --rh 65% --species oak_red", true).code, 2);
  const Ran wrong = run("climate --temp 21C --rh 65% --species plywood --width 30cm", true);
  EXPECT_EQ(wrong.code, 2);
  EXPECT_NE(wrong.out.find("oak_red"), std::string::npos);
  EXPECT_EQ(run("climate --temp 21C --rh 65% --species oak_red --width 30cm --from-rh 130%", true).code, 2);
}

TEST_F(ClimateAir, ReadingsRowByRow) {
  const std::string log = file("log.csv", "temp_c,rh_percent\n21.1,50\n-5,80\n");
  const json rows = json::parse(run("climate --readings " + log + " --json").out).at("readings");
  ASSERT_EQ(rows.size(), 2u);
  const json alone = json::parse(run("climate --temp 21.1C --rh 50% --json").out);
  for (const char* key : {"dew_point_c", "wet_bulb_c", "humidity_ratio", "vapour_pressure_pa", "wood_moisture_percent"})
    EXPECT_EQ(rows[0].at(key), alone.at(key)) << key;
  const Ran csv = run("climate --readings " + log + " --csv");
  EXPECT_EQ(csv.code, 0);
  EXPECT_EQ(std::count(csv.out.begin(), csv.out.end(), '\n'), 3);
  const Ran bad = run("climate --readings " + file("bad.csv", "temp_c,rh_percent\n21,50\n21,150\n"), true);
  EXPECT_EQ(bad.code, 2);
  EXPECT_NE(bad.out.find("bad.csv:3"), std::string::npos) << bad.out;
  EXPECT_EQ(run("climate --readings nowhere.csv", true).code, 2);
}

TEST_F(ClimateAir, HoursInTheShopAndARoomLearned) {
  const std::string outside = weather();
  const json out = json::parse(run("climate --weather " + outside + " --start 2026-03-06T00:00 --hours 24 --json").out);
  const json in = json::parse(run("climate --weather " + outside +
                                  " --start 2026-03-06T00:00 --hours 24 --time-constant 10h --gain 3.6F --json")
                                  .out);
  EXPECT_EQ(out.at("where"), "outdoors");
  EXPECT_EQ(in.at("where"), "shop");
  EXPECT_NEAR(in.at("room").at("gain_c").get<double>(), 2, 1e-9);
  const auto swing = [](const json& hours) {
    double low = 99, high = -99;
    for (const json& h : hours)
      low = std::min(low, h.at("temp_c").get<double>()), high = std::max(high, h.at("temp_c").get<double>());
    return high - low;
  };
  EXPECT_NEAR(swing(in.at("hours")) / swing(out.at("hours")), 1 / std::hypot(1, 2 * std::numbers::pi / 24 * 10), 0.02);
  const json learned =
      json::parse(run("climate --weather " + outside + " --readings " + readings(10) + " --hours 12 --json").out);
  EXPECT_NEAR(learned.at("room").at("time_constant_h").get<double>(), 10, 0.5);
  EXPECT_NEAR(learned.at("room").at("gain_c").get<double>(), 2, 0.1);
  EXPECT_LT(learned.at("room").at("learned").at("rms_c").get<double>(), 0.1);
  EXPECT_EQ(learned.at("hours").size(), 12u);
}

TEST_F(ClimateAir, ContradictingReadingsAndShortWeatherAreRefused) {
  const std::string outside = weather();
  const Ran torn = run("climate --weather " + outside + " --readings " + readings(10, 8), true);
  EXPECT_EQ(torn.code, 2);
  EXPECT_NE(torn.out.find("do not fit"), std::string::npos) << torn.out;
  EXPECT_EQ(run("climate --weather " + outside + " --shop --hours 500", true).code, 2);
  EXPECT_EQ(run("climate --weather " + outside + " --gain 90C", true).code, 2);
  EXPECT_EQ(run("climate --weather " + outside + " --heated-to 20C --cooled-to 18C", true).code, 2);
  EXPECT_EQ(run("climate --weather " + outside + " --product nothing", true).code, 2);
}

TEST_F(ClimateAir, AProductsOwnLimitsAreKept) {
  const std::string outside = weather();
  const json own = json::parse(run("climate --weather " + outside + " --product aerosol_clear --hours 100 --json").out);
  EXPECT_EQ(own.at("limits").at("min_temp_c").get<double>(), 13);
  for (const json& hour : own.at("hours"))
    if (hour.at("fit_for_coating").get<bool>()) {
      EXPECT_GE(hour.at("temp_c").get<double>(), 13);
      EXPECT_LE(hour.at("rh_percent").get<double>(), 65);
      EXPECT_GE(hour.at("surface_above_dew_point_k").get<double>(), 3);
    }
}

TEST_F(ClimateAir, SeveralCoatsAndASprayCan) {
  const Ran both = run("air --product varnish_wiping --area 2m2 --coat \"aerosol_clear,0.5m2,50um,1h\" --json");
  const json air = json::parse(both.out);
  ASSERT_EQ(air.at("coats").size(), 2u);
  EXPECT_EQ(air.at("coats")[1].at("start_h").get<double>(), 1);
  bool gas = false;
  for (const json& part : air.at("components")) {
    gas = gas || part.at("component") == "propellant_butane";
    EXPECT_GE(part.at("peak_ppm").get<double>(), part.at("twa_ppm").get<double>());
    EXPECT_GT(part.at("twa_limit_ppm").get<double>(), 0);
    EXPECT_FALSE(part.at("limit_source").get<std::string>().empty());
  }
  EXPECT_TRUE(gas);
  std::string rules;
  for (const json& finding : air.at("findings")) rules += finding.at("rule").get<std::string>() + " ";
  for (const char* rule : {"rags-self-heat", "no-flames", "spray-mist", "air-cartridge", "dust", "local-codes"})
    EXPECT_NE(rules.find(rule), std::string::npos) << rule << " in " << rules;
  EXPECT_EQ(rules.find("spray-mist"), rules.rfind("spray-mist"));
  const json one = json::parse(run("air --product varnish_wiping --area 2m2 --json").out);
  EXPECT_GT(air.at("lel_share").get<double>(), one.at("lel_share").get<double>());
}

TEST_F(ClimateAir, BadCoatsAreExplained) {
  EXPECT_EQ(run("air", true).code, 2);
  EXPECT_EQ(run("air --product nothing --area 2m2", true).code, 2);
  EXPECT_EQ(run("air --product varnish_wiping", true).code, 2);
  EXPECT_EQ(run("air --coat varnish_wiping", true).code, 2);
  EXPECT_EQ(run("air --coat \"varnish_wiping,2m2,50um,0h,brush,extra\"", true).code, 2);
  const Ran method = run("air --coat \"aerosol_clear,1m2,,,brush\"", true);
  EXPECT_EQ(method.code, 2);
  EXPECT_NE(method.out.find("aerosol"), std::string::npos);
  EXPECT_EQ(run("air --coat \"varnish_wiping,2m2,9m\"", true).code, 2);
}

}  // namespace
}  // namespace tackcloth::cli
