// What a schedule has to hold, on the small catalogue. Facts of the trade are common practice, no source.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "by_hand.h"

namespace tackcloth::finish {
namespace {

using catalog::Severity;
using film::Need;
using piece::Existing;
using piece::Material;
using piece::Treatment;
using testing::Contains;
using testing::ElementsAre;
using testing::Gt;

class Schedules : public testing::Test {
 protected:
  catalog::Catalog catalog_ = by_hand::small_catalog();
  film::Model film_{catalog_};
  Finisher finisher_{catalog_, film_, by_hand::the_rules()};

  static Surface wood(Existing existing) {
    Surface s;
    s.species = "maple";
    s.existing = existing;
    return s;
  }
  static Wish wish(Treatment treatment, const std::string& product = {}) {
    Wish w;
    w.treatment = treatment;
    w.product = product;
    return w;
  }
  Schedule plan(const Surface& from, const Wish& what, Prefer prefer = Prefer::fastest) const {
    return finisher_.schedule(from, what, prefer);
  }
  static std::vector<int> grits(const Schedule& schedule) {
    std::vector<int> out;
    for (const auto& step : schedule.steps) {
      if (step.kind == StepKind::sand) out.push_back(step.grit);
    }
    return out;
  }
  static int first(const Schedule& schedule, StepKind kind) {
    for (std::size_t i = 0; i < schedule.steps.size(); ++i) {
      if (schedule.steps[i].kind == kind) return static_cast<int>(i);
    }
    return -1;
  }
  static int count(const Schedule& schedule, StepKind kind) {
    int n = 0;
    for (const auto& step : schedule.steps) n += step.kind == kind ? 1 : 0;
    return n;
  }
  static const Step* step_with(const Schedule& schedule, const std::string& product) {
    for (const auto& step : schedule.steps) {
      if (step.product == product && step.kind != StepKind::test_board) return &step;
    }
    return nullptr;
  }
};

TEST_F(Schedules, SandsP120P220P320) {
  EXPECT_THAT(grits(plan(wood(Existing::bare), wish(Treatment::clear))), ElementsAre(120, 220, 320));
  EXPECT_THAT(grits(plan(wood(Existing::varnish), wish(Treatment::clear))), ElementsAre(120, 220, 320));
}

TEST_F(Schedules, StubbornFinishStartsCoarseWithTheStepsBetween) {
  Surface s = wood(Existing::varnish);
  s.stubborn = true;
  const auto got = grits(plan(s, wish(Treatment::clear)));
  ASSERT_GE(got.size(), 4u);
  EXPECT_TRUE(got.front() == 100 || got.front() == 80) << got.front();
  EXPECT_EQ(got.back(), 320);
  for (std::size_t i = 1; i < got.size(); ++i)
    EXPECT_LE(got[i], got[i - 1] * 1.51) << "P" << got[i - 1] << " to P" << got[i];
}

TEST_F(Schedules, WashesBeforeSandingAndLetsTheWoodDryBack) {
  const auto s = plan(wood(Existing::varnish), wish(Treatment::clear, "urethane"));
  const int wash = first(s, StepKind::wash), sand = first(s, StepKind::sand);
  ASSERT_GE(wash, 0);
  ASSERT_GT(sand, wash);
  const Step& step = s.steps[static_cast<std::size_t>(wash)];
  EXPECT_TRUE(step.rest_by_climate);
  EXPECT_GT(step.water_g_m2, 0);
  EXPECT_FALSE(step.is_film);
  EXPECT_THAT(step.rules, Contains("wash-before-sanding"));
  EXPECT_THAT(step.rules, Contains("dry-before-sanding"));
}

TEST_F(Schedules, ThinVeneerIsStrippedAndSaysSo) {
  Surface s = wood(Existing::varnish);
  s.material = Material::veneer;
  for (const double budget : {200.0, 45.0, 30.0, 20.0, 10.0, 3.0, 1.0, 0.0}) {
    SCOPED_TRACE(budget);
    s.sanding_budget_um = budget;
    const auto got = plan(s, wish(Treatment::clear));
    ASSERT_FALSE(got.steps.empty());
    double removed = 0;
    for (const auto& step : got.steps) removed += step.removes_um;
    EXPECT_LE(removed, budget);
    // 30 + 13 + 6 µm for P120, P220, P320 of the small catalogue.
    EXPECT_EQ(by_hand::has(got.findings, "veneer-budget"), budget < 49);
    EXPECT_EQ(first(got, StepKind::strip) >= 0, budget < 49);
    if (budget < 19) {
      EXPECT_TRUE(grits(got).empty());
    } else if (budget < 49) {
      EXPECT_THAT(grits(got), ElementsAre(220, 320));
    }
  }
}

TEST_F(Schedules, EveryCoatCarriesMethodFilmHandTestAndScuffs) {
  const auto s = plan(wood(Existing::bare), wish(Treatment::clear, "urethane"));
  EXPECT_EQ(count(s, StepKind::clear), 3);
  EXPECT_EQ(count(s, StepKind::scuff), 2);
  for (const auto& step : s.steps) {
    EXPECT_FALSE(step.text.empty());
    EXPECT_FALSE(step.reason.empty()) << step.text;
    EXPECT_FALSE(step.ready_by_hand.empty()) << step.text;
    if (step.kind == StepKind::scuff) {
      EXPECT_EQ(step.grit, 320);
    }
    if (step.kind != StepKind::clear) continue;
    EXPECT_TRUE(step.is_film);
    EXPECT_EQ(step.method, catalog::Method::brush);
    EXPECT_DOUBLE_EQ(step.wet_um, 80);
    EXPECT_GT(step.minutes_per_m2, 0);
    EXPECT_FALSE(step.notes.empty());
  }
  EXPECT_EQ(s.steps.back().kind, StepKind::clear);
  EXPECT_EQ(s.steps.back().needs_before_next, Need::handle);
  EXPECT_GT(s.hours_nominal, 0);
  EXPECT_GT(s.cost_per_m2, 0);
}

TEST_F(Schedules, FlattedClearIsStirredNotShaken) {
  for (auto& product : catalog_.products) product.flatted = product.id == "urethane";
  const auto s = plan(wood(Existing::bare), wish(Treatment::clear, "urethane"));
  EXPECT_THAT(step_with(s, "urethane")->notes, Contains(testing::HasSubstr("do not shake")));
}

TEST_F(Schedules, SpiritsBeforeAnOilClearAreAFilmThatGatesTheCoat) {
  const auto s = plan(wood(Existing::bare), wish(Treatment::clear, "varnish"));
  const int wipe = first(s, StepKind::spirit_wipe);
  ASSERT_GE(wipe, 0) << by_hand::listing(s.steps);
  const Step& step = s.steps[static_cast<std::size_t>(wipe)];
  EXPECT_TRUE(step.is_film);
  EXPECT_EQ(step.product, "spirits");
  EXPECT_EQ(step.needs_before_next, Need::recoat_same);
  EXPECT_EQ(step.rest_h, 0);
  EXPECT_EQ(step.ground, film::Ground::bare_wood);
  EXPECT_LT(wipe, first(s, StepKind::clear));
}

TEST_F(Schedules, SpiritsNeverOnFreshWaterbornePaint) {
  Wish w = wish(Treatment::paint);
  w.wanted = {"primer_water", "paint", "spirits", "clear_water"};
  const auto s = plan(wood(Existing::bare), w);
  ASSERT_FALSE(s.steps.empty());
  EXPECT_TRUE(by_hand::has(s.findings, "spirits-on-uncured-film")) << by_hand::names(s.findings);
  // What is planned instead: the paint is left to cure before any spirits.
  const Step* paint = nullptr;
  for (const auto& step : s.steps) {
    if (step.kind == StepKind::spirit_wipe && paint != nullptr) {
      EXPECT_EQ(paint->needs_before_next, Need::use) << by_hand::listing(s.steps);
    }
    if (step.kind == StepKind::paint) paint = &step;
  }
}

TEST_F(Schedules, OilOverWaterborneWaitsOrHasABarrier) {
  Wish w = wish(Treatment::stain_and_clear);
  w.wanted = {"stain_water", "urethane"};
  for (const Prefer prefer : {Prefer::fastest, Prefer::cheapest}) {
    const auto s = plan(wood(Existing::bare), w, prefer);
    ASSERT_FALSE(s.steps.empty());
    const bool barrier = count(s, StepKind::barrier) + count(s, StepKind::seal) > 0;
    const Step* stain = step_with(s, "stain_water");
    ASSERT_NE(stain, nullptr);
    EXPECT_TRUE(barrier || stain->needs_before_next == Need::recoat_other) << by_hand::listing(s.steps);
    EXPECT_TRUE(by_hand::has(s.findings, "stain-dry-under-other-system")) << by_hand::names(s.findings);
    // The barrier dries in an hour, the wait takes three days; the wait costs nothing at the bench.
    EXPECT_EQ(barrier, prefer == Prefer::fastest) << by_hand::listing(s.steps);
  }
}

TEST_F(Schedules, WaxedShellacUnderUrethaneIsRefusedAndMended) {
  Wish w = wish(Treatment::clear);
  w.wanted = {"shellac_waxed", "urethane"};
  const auto s = plan(wood(Existing::bare), w);
  ASSERT_TRUE(by_hand::has(s.findings, "no-waxed-shellac-under-film")) << by_hand::names(s.findings);
  for (const auto& finding : s.findings) {
    if (finding.rule != "no-waxed-shellac-under-film") continue;
    EXPECT_EQ(finding.severity, Severity::must_not);
    EXPECT_THAT(finding.mend, testing::HasSubstr("dewaxed"));
  }
  EXPECT_EQ(step_with(s, "shellac_waxed"), nullptr) << by_hand::listing(s.steps);
  EXPECT_NE(step_with(s, "shellac"), nullptr) << by_hand::listing(s.steps);
  EXPECT_NE(step_with(s, "urethane"), nullptr) << by_hand::listing(s.steps);
}

TEST_F(Schedules, LacquerOverFreshEnamelGetsABarrier) {
  Wish w = wish(Treatment::paint);
  w.wanted = {"primer_oil", "enamel", "lacquer"};
  const auto s = plan(wood(Existing::bare), w);
  EXPECT_TRUE(by_hand::has(s.findings, "lacquer-lifts-film")) << by_hand::names(s.findings);
  EXPECT_GE(count(s, StepKind::barrier) + count(s, StepKind::seal), 1) << by_hand::listing(s.steps);
  EXPECT_NE(step_with(s, "lacquer"), nullptr);
}

TEST_F(Schedules, ALegalBuildUpIsLeftAsItIs) {
  Wish w = wish(Treatment::clear);
  w.wanted = {"shellac", "clear_water", "clear_water"};
  const auto s = plan(wood(Existing::bare), w);
  for (const auto& finding : s.findings) EXPECT_EQ(finding.severity, Severity::note) << finding.rule;
  EXPECT_EQ(count(s, StepKind::clear), 2);
  EXPECT_EQ(count(s, StepKind::seal), 1);
}

TEST_F(Schedules, NothingOilBasedInsideAClosedCase) {
  Surface s = wood(Existing::bare);
  s.interior = true;
  for (const auto& [treatment, product] : std::vector<std::pair<Treatment, std::string>>{
           {Treatment::clear, "varnish"}, {Treatment::oil, ""}, {Treatment::paint_inside, "enamel"}}) {
    const auto got = plan(s, wish(treatment, product));
    EXPECT_TRUE(by_hand::has(got.findings, "oil-smell-shut-in")) << by_hand::names(got.findings);
    ASSERT_FALSE(got.steps.empty());
    for (const auto& step : got.steps) {
      const auto* p = catalog_.product(step.product);
      if (p != nullptr && step.is_film) {
        EXPECT_FALSE(catalog::is_oil_system(*p)) << step.text;
      }
    }
  }
}

TEST_F(Schedules, TanninWoodIsBlockedUnderWaterbornePaint) {
  Surface s = wood(Existing::bare);
  s.species = "oak";
  for (const Prefer prefer : {Prefer::fastest, Prefer::cheapest}) {
    const auto got = plan(s, wish(Treatment::paint, "paint"), prefer);
    EXPECT_TRUE(step_with(got, "shellac") != nullptr || step_with(got, "primer_oil") != nullptr)
        << by_hand::listing(got.steps);
  }
}

TEST_F(Schedules, SoftPaintsGetATopcoat) {
  for (const char* soft : {"chalk", "milk"}) {
    const auto s = plan(wood(Existing::paint_oil), wish(Treatment::paint, soft));
    ASSERT_FALSE(s.steps.empty());
    const auto kind = s.steps.back().kind;
    EXPECT_TRUE(kind == StepKind::wax || kind == StepKind::clear) << by_hand::listing(s.steps);
  }
  EXPECT_EQ(plan(wood(Existing::bare), wish(Treatment::paint, "paint")).steps.back().kind, StepKind::paint);
}

TEST_F(Schedules, LeadIsTestedFirstAndDrySandingIsFlagged) {
  Surface s = wood(Existing::paint_oil);
  s.lead_possible = true;
  for (const Treatment treatment : {Treatment::clear, Treatment::paint, Treatment::keep}) {
    const auto got = plan(s, wish(treatment));
    ASSERT_FALSE(got.steps.empty());
    EXPECT_EQ(got.steps.front().kind, StepKind::lead_test);
    for (const auto& step : got.steps) {
      if (step.kind == StepKind::sand || step.kind == StepKind::scuff) {
        EXPECT_TRUE(step.dry_sanding);
      }
    }
  }
  EXPECT_GE(first(plan(s, wish(Treatment::clear)), StepKind::strip), 0) << "stripping raises no lead dust";
}

TEST_F(Schedules, StripperIsRinsedOff) {
  Surface s = wood(Existing::varnish);
  s.sandable = false;
  const auto got = plan(s, wish(Treatment::clear));
  const int strip = first(got, StepKind::strip), rinse = first(got, StepKind::neutralize);
  ASSERT_GE(strip, 0);
  EXPECT_EQ(rinse, strip + 1);
  EXPECT_EQ(count(got, StepKind::sand), 0);
}

TEST_F(Schedules, OldGlueIsScrapedAndFabricDryFittedFirst) {
  Surface s;
  s.material = Material::board;
  s.existing = Existing::bare;
  s.old_glue = true;
  const auto got = plan(s, wish(Treatment::fabric));
  const int scrape = first(got, StepKind::scrape_glue), fit = first(got, StepKind::fabric_dry_fit),
            glue = first(got, StepKind::fabric_glue);
  ASSERT_GE(scrape, 0);
  EXPECT_LT(scrape, fit);
  EXPECT_LT(fit, glue);
  EXPECT_EQ(got.steps[static_cast<std::size_t>(glue)].product, "contact");
}

TEST_F(Schedules, MetalIsCleanedScuffedPrimedAndSprayedLightly) {
  Surface s;
  s.material = Material::metal;
  s.existing = Existing::bare_metal;
  const auto got = plan(s, wish(Treatment::metal_spray));
  const int clean = first(got, StepKind::metal_clean), scuff = first(got, StepKind::scuff),
            prime = first(got, StepKind::prime), coat = first(got, StepKind::metal_coat);
  ASSERT_GE(clean, 0) << by_hand::names(got.findings);
  EXPECT_LT(clean, scuff);
  EXPECT_LT(scuff, prime);
  EXPECT_LT(prime, coat);
  EXPECT_EQ(count(got, StepKind::metal_coat), 3);
  for (const auto& step : got.steps) {
    if (step.kind == StepKind::metal_coat) {
      EXPECT_TRUE(step.sprayed);
    }
  }
  EXPECT_EQ(got.steps[static_cast<std::size_t>(prime)].ground, film::Ground::metal);
}

TEST_F(Schedules, ColourIsTriedOnATestBoardFirst) {
  for (const Treatment treatment : {Treatment::paint, Treatment::stain_and_clear}) {
    const auto got = plan(wood(Existing::bare), wish(treatment));
    const int board = first(got, StepKind::test_board);
    ASSERT_GE(board, 0);
    EXPECT_FALSE(got.steps[static_cast<std::size_t>(board)].product.empty());
    EXPECT_FALSE(got.steps[static_cast<std::size_t>(board)].is_film);
  }
  EXPECT_EQ(first(plan(wood(Existing::bare), wish(Treatment::clear)), StepKind::test_board), -1);
}

TEST_F(Schedules, WaxIsWipedOffBeforeAnythingIsSanded) {
  const auto got = plan(wood(Existing::wax), wish(Treatment::clear));
  const int off = std::max(first(got, StepKind::spirit_wipe), first(got, StepKind::strip));
  ASSERT_GE(off, 0);
  EXPECT_LT(off, first(got, StepKind::sand));
}

TEST_F(Schedules, DamageIsRepairedBeforeTheLastSanding) {
  Surface s = wood(Existing::varnish);
  s.damage = {"loose joint", "missing chip", "white rings"};
  const auto got = plan(s, wish(Treatment::clear));
  const int glue = first(got, StepKind::repair), fill = first(got, StepKind::fill);
  ASSERT_GE(glue, 0);
  ASSERT_GE(fill, 0);
  int last_sand = -1;
  for (std::size_t i = 0; i < got.steps.size(); ++i) {
    if (got.steps[i].kind == StepKind::sand) last_sand = static_cast<int>(i);
  }
  EXPECT_LT(fill, last_sand) << by_hand::listing(got.steps);
  EXPECT_LT(glue, last_sand);
}

TEST_F(Schedules, RefusesWhatCannotBe) {
  Surface s;
  s.material = Material::laminate;
  s.existing = Existing::laminate;
  const auto got = plan(s, wish(Treatment::oil));
  EXPECT_TRUE(got.steps.empty());
  ASSERT_FALSE(got.findings.empty());
  EXPECT_TRUE(by_hand::has(got.findings, "nothing-soaks-into-laminate-or-metal")) << by_hand::names(got.findings);
}

TEST_F(Schedules, AnUnknownProductIsNamedAndTheRestPlanned) {
  const auto got = plan(wood(Existing::bare), wish(Treatment::clear, "urethene"));
  EXPECT_TRUE(by_hand::has(got.findings, "unknown-product"));
  EXPECT_FALSE(got.steps.empty());
}

TEST_F(Schedules, FastestIsNeverSlowerNorCheapestDearerInHandsAndGoods) {
  const auto bench = [](const Schedule& s) {
    double minutes = 0;
    for (const auto& step : s.steps) minutes += step.minutes_fixed + step.minutes_per_m2;
    return s.cost_per_m2 + minutes / 60 * 4500;
  };
  for (const Treatment treatment : {Treatment::clear, Treatment::paint, Treatment::stain_and_clear, Treatment::oil}) {
    for (const Existing existing : {Existing::bare, Existing::varnish, Existing::unknown}) {
      const auto fast = plan(wood(existing), wish(treatment), Prefer::fastest);
      const auto cheap = plan(wood(existing), wish(treatment), Prefer::cheapest);
      EXPECT_LE(fast.hours_nominal, cheap.hours_nominal + 0.5);
      EXPECT_LE(bench(cheap), bench(fast) + 50);
    }
  }
}

TEST_F(Schedules, CoatsAskedForAreCounted) {
  Wish w = wish(Treatment::clear, "clear_water");
  w.coats = 5;
  EXPECT_EQ(count(plan(wood(Existing::bare), w), StepKind::clear), 5);
}

TEST_F(Schedules, NoneIsNothingAndKeepIsCleaned) {
  EXPECT_TRUE(plan(wood(Existing::varnish), wish(Treatment::none)).steps.empty());
  const auto keep = plan(wood(Existing::varnish), wish(Treatment::keep));
  ASSERT_EQ(keep.steps.size(), 1u);
  EXPECT_EQ(keep.steps.front().kind, StepKind::wash);
}

}  // namespace
}  // namespace tackcloth::finish
