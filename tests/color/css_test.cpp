#include "color/css.h"

#include <gtest/gtest.h>

#include "color/difference.h"

namespace tackcloth::color {
namespace {

Lab read(const char* text) {
  const auto lab = parse_color(text);
  EXPECT_TRUE(lab.has_value()) << text << ": " << (lab ? "" : to_text(lab.error()));
  return lab.value_or(Lab{-1, 0, 0});
}

// CSS Color Module Level 4, examples of section 9: the same colour in several notations.
TEST(Css, TheSpecificationsExamples) {
  EXPECT_EQ(to_hex(read("lab(29.2345% 39.3825 20.0664)")), to_hex(read("lch(29.2345% 44.2 27)")));
  EXPECT_EQ(to_hex(read("oklab(40.1% 0.1143 0.045)")), to_hex(read("oklch(40.1% 0.123 21.57)")));
  // web-platform-tests css/css-color: lab() and oklab() of `green`, #008000.
  EXPECT_LT(difference_2000(read("lab(46.2775% -47.5621 48.5837)"), read("#008000")), 0.01);
  EXPECT_LT(difference_2000(read("oklab(51.975% -0.1403 0.10768)"), read("#008000")), 0.01);
  EXPECT_LT(difference_2000(read("lch(46.2775% 67.9892 134.3912)"), read("rgb(0 128 0)")), 0.01);
  EXPECT_LT(difference_2000(read("color(xyz 0.07719 0.15438 0.02573)"), read("#008000")), 0.01);
}

TEST(Css, NotationsAgree) {
  const Lab c = read("#c08040");
  EXPECT_NEAR(difference_1976(c, read("rgb(192 128 64)")), 0, 1e-12);
  EXPECT_NEAR(difference_1976(c, read("RGB(192, 128, 64)")), 0, 1e-12);
  EXPECT_NEAR(difference_1976(c, read("rgba(192,128,64,1)")), 0, 1e-12);
  EXPECT_NEAR(difference_1976(read("rgb(100% 50% 0% / 100%)"), read("rgb(255 127.5 0)")), 0, 1e-9);
  EXPECT_NEAR(difference_1976(read("#fa3"), read("#ffaa33")), 0, 0);
  EXPECT_NEAR(difference_1976(read("50, -10, 2.5e1"), read("lab(50 -10 25)")), 0, 0);
  EXPECT_NEAR(difference_1976(read("lab(50% 100% -20%)"), read("lab(50 125 -25)")), 0, 1e-12);
  EXPECT_NEAR(difference_1976(read("lch(50 30 0.25turn)"), read("lch(50 30 90deg)")), 0, 1e-12);
  EXPECT_NEAR(difference_1976(read("lch(50 30 100grad)"), read("lch(50 30 90)")), 0, 1e-12);
  EXPECT_NEAR(difference_1976(read("lab(50 none none)"), read("lab(50 0 0)")), 0, 0);
  EXPECT_NEAR(read("lab(120 0 0)").l, 100, 0);
}

TEST(Css, WrittenBackAndRead) {
  for (const char* hex : {"#000000", "#ffffff", "#123456", "#fe0180", "#7f7f7f"}) {
    EXPECT_EQ(to_hex(read(hex)), hex);
    EXPECT_EQ(to_hex(read(to_css(read(hex)).c_str())), hex);
  }
}

TEST(Css, BadInputIsExplained) {
  for (const char* text : {"",
                           " ",
                           "lab",
                           "lab(",
                           "lab()",
                           "lab(1 2)",
                           "lab(1 2 3 4)",
                           "lab(1 2 3 / 0.5)",
                           "#12",
                           "#12345",
                           "#gggggg",
                           "rgb(1 2 x)",
                           "rgb(1 2 3deg)",
                           "lab(nan 0 0)",
                           "lab(inf 0 0)",
                           "lab(1e400 0 0)",
                           "color()",
                           "color(display 1 1 1)",
                           "hsv(1 2 3)",
                           "1,2",
                           "lab(50 1e9 0)",
                           "lab(5 5 5",
                           "red"}) {
    const auto lab = parse_color(text);
    ASSERT_FALSE(lab.has_value()) << text;
    EXPECT_FALSE(lab.error().expected.empty());
  }
  EXPECT_FALSE(parse_color(std::string(100000, '(')).has_value());
  EXPECT_FALSE(parse_color(std::string_view("lab(1 2\0 3)", 11)).has_value());
}

}  // namespace
}  // namespace tackcloth::color
