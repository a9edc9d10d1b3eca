#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <iterator>

#include "sample_plan.h"
#include "sheet/sheet.h"
#include "sheet/words.h"

namespace tackcloth::sheet {
namespace {

namespace fs = std::filesystem;

// A reader of RFC 4180 by its grammar (section 2), separate from the writer.
std::vector<std::vector<std::string>> read_csv(const std::string& text) {
  std::vector<std::vector<std::string>> rows;
  std::vector<std::string> row;
  std::string field;
  bool quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted) {
      if (c != '"') {
        field += c;
      } else if (i + 1 < text.size() && text[i + 1] == '"') {
        field += text[++i];
      } else {
        quoted = false;
      }
    } else if (c == '"') {
      EXPECT_TRUE(field.empty());
      quoted = true;
    } else if (c == ',') {
      row.push_back(std::exchange(field, {}));
    } else if (c == '\r') {
      EXPECT_EQ(text[++i], '\n');
      row.push_back(std::exchange(field, {}));
      rows.push_back(std::exchange(row, {}));
    } else {
      EXPECT_NE(c, '\n') << "bare line feed";
      field += c;
    }
  }
  EXPECT_TRUE(field.empty() && row.empty()) << "last line has no end";
  return rows;
}

TEST(ShoppingList, ReadsBack) {
  const auto rows = read_csv(shopping_csv(sample_plan()));
  ASSERT_EQ(rows.size(), 3u);
  for (const auto& row : rows) EXPECT_EQ(row.size(), 12u);
  EXPECT_EQ(rows[0][0], "product");
  EXPECT_EQ(rows[1], (std::vector<std::string>{"varnish", "Satin wiping varnish", "l", "0.31", "0.1", "0.25", "1",
                                               "12.90", "12.90", "EUR", "0.04", ""}));
  EXPECT_EQ(rows[2][1], "Cleaner, \"mild\"");
  EXPECT_EQ(rows[2][6], "0");
}

class Files : public testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "tackcloth-sheet-XXXXXX").string();
    ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
    directory_ = pattern;
  }
  void TearDown() override { fs::remove_all(directory_); }
  static std::string read(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
  }
  std::size_t count() const {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(directory_), fs::directory_iterator()));
  }
  fs::path directory_;
};

TEST_F(Files, WritesAndReplacesWhole) {
  const std::string path = directory_ / "sheet.pdf";
  ASSERT_TRUE(write_file(path, "first"));
  ::chmod(path.c_str(), 0640);
  const std::string big(3'000'000, 'x');
  ASSERT_TRUE(write_file(path, big));
  EXPECT_EQ(read(path), big);
  struct stat now {};
  ASSERT_EQ(::stat(path.c_str(), &now), 0);
  EXPECT_EQ(now.st_mode & 0777, 0640u);  // as it was
  EXPECT_EQ(count(), 1u);                // no temporary left
}

TEST_F(Files, TroubleIsAProblemAndLeavesTheOldFile) {
  const auto nowhere = write_file((directory_ / "none" / "a.csv").string(), "x");
  ASSERT_FALSE(nowhere);
  EXPECT_NE(nowhere.error().file.find("none"), std::string::npos);
  EXPECT_FALSE(nowhere.error().remedy.empty());
  fs::create_directory(directory_ / "taken");
  EXPECT_FALSE(write_file((directory_ / "taken").string(), "x"));
  EXPECT_TRUE(fs::is_directory(directory_ / "taken"));
  EXPECT_EQ(count(), 1u);
}

TEST(Words, DatesAndTimes) {
  EXPECT_EQ(day_words(at(0, 8)), "Mon 2 March");  // 2 March 2026 is a Monday
  EXPECT_EQ(short_day(at(3, 8)), "Thu 5 Mar");
  EXPECT_EQ(clock(at(0, 7, 5)), "07:05");
  EXPECT_EQ(clock_on(at(1, 7, 5), at(0, 20)), "Tue 3 Mar 07:05");
}

TEST(Words, NumbersWithoutTrailingZeros) {
  EXPECT_EQ(number(0.250, 4), "0.25");
  EXPECT_EQ(number(3, 2), "3");
  EXPECT_EQ(number(-0.00001, 2), "0");
}

TEST(Words, BrokenTextIsMended) {
  EXPECT_EQ(clean("a\x80z"), "a\xEF\xBF\xBDz");
  EXPECT_EQ(clean("\xC0\xAF"), "\xEF\xBF\xBD\xEF\xBF\xBD");       // overlong
  EXPECT_EQ(clean("\xED\xA0\x80").substr(0, 3), "\xEF\xBF\xBD");  // surrogate
  EXPECT_EQ(clean("漆\x07"), "漆");
  EXPECT_EQ(clean("\xE6\xBC"), "\xEF\xBF\xBD\xEF\xBF\xBD");  // cut short
}

}  // namespace
}  // namespace tackcloth::sheet
