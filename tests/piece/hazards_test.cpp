#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "piece/piece.h"
#include "piece/words.h"

namespace tackcloth::piece {
namespace {

using ::testing::Contains;
using ::testing::Not;

Piece with(Existing existing, std::optional<int> year = {}) {
  Piece piece;
  piece.year = year;
  Part part;
  part.id = "top";
  part.existing = existing;
  piece.parts.push_back(part);
  return piece;
}

std::vector<std::string> rules(const Piece& piece) {
  std::vector<std::string> names;
  for (const auto& finding : hazards(piece)) {
    names.push_back(finding.rule);
    EXPECT_FALSE(finding.reason.empty());
    EXPECT_FALSE(finding.mend.empty());
    EXPECT_FALSE(finding.source.empty());
  }
  return names;
}

TEST(Lead, IsPossibleUntilRuledOut) {
  EXPECT_TRUE(lead_possible(with(Existing::paint_oil)));
  EXPECT_TRUE(lead_possible(with(Existing::paint_oil, 1977)));
  EXPECT_FALSE(lead_possible(with(Existing::paint_oil, 1978)));
  EXPECT_TRUE(lead_possible(with(Existing::unknown)));
  EXPECT_TRUE(lead_possible(with(Existing::varnish, 1936)));
  EXPECT_FALSE(lead_possible(with(Existing::bare, 1936)));
  EXPECT_FALSE(lead_possible(with(Existing::bare_metal)));
  Piece mixed = with(Existing::bare, 1900);
  mixed.parts.push_back(with(Existing::shellac).parts[0]);
  EXPECT_TRUE(lead_possible(mixed));
  Piece tested = with(Existing::paint_oil, 1900);
  tested.lead_test_negative = true;
  EXPECT_FALSE(lead_possible(tested));
  EXPECT_THAT(rules(tested), Not(Contains("lead-possible")));
  // A test that found it counts for more than a year on a label.
  tested.year = 2001;
  tested.lead_test_negative = false;
  EXPECT_TRUE(lead_possible(tested));
  EXPECT_THAT(rules(tested), Contains("lead-possible"));
}

TEST(Hazards, NameWhatMayHurt) {
  Piece piece = with(Existing::unknown, 2005);
  EXPECT_THAT(rules(piece), testing::ElementsAre("finish-unknown"));
  piece.parts[0].existing = Existing::lacquer;
  EXPECT_TRUE(rules(piece).empty());
  piece.parts[0].has_wiring = true;
  EXPECT_THAT(rules(piece), Contains("mains-wiring"));
  piece.parts[0].substrate.material = Material::veneer;
  EXPECT_THAT(rules(piece), Contains("veneer-unknown"));
  piece.parts[0].substrate.veneer_um = 300;
  EXPECT_THAT(rules(piece), Contains("veneer-thin"));
  piece.parts[0].substrate.veneer_um = 2000;
  EXPECT_THAT(rules(piece), Not(Contains("veneer-thin")));
}

TEST(SandingBudget, IsHalfTheVeneer) {
  Part part;
  EXPECT_TRUE(std::isinf(sanding_budget_um(part)));
  part.substrate.material = Material::veneer;
  EXPECT_EQ(sanding_budget_um(part), 250);
  part.substrate.veneer_um = 600;
  EXPECT_EQ(sanding_budget_um(part), 300);
  part.substrate.material = Material::fabric;
  EXPECT_EQ(sanding_budget_um(part), 0);
  part.substrate.material = Material::laminate;
  EXPECT_LT(sanding_budget_um(part), 100);
}

TEST(Words, CoverEveryEnumeration) {
  EXPECT_EQ(part_kind_words().size(), static_cast<std::size_t>(PartKind::fabric_panel) + 1);
  EXPECT_EQ(material_words().size(), static_cast<std::size_t>(Material::board) + 1);
  EXPECT_EQ(existing_words().size(), static_cast<std::size_t>(Existing::bare_metal) + 1);
  EXPECT_EQ(treatment_words().size(), static_cast<std::size_t>(Treatment::none) + 1);
  EXPECT_EQ(zone_form_words().size(), static_cast<std::size_t>(ZoneForm::border) + 1);
  EXPECT_EQ(to_text(PartKind::turned_leg), "turned_leg");
  EXPECT_EQ(to_text(Existing::paint_water), "paint_water");
  EXPECT_EQ(to_text(Treatment::stain_and_clear), "stain_and_clear");
  EXPECT_EQ(to_text(ZoneForm::half_circle), "half_circle");
  EXPECT_EQ(to_text(Material::solid_wood), "solid_wood");
}

}  // namespace
}  // namespace tackcloth::piece
