// A step of the stored plan pinned from the command line: kept, said, refused, let go.
#include <gmock/gmock.h>

#include <nlohmann/json.hpp>

#include "run.h"

namespace tackcloth::cli {
namespace {

using nlohmann::json;
using ::testing::HasSubstr;

class PinTest : public InDirectory {};

TEST_F(PinTest, AStepIsPinnedRefusedAndLetGo) {
  // The example in a year that is still to come, whenever this runs.
  for (const char* name : {"spring.toml", "spring-weather.csv"}) {
    std::ifstream in(std::string(TACKCLOTH_SOURCE_DIR) + "/examples/" + name);
    std::ofstream out(dir_ / name);
    for (std::string line; std::getline(in, line);) {
      for (std::size_t at; (at = line.find("2027-")) != std::string::npos;) line.replace(at, 5, "2083-");
      out << line << "\n";
    }
  }
  const std::string job = (dir_ / "spring.toml").string(), data = " --data " + (dir_ / "t.db").string();
  const TakenPort taken;
  ASSERT_EQ(run("serve --port " + taken.number() + data + " --job " + job).code, 2);
  const json plan = json::parse(run("plan " + job + " --json").out);
  const json& last = plan["pieces"][0]["schedule"].back();
  const std::string id = last["id"];
  // The last time the helper is there: handing a table over takes two.
  std::string at;
  for (const json& hours : plan["people"][1]["hours"]) at = hours["start"].get<std::string>().substr(0, 16);
  ASSERT_GT(at, last["start"].get<std::string>());
  const Ran pinned = run("pin " + id + data + " --at " + at + " --json");
  ASSERT_EQ(pinned.code, 0) << pinned.out;
  const json said = json::parse(pinned.out);
  EXPECT_EQ(said["step"], id);
  EXPECT_EQ(said["start"], at + ":00");
  bool later = false;
  for (const json& moved : said["moved"]) later = later || (moved["hours_later"] > 0);
  EXPECT_TRUE(later);
  EXPECT_EQ(said["moved"].size(), plan["pieces"].size());

  const Ran at_night = run("pin " + id + data + " --at " + at.substr(0, 10) + "T03:00", true);
  EXPECT_EQ(at_night.code, 2);
  EXPECT_THAT(at_night.out, HasSubstr("there for all of it then"));
  EXPECT_EQ(run("pin " + id + data + " --at 2001-01-01T10:00", true).code, 2);
  EXPECT_EQ(run("pin none-01" + data + " --at " + at).code, 2);
  EXPECT_EQ(run("pin " + id + data + " --at soon").code, 2);
  EXPECT_NE(run("pin " + id + data).code, 0);
  EXPECT_NE(run("pin " + id + data + " --loose --at " + at).code, 0);
  EXPECT_EQ(run("pin " + id + " --data " + (dir_ / "other.db").string() + " --loose").code, 2);

  const Ran loose = run("pin " + id + data + " --loose --json");
  ASSERT_EQ(loose.code, 0);
  EXPECT_TRUE(json::parse(loose.out)["start"].is_null());
  EXPECT_EQ(json::parse(loose.out)["finish"], plan["finish"]);
}

}  // namespace
}  // namespace tackcloth::cli
