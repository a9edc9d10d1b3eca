#include "reading/table.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <limits>
#include <random>

#include "units/quantity.h"

namespace tackcloth::reading {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

std::unique_ptr<Document> good(std::string_view text) {
  auto document = Document::parse(text, "t.toml");
  EXPECT_TRUE(document.has_value()) << (document ? "" : to_text(document.error()));
  return document ? std::move(*document) : nullptr;
}

TEST(Table, ReadsEveryKindOfValue) {
  const auto document = good(
      "word = \"oak\"\nnumber = 1.5\nwhole = 3\nyes = true\nday = 2026-03-04\ntime = 2026-03-04T17:30:00\n"
      "iso = \"2026-03-04T17:30\"\nwords = [\"a\", \"b\"]\nfigures = [1, 2.5]\nlength = \"23 5/8 in\"\n"
      "rows = [[0, \"1 in\"], [2, 3]]\n");
  Table root = document->root();
  EXPECT_EQ(root.need_text("word"), "oak");
  EXPECT_EQ(root.number("number", 0, 2), 1.5);
  EXPECT_EQ(root.number("whole", 0, 5), 3.0);
  EXPECT_EQ(root.integer("whole", 0, 5), 3);
  EXPECT_EQ(root.boolean("yes"), true);
  EXPECT_EQ(to_iso(*root.instant("day")), "2026-03-04T00:00:00");
  EXPECT_EQ(to_iso(*root.instant("time")), "2026-03-04T17:30:00");
  EXPECT_EQ(to_iso(*root.instant("iso")), "2026-03-04T17:30:00");
  EXPECT_THAT(root.texts("words"), ElementsAre("a", "b"));
  EXPECT_THAT(root.numbers("figures"), ElementsAre(1, 2.5));
  EXPECT_NEAR(root.need_quantity("length", units::parse_length_mm, 1, 1e4, "a length"), 600.075, 1e-9);
  const auto rows = root.rows("rows", units::parse_length_mm, 2, 2, "two lengths");
  ASSERT_EQ(rows.size(), 2u);
  EXPECT_NEAR(rows[0][1], 25.4, 1e-9);
  EXPECT_EQ(rows[1][0], 2);
  root.finish();
  EXPECT_TRUE(document->problems().empty());
}

TEST(Table, UnknownKeyNamesItsPlaceAndTheNearestWord) {
  const auto document = good("[shop]\nname = \"x\"\n  curency = \"USD\"\n");
  Table root = document->root();
  Table shop = *root.table("shop");
  shop.text("name");
  shop.text("currency");
  shop.finish();
  root.finish();
  ASSERT_EQ(document->problems().size(), 1u);
  const Problem& problem = document->problems()[0];
  EXPECT_EQ(problem.file, "t.toml");
  EXPECT_EQ(problem.line, 3);
  EXPECT_EQ(problem.column, 3);
  EXPECT_THAT(problem.what, HasSubstr("curency"));
  EXPECT_EQ(problem.expected, "one of: currency, name");
  EXPECT_EQ(problem.remedy, "did you mean 'currency'?");
}

TEST(Table, WrongKindsAndRangesAreReportedTogether) {
  const auto document = good(
      "a = 5\nb = \"five\"\nc = nan\nd = inf\ne = 1.5\nf = \"yes\"\ng = \"12\"\nh = [1, \"x\"]\ni = "
      "2026-03-04T17:30:00Z\n"
      "j = \"-3 cm\"\nk = \"rde\"\nl = [[1]]\nm = 3\n");
  Table root = document->root();
  EXPECT_FALSE(root.text("a"));
  EXPECT_FALSE(root.number("b", 0, 10));
  EXPECT_FALSE(root.number("c", 0, 10));
  EXPECT_FALSE(root.number("d", 0, 10));
  EXPECT_FALSE(root.integer("e", 0, 10));
  EXPECT_FALSE(root.boolean("f"));
  EXPECT_FALSE(root.quantity("g", units::parse_length_mm, 1, 100, "a length"));
  root.numbers("h");
  EXPECT_FALSE(root.instant("i"));
  EXPECT_FALSE(root.quantity("j", units::parse_length_mm, 1, 100, "a length"));
  EXPECT_FALSE(root.choice("k", {"red", "blue"}));
  EXPECT_TRUE(root.rows("l", units::parse_length_mm, 2, 3, "two lengths").empty());
  EXPECT_FALSE(root.table("m"));
  root.need_text("missing");
  root.finish();
  const auto& problems = document->problems();
  ASSERT_EQ(problems.size(), 14u);
  for (int i = 0; i < 13; ++i) {
    EXPECT_EQ(problems[static_cast<std::size_t>(i)].line, i + 1) << to_text(problems[static_cast<std::size_t>(i)]);
    EXPECT_GT(problems[static_cast<std::size_t>(i)].column, 0);
  }
  for (const Problem& problem : problems) {
    EXPECT_FALSE(problem.what.empty());
    EXPECT_FALSE(problem.expected.empty());
    EXPECT_FALSE(problem.remedy.empty());
  }
  EXPECT_EQ(problems[10].remedy, "did you mean 'red'?");
}

TEST(Table, StopsAtFiftyProblems) {
  std::string text;
  for (int i = 0; i < 500; ++i) text += "k" + std::to_string(i) + " = 1\n";
  const auto document = good(text);
  document->root().finish();
  EXPECT_EQ(document->problems().size(), 50u);
}

TEST(Document, SyntaxErrorsKnowTheirLine) {
  for (const char* text : {"a = 1\nb = \n", "a = 1\n[b\n", "a = 1\na = 2\n", "[t]\n[t]\n", "x = 1\nb = \"open\n"}) {
    const auto document = Document::parse(text, "t.toml");
    ASSERT_FALSE(document) << text;
    EXPECT_EQ(document.error().line, 2) << text;
    EXPECT_EQ(document.error().file, "t.toml");
    EXPECT_FALSE(document.error().remedy.empty());
  }
}

TEST(Document, RefusesWhatIsNotText) {
  const std::string nul("a = 1\nb = \"\0\"\n", 14);
  const auto with_nul = Document::parse(nul, "t");
  ASSERT_FALSE(with_nul);
  EXPECT_EQ(with_nul.error().line, 2);
  // Overlong, surrogate, above U+10FFFF, cut off, Latin-1 (RFC 3629).
  for (const char* bytes : {"\xC0\x80", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\xE2\x82", "\xE9 x", "\xFF\xFE"}) {
    const auto document = Document::parse(std::string("a = \"") + bytes + "\"\n", "t");
    ASSERT_FALSE(document) << bytes;
    EXPECT_EQ(document.error().line, 1);
    EXPECT_EQ(document.error().column, 6);
    EXPECT_THAT(document.error().remedy, HasSubstr("UTF-8"));
  }
  EXPECT_TRUE(Document::parse("a = \"\xC3\xA9 \xE2\x82\xAC \xF0\x9F\xAA\x91\"\n", "t"));
}

TEST(Document, RefusesDeepNesting) {
  for (const int depth : {65, 1000, 200000}) {
    EXPECT_FALSE(Document::parse("a = " + std::string(static_cast<std::size_t>(depth), '['), "t"));
    std::string tables = "a = ";
    for (int i = 0; i < depth; ++i) tables += "{a=";
    EXPECT_FALSE(Document::parse(tables, "t"));
    std::string dotted = "a";
    for (int i = 0; i < depth; ++i) dotted += ".a";
    EXPECT_FALSE(Document::parse(dotted + " = 1\n", "t"));
    EXPECT_FALSE(Document::parse("[" + dotted + "]\n", "t"));
  }
  EXPECT_TRUE(Document::parse("a = [[[[1]]]]\n", "t"));
  EXPECT_TRUE(Document::parse("a = \"[[[[[\" # [[[[[\n", "t"));
}

TEST(Document, RefusesWhatIsTooLarge) {
  const std::string path = ::testing::TempDir() + "tackcloth_large.toml";
  {
    std::ofstream out(path, std::ios::binary);
    out.put('#');
  }
  std::filesystem::resize_file(path, 100u << 20);  // sparse: costs no disk
  const auto document = Document::open(path);
  std::filesystem::remove(path);
  ASSERT_FALSE(document);
  EXPECT_THAT(document.error().what, HasSubstr("too large"));
  EXPECT_EQ(document.error().file, path);
}

TEST(Document, RefusesWhatIsNoFile) {
  EXPECT_FALSE(Document::open("/nowhere/at/all.toml"));
  EXPECT_FALSE(Document::open(::testing::TempDir()));
}

TEST(Document, NeverCrashesOnDamagedText) {
  const std::string whole =
      "schema = 1\n[shop]\nname = \"x\" # note\nhours = { mon = [\"18:00-21:30\"] }\n[[piece]]\nid = 'p'\n"
      "size = \"\"\"12\ncm\"\"\"\npoints = [[0, 1], [2, 3.5e3]]\nday = 2026-03-04T17:30:00\n";
  std::mt19937 random(7);
  for (int round = 0; round < 3000; ++round) {
    std::string text = whole;
    const int cuts = 1 + static_cast<int>(random() % 4);
    for (int i = 0; i < cuts && !text.empty(); ++i) {
      const std::size_t at = random() % text.size();
      switch (random() % 4) {
        case 0:
          text.resize(at);
          break;
        case 1:
          text[at] = static_cast<char>(random() % 256);
          break;
        case 2:
          text.insert(at, 1, "[]{}\"'=.#\n\\"[random() % 11]);
          break;
        default:
          text.erase(at, random() % 10);
      }
    }
    const auto document = Document::parse(text, "t");
    if (!document) {
      EXPECT_FALSE(document.error().what.empty());
      continue;
    }
    Table root = (*document)->root();
    root.tables("piece");
    root.rows("points", units::parse_length_mm, 2, 2, "x");
    root.finish();
  }
}

TEST(Nearest, FindsOnlyWhatIsNear) {
  EXPECT_EQ(nearest("oka", {"oak", "ash"}), "oak");
  EXPECT_EQ(nearest("widht", {"height", "width"}), "width");
  EXPECT_FALSE(nearest("zzzzzzzz", {"oak", "ash"}));
  EXPECT_FALSE(nearest("", {"oak"}));
  EXPECT_FALSE(nearest("oak", {}));
}

}  // namespace
}  // namespace tackcloth::reading
