#include "climate/weather.h"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <sstream>

#include "climate/coating_hours.h"
#include "support.h"

namespace tackcloth::climate {
namespace {

const char* kHeader =
    "LOCATION,Bench Town,-,Nowhere,test,0,45.0,8.0,1,250\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\n"
    "GROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVING,No,0,0,0\nCOMMENTS 1,x\nCOMMENTS 2,x\n"
    "DATA PERIODS,1,1,Data,Thursday, 1/ 1,12/31\n";

std::string epw_row(int month, int day, int hour, const std::string& temp, const std::string& rh) {
  return "2018," + std::to_string(month) + "," + std::to_string(day) + "," + std::to_string(hour) + ",0,?," + temp +
         ",1.0," + rh + ",98000,9999,9999,280,0,0,0,999999,999999,999999,9999,250,1.5,99,99,9999\n";
}

// Data: a typical year for the Po valley in EPW, built on ECMWF reanalysis (see its COMMENTS lines).
TEST(Epw, ReadsAWholeTypicalYear) {
  const std::string path = data_file("weather/po_valley_45n_8e_tmy.epw");
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "no " << path;
  const auto weather = read_epw(path);
  ASSERT_TRUE(weather) << to_text(weather.error());
  EXPECT_EQ(weather->outdoors.states().size(), 8760u);
  EXPECT_TRUE(weather->typical_year);
  EXPECT_EQ(weather->missing_hours_filled, 0);
  EXPECT_NEAR(weather->latitude_deg, 45, 1e-9);
  EXPECT_NEAR(weather->altitude_m, 250, 1e-9);
  // First and last rows of the file, as they stand there.
  EXPECT_NEAR(weather->outdoors.states().front().temp_c, 2.04, 1e-9);
  EXPECT_NEAR(weather->outdoors.states().front().rh, 0.9438, 1e-9);
  EXPECT_NEAR(weather->outdoors.states().front().pressure_pa, 99870, 1e-9);
  EXPECT_NEAR(weather->outdoors.states().back().temp_c, 2.10, 1e-9);
  // The file's own dew point (field 8) must follow from its temperature and humidity: 1.21 °C in the first row.
  EXPECT_NEAR(dew_point_c(weather->outdoors.states().front()), 1.21, 0.05);
  // Any year, and around New Year.
  const auto winter = outdoors_between(*weather, at("2031-12-31T22:00"), 6);
  ASSERT_TRUE(winter);
  EXPECT_NEAR(winter->at(at("2032-01-01T01:00")).temp_c, 2.04, 1e-9);
  EXPECT_NEAR(winter->at(at("2032-01-01T00:00")).temp_c, 2.10, 1e-9);
  // 29 February repeats the 28th.
  const auto leap = outdoors_between(*weather, at("2028-02-28T00:00"), 48);
  ASSERT_TRUE(leap);
  for (int h = 1; h < 24; ++h)
    EXPECT_EQ(leap->at(at("2028-02-28T00:00"), h).temp_c, leap->at(at("2028-02-29T00:00"), h).temp_c);
}

// Every hour of the file against the dew point it gives itself, rounded there to 0.01 °C and 0.01 %. Left out: the days
// on either side of a month's joint, where the file blends two years column by column; saturated hours, whose dew point
// it sets to 0.1 °C below the air; frost, where its dew points are over supercooled water and ours over ice.
TEST(Epw, DewPointColumnFollowsFromTheOthers) {
  const std::string path = data_file("weather/po_valley_45n_8e_tmy.epw");
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "no " << path;
  const auto weather = read_epw(path);
  ASSERT_TRUE(weather);
  std::ifstream in(path);
  std::string line;
  int compared = 0;
  std::size_t hour = 0;
  for (int n = 0; std::getline(in, line); ++n) {
    if (n < 8) continue;
    const Air& air = weather->outdoors.states().at(hour++);
    std::vector<std::string> fields;
    std::stringstream cells(line);
    for (std::string cell; std::getline(cells, cell, ',');) fields.push_back(cell);
    const int month = std::stoi(fields[1]), day = std::stoi(fields[2]);
    const double dew = std::stod(fields[7]);
    const bool joint = day == 1 || !(std::chrono::year(2001) / month / (day + 1)).ok();
    if (joint || air.rh >= 1 || air.temp_c <= 0.01 || dew <= 0.01) continue;
    EXPECT_NEAR(dew_point_c(air), dew, 0.05) << line.substr(0, 14);
    ++compared;
  }
  EXPECT_EQ(hour, 8760u);
  EXPECT_GT(compared, 7000);
}

TEST(Epw, FillsShortHolesAndRefusesLongOnes) {
  std::string text = kHeader;
  for (int h = 1; h <= 12; ++h) {
    const bool hole = h >= 4 && h <= 6;
    text += epw_row(1, 1, h, hole ? "99.9" : std::to_string(h), hole ? "999" : "50");
  }
  const TempFile file("hole.epw", text);
  const auto weather = read_epw(file.path());
  ASSERT_TRUE(weather) << to_text(weather.error());
  EXPECT_EQ(weather->missing_hours_filled, 3);
  EXPECT_FALSE(weather->typical_year);
  EXPECT_EQ(weather->place, "Bench Town, Nowhere");
  for (std::size_t i = 0; i < 12; ++i) EXPECT_NEAR(weather->outdoors.states()[i].temp_c, double(i) + 1, 1e-9);

  std::string missing = kHeader;
  for (int h : {1, 2, 10, 11}) missing += epw_row(1, 1, h, "5", "50");
  const TempFile longer("long.epw", missing);
  const auto refused = read_epw(longer.path());
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().line, 11);
  EXPECT_NE(refused.error().what.find("7 hours"), std::string::npos) << refused.error().what;
}

TEST(Epw, HumidityFromDewPointWhenMissing) {
  const TempFile file("dew.epw", std::string(kHeader) + epw_row(1, 1, 1, "10", "999") + epw_row(1, 1, 2, "10", "50"));
  const auto weather = read_epw(file.path());
  ASSERT_TRUE(weather);
  EXPECT_NEAR(dew_point_c(weather->outdoors.states()[0]), 1.0, 1e-6);
  EXPECT_EQ(weather->missing_hours_filled, 0);
}

TEST(Epw, SaysFileLineAndWhatWasExpected) {
  EXPECT_FALSE(read_epw("/nowhere/at/all.epw"));
  struct Bad {
    std::string text;
    int line;
  };
  const std::string good = epw_row(1, 1, 1, "5", "50");
  for (const Bad& bad :
       {Bad{"", 1}, Bad{"hello\n", 1}, Bad{"LOCATION,a,b\n", 1}, Bad{kHeader, 1},
        Bad{kHeader + good + "2018,1,1,2,0,?\n", 10}, Bad{kHeader + good + epw_row(1, 1, 2, "warm", "50"), 10},
        Bad{kHeader + good + epw_row(1, 1, 2, "5", "140"), 10}, Bad{kHeader + good + epw_row(1, 1, 2, "5", "-3"), 10},
        Bad{kHeader + good + epw_row(13, 1, 2, "5", "50"), 10}, Bad{kHeader + good + epw_row(2, 30, 2, "5", "50"), 10},
        Bad{kHeader + good + epw_row(1, 1, 25, "5", "50"), 10}, Bad{kHeader + good + good, 10},
        Bad{kHeader + good + std::string(1, '\0') + "\n", 10}}) {
    const TempFile file("bad.epw", bad.text);
    const auto weather = read_epw(file.path());
    ASSERT_FALSE(weather) << bad.text.substr(bad.text.size() > 80 ? bad.text.size() - 80 : 0);
    EXPECT_EQ(weather.error().file, file.path());
    EXPECT_EQ(weather.error().line, bad.text.empty() ? 1 : bad.line) << weather.error().what;
    EXPECT_FALSE(weather.error().expected.empty());
  }
}

TEST(Forecast, ReadsColumnsInAnyOrderAndFillsThreeHourSteps) {
  const TempFile file("f.csv",
                      "rh_percent,time,temp_c,wind_m_s\r\n50,2026-03-04T00:00,6,1\r\n50,2026-03-04T03:00,9,4\r\n");
  const auto weather = read_forecast_csv(file.path());
  ASSERT_TRUE(weather) << to_text(weather.error());
  EXPECT_EQ(weather->missing_hours_filled, 2);
  EXPECT_NEAR(weather->outdoors.at(at("2026-03-04T01:00")).temp_c, 7, 1e-9);
  EXPECT_NEAR(weather->outdoors.at(at("2026-03-04T02:00")).speed_m_s, 3, 1e-9);
  EXPECT_TRUE(outdoors_between(*weather, at("2026-03-04T00:00"), 3));
  const auto early = outdoors_between(*weather, at("2026-03-04T00:00"), 4);
  ASSERT_FALSE(early);
  EXPECT_NE(early.error().what.find("2026-03-04T03:00"), std::string::npos);
  EXPECT_FALSE(outdoors_between(*weather, at("2026-03-03T23:00"), 2));
}

TEST(Forecast, SaysWhatIsWrong) {
  struct Bad {
    const char* text;
    int line;
  };
  const Bad bads[] = {{"", 1},
                      {"time,temp_c\n", 1},
                      {"time,temp_c,rh_percent,mood\n", 1},
                      {"time,temp_c,rh_percent\n", 0},
                      {"time,temp_c,rh_percent\n2026-03-04T00:00,6\n", 2},
                      {"time,temp_c,rh_percent\nyesterday,6,50\n", 2},
                      {"time,temp_c,rh_percent\n2026-03-04T00:00,6,104\n", 2},
                      {"time,temp_c,rh_percent\n2026-03-04T00:00,hot,50\n", 2},
                      {"time,temp_c,rh_percent\n2026-03-04T00:30,6,50\n", 2},
                      {"time,temp_c,rh_percent\n2026-03-04T01:00,6,50\n2026-03-04T00:00,6,50\n", 3},
                      {"time,temp_c,rh_percent\n2026-03-04T00:00,6,50\n2026-03-04T08:00,6,50\n", 3},
                      {"time,temp_c,rh_percent\n2026-03-04T00:00,6,\n2026-03-04T01:00,6,50\n", 2}};
  for (const Bad& bad : bads) {
    const TempFile file("bad.csv", bad.text);
    const auto weather = read_forecast_csv(file.path());
    ASSERT_FALSE(weather) << bad.text;
    EXPECT_EQ(weather.error().line, bad.line) << bad.text << to_text(weather.error());
  }
}

TEST(CoatingHours, SaysWhyNot) {
  const Instant start = at("2026-03-04T00:00");
  std::vector<Air> states = {{20, 0.5, 101325, 0.1}, {5, 0.5, 101325, 0.1},   {40, 0.2, 101325, 0.1},
                             {20, 0.9, 101325, 0.1}, {20, 0.84, 101325, 0.1}, {-2, 0.5, 101325, 0.1},
                             {20, 1, 101325, 0.1}};
  CoatingLimits limits;
  limits.surface_lag_h = 0;
  const auto hours = coating_hours(ClimateSeries::hourly(start, states), limits, start, 7);
  ASSERT_EQ(hours.size(), 7u);
  EXPECT_TRUE(hours[0].fit);
  const char* words[] = {"", "cold", "hot", "damp", "dew point", "frost", "saturated"};
  for (std::size_t i = 1; i < 7; ++i) {
    EXPECT_FALSE(hours[i].fit) << i;
    EXPECT_NE(hours[i].why_not.find(words[i]), std::string::npos) << hours[i].why_not;
  }
}

// A piece that has stood cold meets a warm damp morning: its surface is below the air and near the dew point.
TEST(CoatingHours, AColdPieceInAWarmMorningIsNotFit) {
  const Instant start = at("2026-03-04T00:00");
  std::vector<Air> states(12, Air{11, 0.8, 101325, 0.1});
  states.resize(24, Air{18, 0.75, 101325, 0.1});
  CoatingLimits limits;
  limits.surface_lag_h = 3;
  const auto series = ClimateSeries::hourly(start, states);
  const auto hours = coating_hours(series, limits, start, 24);
  EXPECT_FALSE(hours[12].fit);
  EXPECT_NE(hours[12].why_not.find("wet"), std::string::npos) << hours[12].why_not;
  // Just after the jump the surface is still about the night's temperature: its margin is that of 11 to 13 °C.
  EXPECT_LT(hours[12].dew_margin_c, 13 - dew_point_c(states[12]));
  EXPECT_TRUE(hours[23].fit) << hours[23].why_not;
}

TEST(CoatingHours, SpellsJoinFitHours) {
  const Instant start = at("2026-03-04T00:00");
  std::vector<CoatingHour> hours;
  for (int i = 0; i < 10; ++i) {
    CoatingHour hour;
    hour.when = start + Minutes(60 * i);
    hour.fit = i == 0 || (i >= 3 && i < 7);
    hours.push_back(hour);
  }
  const auto all = coating_spells(hours), longer = coating_spells(hours, 2);
  ASSERT_EQ(all.size(), 2u);
  ASSERT_EQ(longer.size(), 1u);
  EXPECT_EQ(longer[0].from, start + Minutes(180));
  EXPECT_EQ(longer[0].to, start + Minutes(420));
}

}  // namespace
}  // namespace tackcloth::climate
