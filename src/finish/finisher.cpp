#include <algorithm>
#include <cmath>

#include "finish/goal.h"
#include "finish/order.h"

namespace tackcloth::finish {

using catalog::Finding;
using catalog::Severity;
using film::Need;
using piece::Treatment;

namespace {

void add_new(std::vector<Finding>& to, const std::vector<Finding>& from) {
  for (const auto& finding : from) {
    const bool known = std::any_of(to.begin(), to.end(), [&](const Finding& f) { return f.rule == finding.rule; });
    if (!known) to.push_back(finding);
  }
}

// An order just as it was listed: every film left only until its own kind could follow.
std::vector<Step> hurried(std::vector<Step> steps) {
  for (std::size_t i = 0; i + 1 < steps.size(); ++i) {
    auto& need = steps[i].needs_before_next;
    if (lays_film(steps[i].kind) && (need == Need::recoat_other || need == Need::use)) need = Need::recoat_same;
  }
  return steps;
}

std::string whole_um(double um) { return std::to_string(static_cast<long>(std::lround(um))) + " µm"; }

// What sanding from the old finish down would take, against what the veneer can give.
void veneer_finding(const Scene& scene, const Wish& wish, const std::vector<Step>& steps,
                    const std::vector<Rule>& rules, std::vector<Finding>& findings) {
  const bool sands = wish.treatment != Treatment::keep && wish.treatment != Treatment::fabric &&
                     wish.treatment != Treatment::none && scene.woody && scene.from.sandable;
  if (!sands || !std::isfinite(scene.budget_um)) return;
  const auto sum = [&](std::initializer_list<int> grits) {
    double um = 0;
    for (int grit : grits) um += removal_um(*scene.catalog, grit);
    return um;
  };
  const bool finished = start_state(scene).old_finish;
  const double whole = finished && scene.from.stubborn ? sum({100, 120, 180, 220, 320}) : sum({120, 220, 320});
  if (whole <= scene.budget_um) return;
  const auto has = [&](StepKind kind) {
    return std::any_of(steps.begin(), steps.end(), [&](const Step& step) { return step.kind == kind; });
  };
  Finding finding;
  finding.rule = "veneer-budget";
  finding.severity = Severity::caution;
  finding.reason = "Sanding this down would take about " + whole_um(whole) + " and the veneer can give " +
                   whole_um(std::max(0.0, scene.budget_um)) + ".";
  if (has(StepKind::strip) && has(StepKind::sand)) {
    finding.mend = "Strip the old finish instead of sanding it off; only fine grits follow. The steps do so.";
  } else if (has(StepKind::strip)) {
    finding.mend = "Strip the old finish; the veneer bears no sanding, at most a hand scuff. The steps do so.";
  } else if (has(StepKind::sand)) {
    finding.mend = "Only the fine grits are used. Stop when the scratch is even.";
  } else {
    finding.mend = "Strip if the old finish has to go; it is only scuffed here.";
  }
  const auto rule = std::find_if(rules.begin(), rules.end(), [](const Rule& r) { return r.id == "veneer-budget"; });
  finding.source = rule != rules.end() ? rule->source : "common practice, no source";
  add_new(findings, {finding});
}

}  // namespace

Finisher::Finisher(const catalog::Catalog& catalog, const film::Model& model, std::vector<Rule> rules)
    : catalog_(catalog),
      model_(model),
      rules_(std::move(rules)),
      hours_(std::make_shared<const NominalHours>(catalog_, model_)) {}

std::vector<Finding> Finisher::check(const Surface& from, const std::vector<Step>& steps) const {
  return broken(make_scene(catalog_, from), compile(rules_), steps);
}

Schedule Finisher::schedule(const Surface& from, const Wish& wish, Prefer prefer) const {
  Schedule out;
  if (wish.treatment == Treatment::none) return out;
  const Scene scene = make_scene(catalog_, from);
  const auto rules = compile(rules_);
  const auto look = [&](const Goal& goal, bool may_break) {
    return find_path({scene, goal, rules, *hours_, prefer, may_break});
  };

  Asked plain = asked(scene, wish, false);
  out.findings = plain.findings;
  // A whole build-up is checked as it was listed, before anything mends it.
  if (!wish.wanted.empty() && plain.by_name) {
    Goal listed = plain.goal;
    listed.plain = true;
    if (const auto path = look(listed, true)) {
      add_new(out.findings, broken(scene, rules, hurried(steps_of(scene, listed, rules, *path))));
    }
  }
  Goal goal = plain.goal;
  auto path = look(goal, false);
  if (!path) {
    // Not allowed as asked: say which rules stand against it, then take the nearest that is allowed.
    if (const auto refused = look(goal, true)) {
      auto against = broken(scene, rules, steps_of(scene, goal, rules, *refused));
      std::erase_if(against, [](const Finding& f) { return f.severity != Severity::must_not; });
      add_new(out.findings, against);
    }
    if (plain.by_name) {
      goal = asked(scene, wish, true).goal;
      path = look(goal, false);
    }
    const bool soaks = wish.treatment == Treatment::oil || wish.treatment == Treatment::wax ||
                       wish.treatment == Treatment::clear || wish.treatment == Treatment::stain_and_clear;
    if (!path && from.interior && soaks) {
      Wish instead = wish;
      instead.product.clear();
      instead.wanted.clear();
      instead.treatment = Treatment::clear;
      goal = asked(scene, instead, false).goal;
      path = look(goal, false);
    }
  }
  if (path) {
    out.steps = steps_of(scene, goal, rules, *path);
    out.hours_nominal = path->hours;
    out.cost_per_m2 = path->money;
    add_new(out.findings, broken(scene, rules, out.steps));
    veneer_finding(scene, wish, out.steps, rules_, out.findings);
  } else if (!has_must_not(out.findings)) {
    out.findings.push_back(
        {"no-order-found",
         Severity::must_not,
         "No order of steps leads from this surface to what is asked with the products of the catalogue.",
         "Choose another treatment for this zone, or add the product that is missing.",
         "search over the rules of the catalogue",
         {},
         {}});
  }
  return out;
}

std::string to_text(StepKind kind) { return vocabulary(Word::step)[static_cast<std::size_t>(kind)]; }

}  // namespace tackcloth::finish
