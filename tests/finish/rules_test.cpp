// Reading rules: what is written is what is asked, and mistakes are named.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdio>
#include <fstream>

#include "by_hand.h"
#include "finish/words.h"

namespace tackcloth::finish {
namespace {

Results<std::vector<Rule>> from_text(const std::string& text) {
  const std::string path = testing::TempDir() + "finish_rules_test.toml";
  std::ofstream(path) << text;
  auto rules = load_rules(path);
  std::remove(path.c_str());
  return rules;
}

const char* kRule =
    "[[rule]]\nid = \"a\"\nseverity = \"caution\"\nreason = \"r\"\nmend = \"m\"\nsource = \"s\"\n[rule.when]\n";

TEST(FinishRules, TheRulesOfTheCatalogueLoad) {
  const auto rules = load_rules(std::string(TACKCLOTH_SOURCE_DIR) + "/catalog/rules.toml");
  ASSERT_TRUE(rules.has_value()) << to_text(rules.error().front());
  EXPECT_GE(rules->size(), 40u);
  EXPECT_EQ(compile(*rules).size(), rules->size());
}

TEST(FinishRules, MistakesAreNamed) {
  EXPECT_FALSE(load_rules("no/such/file.toml").has_value());
  EXPECT_FALSE(from_text(std::string(kRule) + "stepp = \"sand\"\n").has_value());
  EXPECT_FALSE(from_text(std::string(kRule) + "step = \"sandd\"\n").has_value());
  EXPECT_FALSE(from_text(std::string(kRule) + "grit = \"120\"\n").has_value());
  EXPECT_FALSE(from_text(kRule).has_value()) << "a rule without conditions would always speak";
  EXPECT_FALSE(from_text("[[rule]]\nid = \"a\"\n").has_value());
  const auto twice = from_text(std::string(kRule) + "step = \"sand\"\n" + kRule + "step = \"sand\"\n");
  EXPECT_FALSE(twice.has_value());
  const auto good = from_text(std::string(kRule) + "step = \"sand\"\n");
  ASSERT_TRUE(good.has_value());
  EXPECT_EQ(good->front().severity, catalog::Severity::caution);
}

TEST(FinishRules, ConditionsCompareAndNegate) {
  Facts facts;
  facts.fill(kAbsent);
  at(facts, Word::step) = static_cast<double>(StepKind::sand);
  at(facts, Word::grit) = 120;
  const auto ask = [&](const char* word, const char* value) { return holds(*read_condition(word, value), facts); };
  EXPECT_TRUE(ask("step", "wash | sand"));
  EXPECT_FALSE(ask("step", "not wash | sand"));
  EXPECT_TRUE(ask("step", "not wash"));
  EXPECT_TRUE(ask("grit", ">= 120"));
  EXPECT_FALSE(ask("grit", "> 120"));
  EXPECT_TRUE(ask("grit", "< 121"));
  EXPECT_FALSE(ask("binder", "wax")) << "no product";
  EXPECT_FALSE(ask("binder", "not wax")) << "what is absent matches nothing";
}

TEST(FinishRules, StepNamesGoThereAndBack) {
  const auto& steps = vocabulary(Word::step);
  ASSERT_EQ(steps.size(), static_cast<std::size_t>(StepKind::hand_over) + 2);
  EXPECT_EQ(to_text(StepKind::lead_test), "lead_test");
  EXPECT_EQ(to_text(StepKind::wait), "wait");
  EXPECT_EQ(to_text(StepKind::hand_over), "hand_over");
  EXPECT_EQ(steps.back(), "end");
}

TEST(FinishRules, VocabulariesFollowTheCatalogue) {
  // The lists are in the order of the enums: spot checks at both ends and between.
  const auto at_index = [](Word word, auto value) { return vocabulary(word)[static_cast<std::size_t>(value)]; };
  EXPECT_EQ(at_index(Word::kind, catalog::Kind::cleaner), "cleaner");
  EXPECT_EQ(at_index(Word::kind, catalog::Kind::paint), "paint");
  EXPECT_EQ(at_index(Word::kind, catalog::Kind::consumable), "consumable");
  EXPECT_EQ(at_index(Word::binder, catalog::Binder::urethane_oil), "urethane_oil");
  EXPECT_EQ(at_index(Word::binder, catalog::Binder::casein), "casein");
  EXPECT_EQ(at_index(Word::binder, catalog::Binder::dye), "dye");
  EXPECT_EQ(at_index(Word::carrier, catalog::Carrier::lacquer_thinner), "lacquer_thinner");
  EXPECT_EQ(at_index(Word::existing, piece::Existing::bare_metal), "bare_metal");
  EXPECT_EQ(at_index(Word::material, piece::Material::board), "board");
}

}  // namespace
}  // namespace tackcloth::finish
