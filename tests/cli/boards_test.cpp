// tackcloth boards, as a user runs it.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "run.h"

namespace tackcloth::cli {
namespace {

using nlohmann::json;
using ::testing::HasSubstr;

using BoardsCommand = InDirectory;

TEST_F(BoardsCommand, TheExampleOnOneSheet) {
  const std::string job = std::string(TACKCLOTH_SOURCE_DIR) + "/examples/spring.toml";
  const std::string sheet = (dir_ / "sheet.png").string();
  const auto made = run("boards " + job + " --json -o " + sheet);
  ASSERT_EQ(made.code, 0) << made.out;
  const json looks = json::parse(made.out);
  EXPECT_EQ(looks["piece"], "cabinet");
  ASSERT_EQ(looks["looks"].size(), 5u);
  for (const auto& look : looks["looks"]) {
    EXPECT_GT(look["bench_hours"].get<double>(), 0);
    EXPECT_GT(look["days"].get<double>(), 0);
    EXPECT_FALSE(look["price"].get<std::string>().empty());
  }
  // Another colour of the same paint costs the same; no paint costs less.
  EXPECT_EQ(looks["looks"][0]["price"], looks["looks"][1]["price"]);
  EXPECT_LT(std::stod(looks["looks"][4]["price"].get<std::string>()),
            std::stod(looks["looks"][0]["price"].get<std::string>()));
  std::ifstream in(sheet, std::ios::binary);
  char magic[8] = {};
  in.read(magic, 8);
  EXPECT_EQ(std::string(magic + 1, 3), "PNG");
  EXPECT_GT(std::filesystem::file_size(sheet), 100000u) << "the photos are on it";
}

TEST_F(BoardsCommand, BadInputIsToldInWords) {
  const std::string job = std::string(TACKCLOTH_SOURCE_DIR) + "/examples/spring.toml";
  auto made = run("boards " + job + " --piece wardrobe", true);
  EXPECT_EQ(made.code, 2);
  EXPECT_THAT(made.out, HasSubstr("wardrobe"));
  made = run("boards " + job + " -o sheet.gif", true);
  EXPECT_EQ(made.code, 2);
  EXPECT_THAT(made.out, HasSubstr(".png"));
  made = run("boards nothing.toml");
  EXPECT_EQ(made.code, 2);
}

}  // namespace
}  // namespace tackcloth::cli
