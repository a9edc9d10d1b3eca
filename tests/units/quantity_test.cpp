#include "units/quantity.h"

#include <gtest/gtest.h>

#include <random>

namespace tackcloth::units {
namespace {

struct Case {
  const char* text;
  double value;
};

// Factors: NIST SP 811 (2008), appendix B; inch, pound and gallon are exact there.
TEST(Quantity, ReadsLengthsAsPeopleWriteThem) {
  for (const Case& c :
       {Case{"23 5/8 in", 600.075}, Case{"23-5/8\"", 600.075}, Case{"2 ft 3 in", 685.8}, Case{"2' 3 1/2\"", 698.5},
        Case{"60 cm", 600}, Case{"600mm", 600}, Case{"0.6 m", 600}, Case{"5 mil", 0.127}, Case{"50 um", 0.05},
        Case{"5/8 in", 15.875}, Case{"-2 ft 3 in", -685.8}}) {
    const auto got = parse_length_mm(c.text);
    ASSERT_TRUE(got) << c.text;
    EXPECT_NEAR(*got, c.value, 1e-9) << c.text;
  }
}

TEST(Quantity, ReadsTheOtherQuantities) {
  EXPECT_NEAR(*parse_temperature_c("70 °F"), 21.1111111, 1e-6);
  EXPECT_NEAR(*parse_temperature_c("-40F"), -40, 1e-9);
  EXPECT_NEAR(*parse_temperature_c("21.1C"), 21.1, 1e-12);
  EXPECT_NEAR(*parse_temperature_c("294.25 K"), 21.1, 1e-9);
  EXPECT_NEAR(*parse_volume_l("1 qt"), 0.946352946, 1e-9);
  EXPECT_NEAR(*parse_volume_l("1/2 gal"), 1.892705892, 1e-9);
  EXPECT_NEAR(*parse_volume_l("40m3"), 40000, 1e-9);
  EXPECT_NEAR(*parse_area_m2("2m2"), 2, 1e-12);
  EXPECT_NEAR(*parse_area_m2("100 ft2"), 9.290304, 1e-9);
  EXPECT_NEAR(*parse_pressure_pa("101325Pa"), 101325, 1e-9);
  EXPECT_NEAR(*parse_pressure_pa("1013.25 hPa"), 101325, 1e-6);
  EXPECT_NEAR(*parse_flow_m3_h("70 cfm"), 118.93, 0.01);
  EXPECT_NEAR(*parse_speed_m_s("0.2 m/s"), 0.2, 1e-12);
  EXPECT_NEAR(*parse_duration_h("90 min"), 1.5, 1e-12);
  EXPECT_NEAR(*parse_duration_h("3 days"), 72, 1e-12);
  EXPECT_NEAR(*parse_mass_kg("1 lb"), 0.45359237, 1e-12);
  EXPECT_NEAR(*parse_fraction("60%"), 0.6, 1e-12);
  EXPECT_NEAR(*parse_fraction("0.6"), 0.6, 1e-12);
}

TEST(Quantity, RefusesABareNumberAndNonsense) {
  for (const char* text : {"", " ", "23", "abc", "23 5/0 in", "1e400 mm", "nan mm", "inf mm", "5 furlongs", "2 in 3",
                           "--3 mm", "3 mm mm", "/8 in", "1/ in", "23 5/8/2 in", "3 m/s"}) {
    const auto got = parse_length_mm(text);
    ASSERT_FALSE(got) << text;
    EXPECT_FALSE(got.error().expected.empty()) << text;
  }
  EXPECT_FALSE(parse_fraction("60"));
  EXPECT_FALSE(parse_fraction("1.2"));
  EXPECT_FALSE(parse_temperature_c("70"));
}

TEST(Quantity, NeverFallsOverOnRandomText) {
  std::mt19937 random(20);
  const std::string letters = "0123456789 ./-'\"inftcmF°%\xc2\xa0\x01";
  for (int i = 0; i < 20000; ++i) {
    std::string text;
    for (auto n = random() % 12; n > 0; --n) text += letters[random() % letters.size()];
    (void)parse_length_mm(text);
    (void)parse_temperature_c(text);
    (void)parse_fraction(text);
    (void)parse_duration_h(text);
  }
}

TEST(Quantity, LengthInSixteenthsReadsBack) {
  for (int sixteenths = 0; sixteenths < 2000; ++sixteenths) {
    const double mm = sixteenths * 25.4 / 16;
    const auto back = parse_length_mm(format_length(mm, System::us));
    ASSERT_TRUE(back) << format_length(mm, System::us);
    EXPECT_NEAR(*back, mm, 1e-9);
  }
}

TEST(Quantity, WritesForPeople) {
  EXPECT_EQ(format_length(600.075, System::us), "23 5/8 in");
  EXPECT_EQ(format_length(600.075, System::metric), "600 mm");
  EXPECT_EQ(format_temperature(21.1, System::us), "70 °F");
  EXPECT_EQ(format_volume(0.75, System::metric), "750 ml");
  EXPECT_EQ(format_volume(0.946352946, System::us), "1 qt");
  EXPECT_EQ(format_wet_film(76.2, System::us), "3 mil");
  EXPECT_EQ(format_hours(2.0 / 3), "40 min");
  EXPECT_EQ(format_hours(6), "6 h");
  EXPECT_EQ(format_hours(52), "2 d 4 h");
}

}  // namespace
}  // namespace tackcloth::units
