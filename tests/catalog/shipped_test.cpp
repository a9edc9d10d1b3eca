// The catalogue that comes with the program.
#include <gmock/gmock.h>

#include <set>

#include "support.h"

namespace tackcloth::catalog {
namespace {

using test::shipped;

TEST(Shipped, HasEveryIdOthersReferTo) {
  const char* products[] = {"soap_wash",
                            "degreaser_alkaline",
                            "neutralizer",
                            "metal_cleaner",
                            "stripper_benzyl_alcohol",
                            "stripper_caustic_paste",
                            "mineral_spirits",
                            "denatured_alcohol",
                            "acetone",
                            "naphtha",
                            "turpentine",
                            "grain_filler_water",
                            "grain_filler_oil",
                            "wood_filler_water",
                            "wood_filler_epoxy",
                            "stain_oil",
                            "stain_water",
                            "stain_dye_alcohol",
                            "stain_gel",
                            "shellac_dewaxed",
                            "shellac_waxed",
                            "sanding_sealer_lacquer",
                            "primer_oil",
                            "primer_water",
                            "primer_metal",
                            "paint_acrylic",
                            "paint_acrylic_urethane",
                            "paint_chalk",
                            "paint_mineral",
                            "paint_milk",
                            "enamel_alkyd",
                            "aerosol_metal_paint",
                            "aerosol_clear",
                            "varnish_wiping",
                            "varnish_brushing",
                            "urethane_oil",
                            "clear_water",
                            "lacquer_nitro",
                            "hardwax_oil",
                            "oil_boiled_linseed",
                            "oil_tung",
                            "wax_paste",
                            "wax_furniture",
                            "glue_pva",
                            "glue_hide",
                            "glue_contact",
                            "glue_epoxy",
                            "glue_spray_fabric",
                            "glue_hot_melt",
                            "tape_masking",
                            "paper_masking",
                            "tack_cloth",
                            "rag_cotton",
                            "gloves_nitrile",
                            "brush",
                            "pad_applicator",
                            "cartridge_organic_vapour",
                            "mask_p100",
                            "lead_test_kit",
                            "test_board"};
  for (const char* id : products) EXPECT_NE(shipped().product(id), nullptr) << id;
  const char* paces[] = {"take_in",     "lead_test",  "take_apart",     "put_back",      "label_part", "wash",
                         "degrease",    "rinse",      "strip",          "scrape_glue",   "sand_edge",  "dust_off",
                         "spirit_wipe", "fill",       "mask_m",         "unmask_m",      "scuff",      "metal_clean",
                         "test_board",  "fabric_cut", "fabric_glue_m2", "repair_damage", "inspect",    "hand_over",
                         "set_up",      "clean_up"};
  for (const char* id : paces) EXPECT_NE(shipped().pace(id), nullptr) << id;
  for (int grit : {60, 80, 100, 120, 150, 180, 220, 240, 280, 320, 400, 600}) {
    EXPECT_NE(shipped().abrasive(grit), nullptr) << grit;
  }
  EXPECT_EQ(shipped().product("no_such"), nullptr);
  EXPECT_EQ(shipped().abrasive(121), nullptr);
}

TEST(Shipped, IsWideEnough) {
  std::set<Kind> kinds;
  std::set<Binder> binders;
  int materials = 0;
  for (const auto& p : shipped().products) {
    kinds.insert(p.kind);
    binders.insert(p.binder);
    if (p.kind != Kind::consumable) ++materials;
  }
  EXPECT_GE(materials, 40);
  EXPECT_EQ(kinds.size(), 16u) << "a kind of product without an example";
  EXPECT_EQ(binders.size(), 20u) << "a binder without an example";
  EXPECT_EQ(shipped().species.size(), 30u);
}

TEST(Shipped, EveryProductThatLeavesAFilmCanBePutOnAndJudgedByHand) {
  for (const auto& p : shipped().products) {
    if (!leaves_film(p)) continue;
    ASSERT_NE(usual(p), nullptr) << p.id;
    EXPECT_FALSE(p.ready_by_hand.empty()) << p.id;
    EXPECT_FALSE(p.bench_notes.empty()) << p.id;
    EXPECT_FALSE(p.packs.empty()) << p.id;
  }
}

TEST(Shipped, FlattedClearsSayHowToStir) {
  for (const auto& p : shipped().products) {
    if (p.kind == Kind::clear && p.flatted) {
      EXPECT_THAT(p.bench_notes, testing::Contains(testing::HasSubstr("through the whole job, do not shake"))) << p.id;
    }
  }
}

// Drying oils and what holds them heat up in a heap (common practice, no source): never false for one that oxidises.
TEST(Shipped, EveryOxidisingProductWarnsOfItsRags) {
  for (const auto& p : shipped().products) {
    if (p.cure != Cure::oxidation) continue;
    EXPECT_TRUE(p.self_heating) << p.id;
    EXPECT_THAT(p.hazards, testing::Contains(testing::HasSubstr("on their own"))) << p.id;
  }
}

TEST(Shipped, WhatBurnsHasAFlashPointAndAWarning) {
  for (const auto& p : shipped().products) {
    double burning = 0;
    for (const auto& v : p.volatiles) {
      if (shipped().component(v.component)->lel_percent > 0) burning += v.mass_fraction;
    }
    if (burning < 0.3) continue;  // waterborne products hold a few percent of slow solvent
    EXPECT_TRUE(p.flash_point_c.has_value()) << p.id;
    EXPECT_FALSE(p.hazards.empty()) << p.id;
  }
}

TEST(Shipped, NothingHoldsDichloromethane) {  // 40 CFR part 751 subpart B
  EXPECT_EQ(shipped().component("dichloromethane"), nullptr);
  for (const auto& p : shipped().products) {
    for (const auto& v : p.volatiles) EXPECT_EQ(v.component.find("chloro"), std::string::npos) << p.id;
  }
}

TEST(Shipped, LabelsTheScheduleLeansOn) {
  const Label& wiping = shipped().product("varnish_wiping")->label;
  EXPECT_EQ(wiping.recoat_h, 12);
  EXPECT_EQ(wiping.recoat_max_h, 24);
  EXPECT_EQ(shipped().product("mineral_spirits")->label.recoat_h, 12);
  // 72 h between oil-based and waterborne coats (common practice, no source), whichever comes first.
  for (const auto& p : shipped().products) {
    if (is_oil_system(p) || is_water_system(p)) {
      EXPECT_EQ(p.label.recoat_other_h, 72) << p.id;
    }
    EXPECT_FALSE(is_oil_system(p) && is_water_system(p)) << p.id;
  }
  EXPECT_LE(shipped().product("shellac_dewaxed")->label.recoat_other_h, 4);
}

TEST(Shipped, SystemsAreToldApart) {
  const auto water = [](const char* id) { return is_water_system(*shipped().product(id)); };
  const auto oil = [](const char* id) { return is_oil_system(*shipped().product(id)); };
  for (const char* id : {"paint_acrylic", "clear_water", "paint_milk", "primer_water", "stain_water"}) {
    EXPECT_TRUE(water(id)) << id;
  }
  for (const char* id : {"urethane_oil", "varnish_wiping", "enamel_alkyd", "stain_oil", "hardwax_oil", "oil_tung"}) {
    EXPECT_TRUE(oil(id)) << id;
  }
  for (const char* id : {"shellac_dewaxed", "lacquer_nitro", "wax_paste", "mineral_spirits", "glue_pva", "soap_wash"}) {
    EXPECT_FALSE(water(id) || oil(id)) << id;
  }
}

// Medians of FEPA P grades / ISO 6344 (P60 to P120 seen in a published grit table, the others from memory).
TEST(Shipped, GrainSizesFollowTheGrades) {
  const std::pair<int, double> medians[] = {{60, 269}, {80, 201},   {100, 162},  {120, 125},  {150, 100}, {180, 82},
                                            {220, 68}, {240, 58.5}, {280, 52.2}, {320, 46.2}, {400, 35},  {600, 25.8}};
  for (const auto& [grit, median] : medians) EXPECT_DOUBLE_EQ(shipped().abrasive(grit)->median_um, median) << grit;
  for (std::size_t i = 1; i < shipped().abrasives.size(); ++i) {
    const auto& coarse = shipped().abrasives[i - 1];
    const auto& fine = shipped().abrasives[i];
    EXPECT_LT(coarse.grit, fine.grit);
    EXPECT_GT(coarse.median_um, fine.median_um);
    EXPECT_GT(coarse.removal_um, fine.removal_um);
  }
}

// Wood Handbook (FPL-GTR-190): coefficients of table 13-5 against green-to-ovendry shrinkage of table 4-3. The table's
// coefficients are that shrinkage over a fibre saturation span of 22 (redwood, redcedar) to 31 points.
TEST(Shipped, DimensionalChangeAgreesWithShrinkage) {
  struct {
    const char* id;
    double radial, tangential;  // percent, table 4-3
  } table[] = {{"alder_red", 4.4, 7.3},    {"ash_white", 4.9, 7.8},     {"aspen", 3.5, 6.7},
               {"basswood", 6.6, 9.3},     {"beech", 5.5, 11.9},        {"birch_yellow", 7.3, 9.5},
               {"butternut", 3.4, 6.4},    {"cherry_black", 3.7, 7.1},  {"chestnut", 3.4, 6.7},
               {"elm_american", 4.2, 9.5}, {"oak_white", 5.6, 10.5},    {"sycamore", 5.0, 8.4},
               {"walnut_black", 5.5, 7.8}, {"poplar_yellow", 4.6, 8.2}, {"cedar_western_red", 2.4, 5.0},
               {"douglas_fir", 4.8, 7.6}};
  for (const auto& row : table) {
    const Species* s = shipped().find_species(row.id);
    ASSERT_NE(s, nullptr) << row.id;
    EXPECT_GT(row.radial / 100 / s->radial_per_percent, 21) << row.id;
    EXPECT_LT(row.radial / 100 / s->radial_per_percent, 32) << row.id;
    EXPECT_GT(row.tangential / 100 / s->tangential_per_percent, 21) << row.id;
    EXPECT_LT(row.tangential / 100 / s->tangential_per_percent, 32) << row.id;
  }
  for (const auto& s : shipped().species) EXPECT_GT(s.tangential_per_percent, s.radial_per_percent) << s.id;
}

TEST(Shipped, LoadsTheSameTwice) {
  const auto again = load_catalog(test::catalog_dir());
  ASSERT_TRUE(again);
  ASSERT_EQ(again->products.size(), shipped().products.size());
  for (std::size_t i = 0; i < again->products.size(); ++i) EXPECT_EQ(again->products[i].id, shipped().products[i].id);
}

}  // namespace
}  // namespace tackcloth::catalog
