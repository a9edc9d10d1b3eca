// The sentence book by the cases that the page's book is held to as well (web/tests/unit/sentences.test.ts).
#include "tongue/book.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "tongue/tongue.h"

namespace tackcloth::tongue {
namespace {

const std::string kRoot = TACKCLOTH_SOURCE_DIR;

nlohmann::json cases() {
  std::ifstream in(kRoot + "/tests/tongue/cases.json");
  return nlohmann::json::parse(in);
}

// A book as the cases have it, written as a PO file and read back, so that ICU says the dates.
Result<Tongue> tongue_of(const std::vector<std::array<std::string, 3>>& entries, const std::string& tag = "de") {
  const auto quoted = [](const std::string& text) {
    std::string out = "\"";
    for (const char c : text) out += c == '"' || c == '\\' ? std::string{'\\', c} : std::string(1, c);
    return out + "\"\n";
  };
  const std::string directory = testing::TempDir() + "tackcloth-words-" + std::to_string(::getpid());
  std::filesystem::create_directories(directory + "/words");
  std::ofstream out(directory + "/words/de.po");
  out << "msgid \"\"\nmsgstr \"\"\n\"Language: de\\n\"\n";
  for (const auto& [context, english, other] : entries) {
    out << "\n";
    if (!context.empty()) out << "msgctxt " << quoted(context);
    out << "msgid " << quoted(english) << "msgstr " << quoted(other);
  }
  out.close();
  auto made = Tongue::load(directory, tag);
  std::filesystem::remove_all(directory);
  return made;
}

TEST(Book, SaysTheCasesAsThePageDoes) {
  const nlohmann::json all = cases();
  std::vector<std::array<std::string, 3>> entries;
  for (const auto& entry : all["entries"]) {
    const auto english = entry[0].get<std::string>();
    const std::size_t at = english.find('\4');
    const bool plain = at == std::string::npos;
    entries.push_back(
        {plain ? "" : english.substr(0, at), plain ? english : english.substr(at + 1), entry[1].get<std::string>()});
  }
  auto tongue = tongue_of(entries);
  ASSERT_TRUE(tongue) << to_text(tongue.error());
  std::vector<std::string> missing;
  tongue->note_missing(&missing);
  ASSERT_GT(all["said"].size(), 25u);
  for (const auto& one : all["said"]) {
    missing.clear();
    const auto english = one[0].get<std::string>();
    const std::string said = tongue->say(english);
    if (one[1].is_null()) {
      EXPECT_FALSE(missing.empty()) << english << " -> " << said;
    } else {
      EXPECT_EQ(said, one[1].get<std::string>());
      EXPECT_TRUE(missing.empty()) << english;
    }
  }
}

TEST(Book, ComesBackFromASentenceMadeToBeTakenApartInManyWays) {
  const Book book({{"", "{name} a {name2} a {name3} a {name4} b", "{name}{name2}{name3}{name4}"}}, {});
  std::string text;
  for (int i = 0; i < 700; ++i) text += "a ";
  EXPECT_FALSE(book.whole(text + "c"));
}

TEST(Tongue, FillsAndFallsBackToEnglish) {
  auto tongue = tongue_of({{"paper", "page {n} of {n2}", "von {n2} Seite {n}"}});
  ASSERT_TRUE(tongue);
  EXPECT_EQ(tongue->fill("page {n} of {n2}", {"1", "3"}), "von 3 Seite 1");
  std::vector<std::string> missing;
  tongue->note_missing(&missing);
  EXPECT_EQ(tongue->fill("sheet {n}", {"{n}"}), "sheet {n}");
  EXPECT_EQ(missing, std::vector<std::string>{"sheet {n}"});
  EXPECT_EQ(Tongue().fill("page {n} of {n2}", {"1", "3"}), "page 1 of 3");
  EXPECT_EQ(Tongue().say("Sand P120"), "Sand P120");
}

// CLDR: de has 1.234,5 and "4. März 2026", de-CH 1’234.5.
TEST(Tongue, DatesAndMarksAreTheLocales) {
  const auto german = tongue_of({}), swiss = tongue_of({}, "de-CH");
  ASSERT_TRUE(german && swiss);
  EXPECT_EQ(german->decimal_mark(), ",");
  EXPECT_EQ(german->group_mark(), ".");
  EXPECT_EQ(swiss->decimal_mark(), ".");
  const auto day = parse_instant("2026-03-04T17:30");
  ASSERT_TRUE(day);
  EXPECT_EQ(german->dated(*day, "yMMMMd"), "4. März 2026");
  EXPECT_EQ(german->dated(*day, "EEEdMMMM"), "Mi., 4. März");
}

TEST(Tongue, ALanguageWithoutABookIsAProblem) {
  for (const char* tag : {"xx", "../../etc", "d", "de/..", "fr-FR"}) {
    const auto made = Tongue::load(kRoot + "/catalog", tag);
    EXPECT_FALSE(made) << tag;
  }
  for (const char* tag : {"", "en", "en-GB"}) {
    const auto made = Tongue::load(kRoot + "/catalog", tag);
    ASSERT_TRUE(made) << tag;
    EXPECT_TRUE(made->english());
  }
}

TEST(Po, SaysWhereAFileIsBroken) {
  const auto line = [](const char* text) {
    const auto read = parse_po(text, "x.po");
    return read ? 0 : read.error().line;
  };
  EXPECT_EQ(line("msgid \"a\"\nmsgstr \"b\"\n"), 0);
  EXPECT_EQ(line("msgid \"a\"\nmsgstr b\n"), 2);
  EXPECT_EQ(line("msgid \"a\"\n\"c\"\nmsgstr \"b\\q\"\n"), 3);
  EXPECT_EQ(line("msgstr \"b\"\n"), 1);
  EXPECT_EQ(line("msgid \"a\"\nwhat\n"), 2);
  EXPECT_EQ(line("msgid \"a\"\n"), 1);
}

TEST(Po, LeavesOutWhatIsNotTranslated) {
  const auto read = parse_po(
      "msgid \"\"\nmsgstr \"Language: de\\n\"\n\n#, fuzzy\nmsgid \"a\"\nmsgstr \"b\"\n\nmsgid \"c\"\nmsgstr \"\"\n\n"
      "msgctxt \"part\"\nmsgid \"d\"\n\"e\"\nmsgstr \"\"\n\"f \\\"g\\\"\"\n",
      "x.po");
  ASSERT_TRUE(read);
  EXPECT_EQ(read->language, "de");
  ASSERT_EQ(read->entries.size(), 1u);
  EXPECT_EQ(read->entries[0].context, "part");
  EXPECT_EQ(read->entries[0].english, "de");
  EXPECT_EQ(read->entries[0].other, "f \"g\"");
}

}  // namespace
}  // namespace tackcloth::tongue
