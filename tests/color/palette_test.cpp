// Every entry of the palette is listed in docs/sources.md with what is known of it.
#include "color/palette.h"

#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

namespace tackcloth::color {
namespace {

TEST(Palette, TheCommittedListOfSourcesEndsWithIt) {
  const std::string root = TACKCLOTH_SOURCE_DIR;
  const auto palette = load_palette(root + "/catalog");
  ASSERT_TRUE(palette);
  std::ifstream file(root + "/docs/sources.md", std::ios::binary);
  std::ostringstream committed;
  committed << file.rdbuf();
  const std::string listed = sources_markdown(*palette);
  EXPECT_TRUE(committed.str().ends_with(listed)) << "run: tackcloth sources --out docs/sources.md";
  for (const Colorant& c : palette->colorants) {
    EXPECT_FALSE(c.mark.empty()) << c.id;
    EXPECT_NE(listed.find("| `" + c.id + "` " + c.name + " | " + c.mark + " |\n"), std::string::npos) << c.id;
  }
  for (const Wood& w : palette->woods) EXPECT_NE(listed.find("`" + w.id + "` | " + w.mark), std::string::npos) << w.id;
}

}  // namespace
}  // namespace tackcloth::color
