// Each rule has an order that breaks it and the same order mended. A rule without a planting fails the test.
#include <gtest/gtest.h>

#include <functional>
#include <set>

#include "by_hand.h"

namespace tackcloth::finish {
namespace {

using piece::Existing;
using piece::Material;

struct Planting {
  const char* rule;
  std::function<void(Surface&)> surface;
  std::string faulty, mended;
};

// Bare, grimy, closed-grained wood, washed and sanded as it should be.
const std::string kSanded = "wash soap; sand 120; sand 220; sand 320; dust_off; ";
// The same for a surface with an old finish that stays: washed and scuffed.
const std::string kScuffed = "wash soap; scuff; dust_off; ";
const std::string kThreeClears =
    "clear clear_water; scuff; dust_off; clear clear_water; scuff; dust_off; clear clear_water";

std::vector<Planting> plantings() {
  const auto bare = [](Surface&) {};
  const auto old = [](Existing existing) { return [existing](Surface& s) { s.existing = existing; }; };
  const auto metal = [](Surface& s) {
    s.material = Material::metal;
    s.existing = Existing::bare_metal;
    s.species.clear();
  };
  const auto laminate = [](Surface& s) {
    s.material = Material::laminate;
    s.existing = Existing::laminate;
    s.species.clear();
  };
  const auto board = [](Surface& s) {
    s.material = Material::board;
    s.old_glue = true;
  };
  const auto damaged = [](const char* what) { return [what](Surface& s) { s.damage = {what}; }; };
  const std::string clean_metal = "degrease degreaser; metal_clean metal_polish; ";
  return {
      {"lead-test-first",
       [](Surface& s) {
         s.existing = Existing::varnish;
         s.lead_possible = true;
       },
       "wash soap; strip stripper; neutralize neutral_rinse; sand 120; sand 220; sand 320; dust_off; " + kThreeClears,
       "lead_test; wash soap; strip stripper; neutralize neutral_rinse; sand 120; sand 220; sand 320; dust_off; " +
           kThreeClears},
      {"lead-strip-not-sand",
       [](Surface& s) {
         s.existing = Existing::varnish;
         s.lead_possible = true;
       },
       "lead_test; " + kSanded + kThreeClears,
       "lead_test; wash soap; strip stripper; neutralize neutral_rinse; sand 120; sand 220; sand 320; dust_off; " +
           kThreeClears},
      {"wash-before-sanding", bare, "sand 120; wash soap; sand 220; sand 320; dust_off; " + kThreeClears,
       kSanded + kThreeClears},
      {"wash-before-work", bare, "spirit_wipe spirits; " + kSanded + kThreeClears, kSanded + kThreeClears},
      {"degrease-before-coat", damaged("greasy round the handles"), kSanded + kThreeClears,
       "degrease degreaser; sand 120; sand 220; sand 320; dust_off; " + kThreeClears},
      {"dry-before-sanding", bare, "wash soap wet; sand 120; dry_out; sand 220; sand 320; dust_off; " + kThreeClears,
       "wash soap wet; dry_out; sand 120; sand 220; sand 320; dust_off; " + kThreeClears},
      {"dry-before-coat", old(Existing::varnish),
       "wash soap; scuff; dust_off; wash soap wet; seal shellac; " + kThreeClears,
       kScuffed + "seal shellac; " + kThreeClears},
      {"old-glue-before-new",
       [](Surface& s) {
         s.old_glue = true;
         s.damage = {"loose joint"};
       },
       "wash soap; repair white_glue; sand 120; sand 220; sand 320; scrape_glue; dust_off; " + kThreeClears,
       "wash soap; scrape_glue; repair white_glue; sand 120; sand 220; sand 320; dust_off; " + kThreeClears},
      {"wax-off-before-coat",
       [](Surface& s) {
         s.existing = Existing::wax;
         s.sandable = false;
       },
       "wash soap; seal shellac; " + kThreeClears, "wash soap; spirit_wipe spirits; seal shellac; " + kThreeClears},
      {"wax-off-before-sanding", old(Existing::wax), kSanded + kThreeClears,
       "wash soap; spirit_wipe spirits; sand 120; sand 220; sand 320; dust_off; " + kThreeClears},
      {"neutralize-after-stripping", old(Existing::varnish),
       "wash soap; strip stripper; sand 120; sand 220; sand 320; dust_off; " + kThreeClears,
       "wash soap; strip stripper; neutralize neutral_rinse; sand 120; sand 220; sand 320; dust_off; " + kThreeClears},
      {"dust-off-before-coat", bare, "wash soap; sand 120; sand 220; sand 320; " + kThreeClears,
       kSanded + kThreeClears},
      {"repair-before-coat", damaged("missing chip"), kSanded + kThreeClears,
       "wash soap; sand 120; fill filler; sand 220; sand 320; dust_off; " + kThreeClears},

      {"first-grit", bare, "wash soap; sand 220; sand 320; dust_off; " + kThreeClears, kSanded + kThreeClears},
      {"first-grit-thin-veneer",
       [](Surface& s) {
         s.material = Material::veneer;
         s.sanding_budget_um = 30;
       },
       "wash soap; sand 320; dust_off; " + kThreeClears, "wash soap; sand 220; sand 320; dust_off; " + kThreeClears},
      {"first-grit-coarse", bare,
       "wash soap; sand 80; sand 120; sand 180; sand 220; sand 320; dust_off; " + kThreeClears, kSanded + kThreeClears},
      {"stubborn-starts-coarse",
       [](Surface& s) {
         s.existing = Existing::varnish;
         s.stubborn = true;
       },
       kSanded + kThreeClears, "wash soap; sand 80; sand 120; sand 180; sand 220; sand 320; dust_off; " + kThreeClears},
      {"grit-jump", bare, "wash soap; sand 120; sand 320; dust_off; " + kThreeClears, kSanded + kThreeClears},
      {"grit-steps-after-coarse",
       [](Surface& s) {
         s.existing = Existing::varnish;
         s.stubborn = true;
       },
       "wash soap; sand 80; sand 120; sand 220; sand 320; dust_off; " + kThreeClears,
       "wash soap; sand 80; sand 120; sand 180; sand 220; sand 320; dust_off; " + kThreeClears},
      {"grit-backwards", bare, "wash soap; sand 120; sand 220; sand 180; sand 320; dust_off; " + kThreeClears,
       kSanded + kThreeClears},
      {"sand-before-coat", bare, "wash soap; sand 120; sand 220; dust_off; " + kThreeClears, kSanded + kThreeClears},
      {"veneer-budget",
       [](Surface& s) {
         s.material = Material::veneer;
         s.existing = Existing::varnish;
         s.sanding_budget_um = 40;
       },
       kSanded + kThreeClears,
       "wash soap; strip stripper; neutralize neutral_rinse; sand 220; sand 320; dust_off; " + kThreeClears},
      {"not-to-be-sanded",
       [](Surface& s) {
         s.existing = Existing::varnish;
         s.sandable = false;
       },
       kSanded + kThreeClears, "wash soap; strip stripper; neutralize neutral_rinse; " + kThreeClears},
      {"no-water-on-sanded-wood", bare, kSanded + "wash soap; " + kThreeClears, kSanded + kThreeClears},

      {"spirits-on-uncured-film", bare,
       kSanded + "seal shellac; test_board; paint paint; paint paint handle; spirit_wipe spirits",
       kSanded + "seal shellac; test_board; paint paint; paint paint use; spirit_wipe spirits"},
      {"spirits-over-fresh-waterborne", bare,
       kSanded + "prime primer_water; test_board; paint paint; paint paint; barrier shellac; spirit_wipe spirits; "
                 "clear clear_water",
       kSanded + "spirit_wipe spirits; prime primer_water; test_board; paint paint; paint paint; barrier shellac; "
                 "clear clear_water"},
      {"spirits-only-on-wood-or-metal", laminate,
       "degrease degreaser; spirit_wipe spirits; scuff; dust_off; seal shellac; test_board; paint paint",
       "degrease degreaser; scuff; dust_off; seal shellac; test_board; paint paint"},
      {"spirits-dry-before-next", bare, kSanded + "spirit_wipe spirits touch; clear urethane",
       kSanded + "spirit_wipe spirits same; clear urethane"},
      {"spirits-before-oil-clear", bare, kSanded + "clear urethane", kSanded + "spirit_wipe spirits; clear urethane"},

      {"film-ready-before-next", bare, kSanded + "seal shellac touch; clear clear_water",
       kSanded + "seal shellac same; clear clear_water"},
      {"oil-and-water-wait", bare,
       kSanded +
           "seal shellac; test_board; paint paint; paint paint; scuff; dust_off; spirit_wipe spirits; clear urethane",
       kSanded +
           "spirit_wipe spirits; seal shellac; test_board; paint paint; paint paint; barrier shellac; clear urethane"},
      {"stain-dry-under-other-system", bare, kSanded + "test_board; stain stain_oil same; clear clear_water",
       kSanded + "test_board; stain stain_oil other; clear clear_water"},
      {"scuff-between-coats", bare, kSanded + "clear clear_water; clear clear_water", kSanded + kThreeClears},
      {"scuff-old-finish", old(Existing::paint_water), "wash soap; test_board; paint paint; paint paint",
       kScuffed + "test_board; paint paint; paint paint"},
      {"scuff-hard-surface", metal,
       clean_metal + "prime primer_metal other; scuff; dust_off; test_board; metal_coat metal_can",
       clean_metal + "scuff; dust_off; prime primer_metal other; scuff; dust_off; test_board; metal_coat metal_can"},
      {"scuff-when-hard-enough", bare, kSanded + "clear clear_water touch; scuff; dust_off; clear clear_water",
       kSanded + kThreeClears},
      {"recoat-window", bare, kSanded + "spirit_wipe spirits; clear urethane use; clear urethane",
       kSanded + "spirit_wipe spirits; clear urethane; scuff; dust_off; clear urethane"},
      {"tape-on-fresh-film", bare, kSanded + "seal shellac; test_board; paint paint; paint paint same; mask",
       kSanded + "seal shellac; test_board; paint paint; paint paint tape; mask"},
      {"handle-when-hard", bare, kSanded + "clear clear_water same", kSanded + "clear clear_water handle"},
      {"no-waxed-shellac-under-film", bare, kSanded + "seal shellac_waxed; spirit_wipe spirits; clear urethane",
       kSanded + "spirit_wipe spirits; seal shellac; clear urethane"},
      {"old-shellac-may-be-waxed", old(Existing::shellac), kScuffed + "test_board; paint paint",
       kScuffed + "barrier shellac; test_board; paint paint"},
      {"nothing-over-wax", bare, kSanded + "wax wax; clear clear_water", kSanded + "clear clear_water other; wax wax"},
      {"lacquer-lifts-old-finish", old(Existing::varnish), kScuffed + "clear lacquer",
       kScuffed + "barrier shellac; clear lacquer"},
      {"lacquer-lifts-film", bare,
       kSanded + "seal shellac; test_board; paint enamel other; scuff; dust_off; clear lacquer",
       kSanded + "seal shellac; test_board; paint enamel; barrier shellac; clear lacquer"},
      {"clear-over-old-paint", old(Existing::paint_oil), kScuffed + "barrier shellac; clear clear_water",
       kSanded + "clear clear_water"},
      {"clear-straight-on-old-paint", old(Existing::paint_water), kScuffed + "clear clear_water",
       kSanded + "clear clear_water"},
      {"bare-wood-under-clear", old(Existing::lacquer), kScuffed + "clear clear_water", kSanded + "clear clear_water"},
      {"bare-wood-under-sealer", old(Existing::lacquer), kScuffed + "barrier shellac; clear clear_water",
       kSanded + "seal shellac; clear clear_water"},
      {"stain-on-bare-wood", bare,
       kSanded + "clear clear_water; test_board; scuff; dust_off; stain stain_water; clear clear_water",
       kSanded + "test_board; stain stain_water; clear clear_water"},
      {"stain-through-old-finish", old(Existing::lacquer),
       kScuffed + "test_board; stain stain_water; clear clear_water",
       kSanded + "test_board; stain stain_water; clear clear_water"},
      {"oil-has-to-soak-in", bare, kSanded + "seal shellac; oil oil", kSanded + "oil oil"},
      {"oil-on-old-film", old(Existing::lacquer), kScuffed + "oil oil", kSanded + "oil oil"},
      {"oil-smell-shut-in", [](Surface& s) { s.interior = true; }, kSanded + "spirit_wipe spirits; clear varnish",
       kSanded + "clear clear_water"},
      {"tannin-bleed", [](Surface& s) { s.species = "oak"; }, kSanded + "prime primer_water; test_board; paint paint",
       kSanded + "barrier shellac; test_board; paint paint"},
      {"unknown-finish-barrier", old(Existing::unknown),
       "wash soap; spirit_wipe spirits; scuff; dust_off; test_board; paint paint",
       "wash soap; spirit_wipe spirits; scuff; dust_off; barrier shellac; test_board; paint paint"},
      {"old-oil-under-waterborne", old(Existing::paint_oil), kScuffed + "test_board; paint paint",
       kScuffed + "prime primer_water; test_board; paint paint"},
      {"milk-paint-needs-hold", old(Existing::paint_water), kScuffed + "test_board; paint milk; wax wax",
       kScuffed + "prime primer_water; test_board; paint milk; wax wax"},
      {"soft-paint-needs-topcoat", bare, kSanded + "test_board; paint chalk",
       kSanded + "test_board; paint chalk; wax wax"},

      {"prime-bare-wood", bare, kSanded + "test_board; paint paint",
       kSanded + "prime primer_water; test_board; paint paint"},
      {"prime-laminate", laminate, "degrease degreaser; scuff; dust_off; test_board; paint paint",
       "degrease degreaser; scuff; dust_off; prime primer_water; test_board; paint paint"},
      {"nothing-soaks-into-laminate-or-metal", laminate,
       "degrease degreaser; scuff; dust_off; test_board; stain stain_water",
       "degrease degreaser; scuff; dust_off; prime primer_water; test_board; paint paint"},
      {"no-clear-on-laminate", laminate, "degrease degreaser; scuff; dust_off; clear clear_water",
       "degrease degreaser; scuff; dust_off; prime primer_water; test_board; paint paint"},
      {"no-clear-on-sealed-laminate", laminate, "degrease degreaser; scuff; dust_off; seal shellac; clear clear_water",
       "degrease degreaser; scuff; dust_off; seal shellac; test_board; paint paint"},
      {"no-stripper-on-laminate", laminate,
       "degrease degreaser; strip stripper; neutralize neutral_rinse; scuff; dust_off; seal shellac; test_board; paint "
       "paint",
       "degrease degreaser; scuff; dust_off; seal shellac; test_board; paint paint"},
      {"metal-spray-on-metal", bare, kSanded + "seal shellac; test_board; metal_coat metal_can",
       kSanded + "seal shellac; test_board; paint paint"},
      {"metal-clean-first", metal,
       "degrease degreaser; scuff; dust_off; prime primer_metal other; scuff; dust_off; test_board; metal_coat "
       "metal_can",
       clean_metal + "scuff; dust_off; prime primer_metal other; scuff; dust_off; test_board; metal_coat metal_can"},
      {"metal-primer", metal, clean_metal + "scuff; dust_off; test_board; metal_coat metal_can",
       clean_metal + "scuff; dust_off; prime primer_metal other; scuff; dust_off; test_board; metal_coat metal_can"},
      {"no-coat-on-fabric",
       [](Surface& s) {
         s.material = Material::fabric;
         s.species.clear();
       },
       "seal shellac", "fabric_dry_fit; fabric_glue contact"},
      {"dry-fit-before-glue", board, "wash soap; scrape_glue; fabric_glue contact; fabric_dry_fit",
       "wash soap; scrape_glue; fabric_dry_fit; fabric_glue contact"},
      {"wet-glue-under-fabric", board, "wash soap; scrape_glue; fabric_dry_fit; fabric_glue white_glue",
       "wash soap; scrape_glue; fabric_dry_fit; fabric_glue contact"},
      {"test-board-first", bare, kSanded + "stain stain_water; clear clear_water",
       "test_board; " + kSanded + "stain stain_water; clear clear_water"},

      {"thin-coats", bare, kSanded + "clear clear_water thick", kSanded + "clear clear_water"},
      {"method-of-the-label", bare, kSanded + "clear clear_water sprayed", kSanded + "clear clear_water"},
      {"open-pores-show", [](Surface& s) { s.species = "oak"; }, kSanded + "clear clear_water",
       kSanded + "grain_fill grain_filler; scuff; dust_off; clear clear_water"},
  };
}

class PlantedFaults : public testing::Test {
 protected:
  catalog::Catalog catalog_ = by_hand::small_catalog();
  film::Model film_{catalog_};
  Finisher finisher_{catalog_, film_, by_hand::the_rules()};
};

TEST_F(PlantedFaults, EveryRuleIsFoundAndItsMendIsClean) {
  ASSERT_FALSE(finisher_.rules().empty()) << "catalog/rules.toml did not load";
  std::set<std::string> planted;
  for (const auto& planting : plantings()) {
    SCOPED_TRACE(planting.rule);
    planted.insert(planting.rule);
    Surface surface;
    surface.species = "maple";
    surface.existing = Existing::bare;
    planting.surface(surface);
    const auto found = finisher_.check(surface, by_hand::order(catalog_, planting.faulty));
    EXPECT_TRUE(by_hand::has(found, planting.rule)) << by_hand::names(found);
    const auto mended = finisher_.check(surface, by_hand::order(catalog_, planting.mended));
    EXPECT_FALSE(by_hand::has(mended, planting.rule)) << by_hand::names(mended);
    for (const auto& finding : mended) {
      EXPECT_NE(finding.severity, catalog::Severity::must_not) << finding.rule << " stands against the mended order";
    }
  }
  for (const auto& rule : finisher_.rules()) {
    EXPECT_TRUE(planted.contains(rule.id)) << "rule " << rule.id << " has no planted fault";
  }
}

TEST_F(PlantedFaults, AFindingCarriesReasonMendAndSource) {
  Surface surface;
  surface.existing = Existing::bare;
  const auto found = finisher_.check(surface, by_hand::order(catalog_, "sand 120"));
  ASSERT_TRUE(by_hand::has(found, "wash-before-sanding"));
  for (const auto& finding : found) {
    EXPECT_FALSE(finding.reason.empty()) << finding.rule;
    EXPECT_FALSE(finding.mend.empty()) << finding.rule;
    EXPECT_FALSE(finding.source.empty()) << finding.rule;
  }
}

TEST_F(PlantedFaults, UnknownProductsAreNotPassedOver) {
  Surface surface;
  surface.existing = Existing::bare;
  const auto found = finisher_.check(surface, by_hand::order(catalog_, kSanded + "clear moon_dust"));
  EXPECT_TRUE(by_hand::has(found, "unknown-product")) << by_hand::names(found);
}

}  // namespace
}  // namespace tackcloth::finish
