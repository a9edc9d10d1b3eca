#include "climate/readings.h"

#include <gtest/gtest.h>

#include "support.h"

namespace tackcloth::climate {
namespace {

TEST(Readings, ColumnsInAnyOrderTimeAndPressureIfWanted) {
  const TempFile file("log.csv",
                      "rh_percent,temp_c,time,pressure_pa\n50,21,2026-03-04T08:00,95000\n100,-3,2026-03-04T08:17,\n");
  const auto logged = read_readings_csv(file.path(), true, 90000);
  ASSERT_TRUE(logged) << to_text(logged.error());
  ASSERT_EQ(logged->size(), 2u);
  EXPECT_EQ((*logged)[0].air.pressure_pa, 95000);
  EXPECT_EQ((*logged)[1].air.pressure_pa, 90000);
  EXPECT_EQ((*logged)[1].air.rh, 1);
  EXPECT_EQ((*logged)[1].when, at("2026-03-04T08:17"));
  EXPECT_EQ((*logged)[1].line, 3);
  const TempFile plain("plain.csv", "temp_c,rh_percent\n21,50\n");
  const auto untimed = read_readings_csv(plain.path(), true);
  ASSERT_TRUE(untimed);
  EXPECT_FALSE(untimed->front().when);
  EXPECT_EQ(untimed->front().air.pressure_pa, 101325);
  EXPECT_FALSE(shop_readings(plain.path(), *untimed));
}

TEST(Readings, TemperatureAloneIsEnoughToLearnARoom) {
  const TempFile file("t.csv", "time,temp_c\n2026-03-04T08:00,12\n2026-03-04T12:00,14\n");
  EXPECT_FALSE(read_readings_csv(file.path(), true));
  const auto logged = read_readings_csv(file.path(), false);
  ASSERT_TRUE(logged);
  EXPECT_FALSE(logged->front().has_rh);
  const auto readings = shop_readings(file.path(), *logged);
  ASSERT_TRUE(readings);
  EXPECT_EQ(readings->back().temp_c, 14);
}

TEST(Readings, SaysFileLineAndWhatWasExpected) {
  struct Bad {
    const char* text;
    int line;
    const char* word;
  };
  const Bad bads[] = {{"", 1, "not known"},
                      {"temp_c\n", 1, "missing"},
                      {"temp_c,rh_percent,mood\n1,2,3\n", 1, "mood"},
                      {"temp_c,temp_c,rh_percent\n1,2,3\n", 1, "twice"},
                      {"temp_c,rh_percent\n", 0, "no rows"},
                      {"temp_c,rh_percent\n20,50\n20,104\n", 3, "104"},
                      {"temp_c,rh_percent\n20,-1\n", 2, "-1"},
                      {"temp_c,rh_percent\n68F,50\n", 2, "68F"},
                      {"temp_c,rh_percent\n70,50\n", 2, "70"},
                      {"temp_c,rh_percent\n20\n", 2, "1 fields"},
                      {"temp_c,rh_percent\n20,\n", 2, "empty"},
                      {"temp_c,rh_percent\n,50\n", 2, "empty"},
                      {"temp_c,rh_percent\nnan,50\n", 2, "nan"},
                      {"time,temp_c,rh_percent\nnoon,20,50\n", 2, ""},
                      {"temp_c,rh_percent,pressure_pa\n20,50,1013\n", 2, "1013"}};
  for (const Bad& bad : bads) {
    const TempFile file("bad.csv", bad.text);
    const auto logged = read_readings_csv(file.path(), true);
    ASSERT_FALSE(logged) << bad.text;
    EXPECT_EQ(logged.error().file, file.path());
    EXPECT_EQ(logged.error().line, bad.line) << bad.text;
    EXPECT_NE(logged.error().what.find(bad.word), std::string::npos) << logged.error().what;
    EXPECT_FALSE(logged.error().expected.empty());
    EXPECT_FALSE(logged.error().remedy.empty()) << bad.text;
  }
}

}  // namespace
}  // namespace tackcloth::climate
