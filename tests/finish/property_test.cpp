// Whatever the surface and the wish: what is scheduled passes the check, and nothing is refused in silence.
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "by_hand.h"

namespace tackcloth::finish {
namespace {

using catalog::Severity;
using piece::Existing;
using piece::Material;
using piece::Treatment;

void hold(const Finisher& finisher, const Surface& from, const Wish& wish, Prefer prefer) {
  const auto schedule = finisher.schedule(from, wish, prefer);
  if (wish.treatment == Treatment::none) {
    EXPECT_TRUE(schedule.steps.empty());
    return;
  }
  if (schedule.steps.empty()) {
    bool refused = false;
    for (const auto& finding : schedule.findings) {
      EXPECT_FALSE(finding.reason.empty());
      EXPECT_FALSE(finding.mend.empty());
      refused = refused || finding.severity == Severity::must_not;
    }
    EXPECT_TRUE(refused) << "no steps and no must-not";
    return;
  }
  for (const auto& finding : finisher.check(from, schedule.steps)) {
    EXPECT_NE(finding.severity, Severity::must_not) << finding.rule << by_hand::listing(schedule.steps);
  }
  double removed = 0;
  bool grime = from.grimy && from.material != Material::fabric;
  for (const auto& step : schedule.steps) {
    removed += step.removes_um;
    EXPECT_TRUE(std::isfinite(step.rest_h) && step.rest_h >= 0);
    EXPECT_FALSE(step.text.empty());
    EXPECT_FALSE(step.reason.empty()) << step.text;
    if (step.kind == StepKind::wash || step.kind == StepKind::degrease) grime = false;
    if (step.kind == StepKind::sand || step.kind == StepKind::scuff) {
      EXPECT_FALSE(grime) << by_hand::listing(schedule.steps);
      EXPECT_TRUE(step.dry_sanding);
    }
  }
  EXPECT_LE(removed, from.sanding_budget_um);
  if (from.lead_possible) {
    EXPECT_EQ(schedule.steps.front().kind, StepKind::lead_test);
  }
  EXPECT_TRUE(std::isfinite(schedule.hours_nominal) && schedule.hours_nominal >= 0);
}

TEST(FinishProperty, EverySurfaceAndTreatmentWithFlagsDrawn) {
  const auto catalog = by_hand::small_catalog();
  const film::Model film(catalog);
  const Finisher finisher(catalog, film, by_hand::the_rules());
  ASSERT_FALSE(finisher.rules().empty());
  std::mt19937 random(20260304);
  const auto draw = [&](unsigned n) { return static_cast<unsigned>(random() % n); };
  const std::vector<double> budgets = {std::numeric_limits<double>::infinity(), 250, 45, 25, 8, 0};
  const std::vector<std::vector<std::string>> damages = {
      {}, {}, {"white rings"}, {"loose joint"}, {"missing chip", "greasy"}, {"damp"}, {"open grain"}};
  for (int material = 0; material <= static_cast<int>(Material::board); ++material) {
    for (int existing = 0; existing <= static_cast<int>(Existing::bare_metal); ++existing) {
      for (int treatment = 0; treatment <= static_cast<int>(Treatment::none); ++treatment) {
        Surface s;
        s.material = static_cast<Material>(material);
        s.existing = static_cast<Existing>(existing);
        const bool wood = s.material == Material::solid_wood || s.material == Material::veneer;
        if (wood) s.species = draw(2) != 0 ? "oak" : "maple";
        const unsigned flags = draw(64);
        s.grimy = (flags & 1) != 0;
        s.old_glue = (flags & 2) != 0;
        s.stubborn = (flags & 4) != 0;
        s.sandable = (flags & 8) != 0 || (flags & 1) != 0;
        s.lead_possible = (flags & 16) != 0;
        s.interior = (flags & 32) != 0;
        if (s.material == Material::veneer) s.sanding_budget_um = budgets[draw(static_cast<unsigned>(budgets.size()))];
        s.damage = damages[draw(static_cast<unsigned>(damages.size()))];
        Wish w;
        w.treatment = static_cast<Treatment>(treatment);
        SCOPED_TRACE(piece::to_text(s.material) + " / " + piece::to_text(s.existing) + " / " +
                     piece::to_text(w.treatment) + " / flags " + std::to_string(flags) + " / budget " +
                     std::to_string(s.sanding_budget_um) + (s.damage.empty() ? "" : " / " + s.damage.front()));
        hold(finisher, s, w, draw(2) != 0 ? Prefer::fastest : Prefer::cheapest);
      }
    }
  }
}

TEST(FinishProperty, AnyProductAskedForAndAnyBuildUp) {
  const auto catalog = by_hand::small_catalog();
  const film::Model film(catalog);
  const Finisher finisher(catalog, film, by_hand::the_rules());
  std::mt19937 random(7);
  const auto draw = [&](std::size_t n) { return static_cast<std::size_t>(random() % n); };
  for (int i = 0; i < 150; ++i) {
    Surface s;
    s.species = draw(2) != 0 ? "oak" : "maple";
    s.existing = static_cast<Existing>(draw(9));
    s.interior = draw(4) == 0;
    Wish w;
    w.treatment = static_cast<Treatment>(1 + draw(4));
    if (draw(2) == 0) {
      w.product = catalog.products[draw(catalog.products.size())].id;
    } else {
      for (std::size_t k = 0; k < 1 + draw(3); ++k)
        w.wanted.push_back(catalog.products[draw(catalog.products.size())].id);
    }
    std::string asked = w.product;
    for (const auto& id : w.wanted) asked += " " + id;
    SCOPED_TRACE(piece::to_text(s.existing) + " / " + piece::to_text(w.treatment) + " / " + asked);
    hold(finisher, s, w, Prefer::fastest);
  }
}

}  // namespace
}  // namespace tackcloth::finish
