// `tackcloth everything`: out of one data file, into an empty one, and out again the same. Read by tar(1) beside it.
#include <gmock/gmock.h>

#include <sstream>

#include "run.h"

namespace tackcloth::cli {
namespace {

using ::testing::HasSubstr;

class Everything : public InDirectory {
 protected:
  std::string at(const char* name) const { return (dir_ / name).string(); }
  static std::string unpacked(const std::string& archive) {
    std::string text;
    FILE* pipe = popen(("tar xzOf '" + archive + "' 2>/dev/null").c_str(), "r");
    char buffer[4096];
    for (std::size_t n; (n = fread(buffer, 1, sizeof buffer, pipe)) > 0;) text.append(buffer, n);
    EXPECT_EQ(pclose(pipe), 0);
    return text;
  }
};

TEST_F(Everything, GoesOutAndComesBackTheSame) {
  const std::string job = std::string(TACKCLOTH_SOURCE_DIR) + "/examples/spring.toml";
  // The plan is stored first; a port that is taken then ends the program.
  const TakenPort taken;
  ASSERT_EQ(run("serve --port " + taken.number() + " --data " + at("a.db") + " --job " + job).code, 2);
  ASSERT_EQ(run("log --data " + at("a.db") + " table-01 done").code, 0);
  ASSERT_EQ(run("everything --data " + at("a.db") + " --out " + at("a.tar.gz")).code, 0);
  ASSERT_EQ(run("everything --data " + at("b.db") + " --from " + at("a.tar.gz")).code, 0);
  ASSERT_EQ(run("everything --data " + at("b.db") + " --out " + at("b.tar.gz")).code, 0);
  const std::string first = unpacked(at("a.tar.gz"));
  EXPECT_THAT(first, HasSubstr("table-01"));
  EXPECT_EQ(first, unpacked(at("b.tar.gz")));
  // Only into an empty one, and only a whole file; nothing is changed by a refusal.
  const Ran twice = run("everything --data " + at("b.db") + " --from " + at("a.tar.gz"), true);
  EXPECT_EQ(twice.code, 2);
  EXPECT_THAT(twice.out, HasSubstr("something in this store already"));
  std::ifstream whole(at("a.tar.gz"), std::ios::binary);
  std::ostringstream bytes;
  bytes << whole.rdbuf();
  const std::string half = file("half.tar.gz", bytes.str().substr(0, bytes.str().size() / 2));
  const Ran cut = run("everything --data " + at("c.db") + " --from " + half, true);
  EXPECT_EQ(cut.code, 2);
  EXPECT_THAT(cut.out, HasSubstr("Expected:"));
  EXPECT_EQ(run("everything --data " + at("c.db") + " --from " + at("a.tar.gz")).code, 0);
  EXPECT_EQ(run("everything --data " + at("none.db") + " --out " + at("n.tar.gz")).code, 2);
}

}  // namespace
}  // namespace tackcloth::cli
