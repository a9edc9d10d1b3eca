// The same promises on the catalogue that ships.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "by_hand.h"

namespace tackcloth::finish {
namespace {

using piece::Existing;
using piece::Material;
using piece::Treatment;

TEST(FinishRealCatalogue, PlansEveryTreatmentWithoutAMustNot) {
  const auto catalog = catalog::load_catalog(std::string(TACKCLOTH_SOURCE_DIR) + "/catalog");
  if (!catalog) GTEST_SKIP() << "the catalogue does not load: " << to_text(catalog.error().front());
  const film::Model film(*catalog);
  const Finisher finisher(*catalog, film, by_hand::the_rules());
  struct Case {
    Material material;
    const char* species;
    Existing existing;
    Treatment treatment;
    const char* product;
  };
  const std::vector<Case> cases = {
      {Material::solid_wood, "walnut_black", Existing::bare, Treatment::clear, "varnish_wiping"},
      {Material::solid_wood, "maple_hard", Existing::varnish, Treatment::clear, "urethane_oil"},
      {Material::solid_wood, "oak_red", Existing::bare, Treatment::paint, "paint_acrylic_urethane"},
      {Material::solid_wood, "oak_white", Existing::unknown, Treatment::paint, "paint_chalk"},
      {Material::solid_wood, "pine_eastern_white", Existing::paint_oil, Treatment::paint, "paint_milk"},
      {Material::solid_wood, "cherry_black", Existing::lacquer, Treatment::stain_and_clear, ""},
      {Material::solid_wood, "teak", Existing::oil, Treatment::oil, "hardwax_oil"},
      {Material::solid_wood, "maple_hard", Existing::wax, Treatment::wax, "wax_paste"},
      {Material::veneer, "walnut_black", Existing::varnish, Treatment::clear, "clear_water"},
      {Material::laminate, "", Existing::laminate, Treatment::paint, "paint_acrylic"},
      {Material::metal, "", Existing::unknown, Treatment::metal_spray, "aerosol_metal_paint"},
      {Material::metal, "", Existing::bare_metal, Treatment::clear, "aerosol_clear"},
      {Material::board, "", Existing::bare, Treatment::fabric, "glue_spray_fabric"},
      {Material::board, "", Existing::bare, Treatment::paint, "enamel_alkyd"},
  };
  for (const auto& c : cases) {
    for (const Prefer prefer : {Prefer::fastest, Prefer::cheapest}) {
      Surface s;
      s.material = c.material;
      s.species = c.species;
      s.existing = c.existing;
      if (c.material == Material::veneer) s.sanding_budget_um = 40;
      Wish w;
      w.treatment = c.treatment;
      w.product = c.product;
      SCOPED_TRACE(std::string(c.species) + " " + piece::to_text(c.existing) + " " + piece::to_text(c.treatment) + " " +
                   c.product);
      const auto got = finisher.schedule(s, w, prefer);
      ASSERT_FALSE(got.steps.empty()) << by_hand::names(got.findings);
      for (const auto& f : got.findings) EXPECT_NE(f.severity, catalog::Severity::must_not) << f.rule;
      for (const auto& f : finisher.check(s, got.steps)) EXPECT_NE(f.severity, catalog::Severity::must_not) << f.rule;
      bool used = w.product.empty();
      for (const auto& step : got.steps) used = used || step.product == w.product;
      EXPECT_TRUE(used) << by_hand::listing(got.steps);
    }
  }
}

TEST(FinishRealCatalogue, WaxedShellacUnderUrethaneIsMendedAndSpiritsWaitForTheNextDay) {
  const auto catalog = catalog::load_catalog(std::string(TACKCLOTH_SOURCE_DIR) + "/catalog");
  if (!catalog) GTEST_SKIP() << "the catalogue does not load: " << to_text(catalog.error().front());
  const film::Model film(*catalog);
  const Finisher finisher(*catalog, film, by_hand::the_rules());
  Surface s;
  s.species = "maple_hard";
  s.existing = Existing::bare;
  Wish w;
  w.wanted = {"shellac_waxed", "urethane_oil"};
  const auto got = finisher.schedule(s, w, Prefer::fastest);
  EXPECT_TRUE(by_hand::has(got.findings, "no-waxed-shellac-under-film"));
  bool dewaxed = false, wiped = false;
  for (const auto& step : got.steps) {
    EXPECT_NE(step.product, "shellac_waxed");
    dewaxed = dewaxed || step.product == "shellac_dewaxed";
    if (step.kind != StepKind::spirit_wipe) continue;
    wiped = true;
    EXPECT_EQ(step.product, "mineral_spirits");
    // The film engine decides when: in an ordinary room not within the same working day of 8 h.
    const film::Coat coat{catalog->product(step.product), step.wet_um, step.ground, film::Lie::vertical};
    const auto air = climate::ClimateSeries::constant({20, 0.5, 101325, 0.1});
    EXPECT_GT(film.readiness(coat, air, Instant{})[step.needs_before_next].p90, 8);
  }
  EXPECT_TRUE(dewaxed);
  EXPECT_TRUE(wiped) << by_hand::listing(got.steps);
}

}  // namespace
}  // namespace tackcloth::finish
