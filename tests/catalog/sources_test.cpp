// docs/sources.md is generated: the committed file and the marks must say the same.
#include <gmock/gmock.h>

#include <sstream>

#include "catalog/values.h"
#include "support.h"

namespace tackcloth::catalog {
namespace {

using testing::HasSubstr;

std::string slurp(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

TEST(Sources, CommittedListIsUpToDate) {
  const std::string committed = slurp(std::string(TACKCLOTH_SOURCE_DIR) + "/docs/sources.md");
  // The palette's part follows it; tests/color looks at that.
  EXPECT_TRUE(committed.starts_with(sources_markdown(test::shipped())))
      << "run: tackcloth sources --out docs/sources.md (committed " << committed.size() << " bytes)";
}

TEST(Sources, EveryValueHasAMarkAndIsListedOnce) {
  const std::string text = sources_markdown(test::shipped());
  std::size_t values = 0, listed = 0;
  for (const auto& p : test::shipped().products) {
    for (const auto& [name, value] : values_of(p)) EXPECT_TRUE(p.marks.count(name)) << p.id << " " << name;
    values += values_of(p).size();
  }
  for (const auto& s : test::shipped().species) values += values_of(s).size();
  for (const auto& a : test::shipped().abrasives) values += values_of(a).size();
  for (const auto& c : test::shipped().components) values += values_of(c).size();
  for (const auto& p : test::shipped().paces) values += values_of(p).size();
  values += test::shipped().leavings.size();
  for (auto at = text.find("**"); at != std::string::npos; at = text.find("**", at + 2)) ++listed;
  EXPECT_EQ(listed, 2 * values);
  EXPECT_THAT(text, HasSubstr("| all | " + std::to_string(values) + " |"));
}

TEST(Sources, ChangedMarkMovesTheValue) {
  Catalog catalog;
  Pace pace;
  pace.id = "wash";
  pace.mark = {Origin::from_memory, "a | b"};
  catalog.paces.push_back(pace);
  std::string text = sources_markdown(catalog);
  EXPECT_GT(text.find("`wash`"), text.find("## From memory"));
  EXPECT_THAT(text, HasSubstr("a \\| b"));  // a bar must not break the table
  catalog.paces[0].mark = {Origin::source, "a handbook"};
  text = sources_markdown(catalog);
  EXPECT_LT(text.find("`wash`"), text.find("## Common practice"));
  EXPECT_THAT(text, HasSubstr("| [source](#with-a-source) | 3 |"));
}

TEST(Marks, FourWordsAndTheirNotes) {
  EXPECT_EQ(parse_mark("source: Wood Handbook, table 13-5")->note, "Wood Handbook, table 13-5");
  EXPECT_EQ(parse_mark("source: a: b")->note, "a: b");
  EXPECT_EQ(parse_mark("common practice")->origin, Origin::common_practice);
  EXPECT_EQ(parse_mark(" from memory : once read ")->note, "once read");
  EXPECT_EQ(parse_mark("demo")->origin, Origin::demo);
  for (const char* bad : {"", "source", "source: ", "memory", "Source: x", ": x"}) EXPECT_FALSE(parse_mark(bad)) << bad;
}

TEST(Marks, TheNearestWins) {
  const Mark a{Origin::demo, "a"}, b{Origin::demo, "b"}, c{Origin::demo, "c"};
  const Values values = {{"x", ""}, {"g.x", ""}, {"g.y.z", ""}};
  auto out = expand_marks({{"default", a}, {"g", b}, {"g.x", c}}, values);
  EXPECT_EQ(out.marks["x"].note, "a");
  EXPECT_EQ(out.marks["g.x"].note, "c");
  EXPECT_EQ(out.marks["g.y.z"].note, "b");
  EXPECT_TRUE(out.missing.empty() && out.pointless.empty());
  out = expand_marks({{"g", b}, {"h", a}}, values);
  EXPECT_THAT(out.missing, testing::ElementsAre("x"));
  EXPECT_THAT(out.pointless, testing::ElementsAre("h"));
}

TEST(Numbers, ShortestTextThatReadsBack) {
  EXPECT_EQ(number_text(0.1), "0.1");
  EXPECT_EQ(number_text(72), "72");
  EXPECT_EQ(number_text(-18), "-18");
}

}  // namespace
}  // namespace tackcloth::catalog
