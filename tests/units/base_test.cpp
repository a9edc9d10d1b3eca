// Errors, money and time.
#include <gtest/gtest.h>

#include "units/money.h"
#include "units/result.h"
#include "units/time.h"

namespace tackcloth {
namespace {

TEST(Problem, SaysWhereAndHowToMend) {
  const std::string text = to_text(Problem{"job.toml", 12, 7, "it is bad", "good", "mend it"});
  EXPECT_TRUE(text.starts_with("job.toml:12:7: it is bad")) << text;
  EXPECT_NE(text.find("good"), std::string::npos);
  EXPECT_NE(text.find("mend it"), std::string::npos);
  EXPECT_EQ(to_text(Problem{"", 0, 0, "bad", "", ""}).find(":0"), std::string::npos);
}

TEST(Money, ReadsAndWrites) {
  EXPECT_EQ(parse_money("12.50")->minor, 1250);
  EXPECT_EQ(parse_money("12")->minor, 1200);
  EXPECT_EQ(parse_money("12.5")->minor, 1250);
  EXPECT_EQ(parse_money("-0.05")->minor, -5);
  for (const char* text : {"", "12.", "12.505", "$12", "1,000", "-", "12 ", "9999999999999"})
    EXPECT_FALSE(parse_money(text)) << text;
  for (std::int64_t minor = -1200; minor < 1200; ++minor) EXPECT_EQ(parse_money(to_text(Money{minor}))->minor, minor);
}

TEST(Money, RoundsHalfAwayFromZero) {
  EXPECT_EQ(scaled({1}, 0.5).minor, 1);
  EXPECT_EQ(scaled({-1}, 0.5).minor, -1);
  EXPECT_EQ(scaled({1000}, 0.3333).minor, 333);
}

TEST(Time, ReadsIso) {
  EXPECT_EQ(to_iso(*parse_instant("2026-03-04T17:30")), "2026-03-04T17:30:00");
  EXPECT_EQ(to_iso(*parse_instant("2026-03-04T17:30:59")), "2026-03-04T17:30:00");
  EXPECT_EQ(to_iso(*parse_instant("2026-03-04")), "2026-03-04T00:00:00");
  EXPECT_TRUE(parse_instant("2028-02-29"));
  for (const char* text : {"", "2026", "2026-13-01", "2026-02-29", "2026-03-04T24:00", "2026-03-04T12:60",
                           "2026-03-04T1:30", "04.03.2026", "2026-03-04T12:00:00Z", "2026-3-4"})
    EXPECT_FALSE(parse_instant(text)) << text;
}

TEST(Time, NothingIsReadyEarly) {
  const Instant start = *parse_instant("2026-03-04T08:00");
  EXPECT_EQ(hours_between(start, after(start, 1.5)), 1.5);
  for (int i = 0; i < 5000; ++i) {
    const double hours = i * 0.01237;
    const double given = hours_between(start, after(start, hours));
    EXPECT_GE(given, hours - 1e-7);
    EXPECT_LT(given, hours + 1.0 / 60);
  }
}

}  // namespace
}  // namespace tackcloth
