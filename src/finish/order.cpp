#include "finish/order.h"

#include <algorithm>
#include <set>

#include "units/quantity.h"

namespace tackcloth::finish {

using film::Need;

catalog::Finding finding_of(const Rule& rule) {
  return {rule.id, rule.severity, rule.reason, rule.mend, rule.source, {}, {}};
}

bool has_must_not(const std::vector<catalog::Finding>& findings) {
  return std::any_of(findings.begin(), findings.end(),
                     [](const catalog::Finding& finding) { return finding.severity == catalog::Severity::must_not; });
}

std::vector<catalog::Finding> broken(const Scene& scene, const std::vector<Compiled>& rules,
                                     const std::vector<Step>& steps) {
  std::vector<catalog::Finding> findings;
  if (steps.empty()) return findings;
  std::set<std::string> seen;
  const auto ask = [&](const Facts& facts) {
    for (const auto& rule : rules) {
      if (speaks(rule, facts) && seen.insert(rule.rule->id).second) findings.push_back(finding_of(*rule.rule));
    }
  };
  State state = start_state(scene);
  for (const auto& step : steps) {
    const Move move = move_of(scene, step);
    if (!step.product.empty() && move.product < 0 && seen.insert("unknown-product:" + step.product).second) {
      findings.push_back({"unknown-product",
                          catalog::Severity::must_not,
                          "'" + step.product + "' is not in the catalogue.",
                          "Use a product id of the catalogue.",
                          "docs/catalog.md",
                          {},
                          {}});
    }
    ask(facts_of(scene, state, move));
    state = after_move(scene, state, move);
  }
  ask(facts_at_end(scene, state));
  return findings;
}

namespace {

std::set<std::string> ids(const std::vector<catalog::Finding>& findings) {
  std::set<std::string> out;
  for (const auto& finding : findings) out.insert(finding.rule);
  return out;
}

// Rules that are broken when `changed` takes the place of `steps`, and were not before.
std::vector<catalog::Finding> newly_broken(const Scene& scene, const std::vector<Compiled>& rules,
                                           const std::set<std::string>& before, const std::vector<Step>& changed) {
  auto now = broken(scene, rules, changed);
  std::erase_if(now, [&](const catalog::Finding& finding) { return before.contains(finding.rule); });
  return now;
}

std::string reason_of_coat(const Step& step, const catalog::Product& product) {
  switch (step.kind) {
    case StepKind::stain:
      return "The colour asked for goes into bare wood, before any film.";
    case StepKind::grain_fill:
      return "Open pores are filled so that the finish lies flat.";
    case StepKind::seal:
      return "Seals the wood so that the coats over it lie evenly.";
    case StepKind::prime:
      return "Gives the paint something to hold on to.";
    case StepKind::oil:
      return "The finish asked for: it soaks in, a thin coat at a time.";
    case StepKind::wax:
      return "The finish asked for, or the wear layer over a soft paint.";
    default:
      return "The finish asked for; " + product.name + " takes " + std::to_string(std::max(1, product.coats_usual)) +
             (product.coats_usual > 1 ? " coats as a rule." : " coat as a rule.");
  }
}

std::string reason_of_work(StepKind kind) {
  switch (kind) {
    case StepKind::repair:
    case StepKind::fill:
      return "Damage is made good before anything covers it.";
    case StepKind::strip:
      return "The finish asked for needs bare wood.";
    case StepKind::sand:
      return "Each grit takes out the scratches of the one before.";
    case StepKind::spirit_wipe:
      return "Shows scratches and glue spots while they can still be sanded out.";
    case StepKind::fabric_glue:
      return "The fabric asked for.";
    case StepKind::wash:
      return "Grime goes first.";
    case StepKind::dust_off:
      return "Dust under a coat stays in it.";
    case StepKind::scuff:
      return "Gives the next coat something to hold on to.";
    default:
      return "Preparation for what follows.";
  }
}

}  // namespace

std::vector<Step> steps_of(const Scene& scene, const Goal& goal, const std::vector<Compiled>& rules, const Path& path) {
  (void)goal;
  std::vector<Step> steps;
  State state = start_state(scene);
  int film = -1;         // index of the step that laid the newest film
  bool abraded = false;  // scuffed since
  const auto need = [&](int needed) {
    if (needed < 0 || film < 0 || state.film < 0) return;
    const auto& top = scene.catalog->products[static_cast<std::size_t>(state.film)];
    state.waited = static_cast<std::int8_t>(longer(top, state.waited, needed));
    steps[static_cast<std::size_t>(film)].needs_before_next = static_cast<Need>(state.waited);
  };
  // Coats in one run: same product with nothing but scuffing and dusting between.
  const auto run = [&](std::size_t at) {
    int before = 0, after = 0;
    const auto same = [&](const Move& move) { return lays_film(move.kind) && move.product == path.moves[at].product; };
    for (std::size_t i = at; i-- > 0;) {
      if (same(path.moves[i]))
        ++before;
      else if (lays_film(path.moves[i].kind))
        break;
    }
    for (std::size_t i = at + 1; i < path.moves.size(); ++i) {
      if (same(path.moves[i]))
        ++after;
      else if (lays_film(path.moves[i].kind))
        break;
    }
    return std::pair(before + 1, before + 1 + after);
  };
  const auto colour = std::find_if(path.moves.begin(), path.moves.end(), [](const Move& move) {
    return move.kind == StepKind::stain || move.kind == StepKind::paint || move.kind == StepKind::metal_coat;
  });
  for (std::size_t i = 0; i < path.moves.size(); ++i) {
    Move move = path.moves[i];
    if (move.kind == StepKind::test_board && colour != path.moves.end()) move.product = colour->product;
    need(needed_before(scene, state, move));
    const auto [coat, coats] = run(i);
    steps.push_back(worded(scene, state, move, coat, coats));
    if (lays_film(move.kind)) {
      if (film >= 0 && !abraded) {
        const auto* below = scene.catalog->product(steps[static_cast<std::size_t>(film)].product);
        steps[static_cast<std::size_t>(film)].window_closes = below != nullptr && below->label.recoat_max_h.has_value();
      }
      film = static_cast<int>(steps.size()) - 1;
      abraded = false;
    } else if (move.kind == StepKind::scuff) {
      abraded = true;
    }
    state = after_move(scene, state, move);
  }
  Move end;
  end.kind = StepKind::put_back;
  need(needed_before(scene, state, end));
  if (film >= 0 && state.film >= 0) {
    const auto& top = scene.catalog->products[static_cast<std::size_t>(state.film)];
    steps[static_cast<std::size_t>(film)].notes.push_back("Handle with care until it has cured: about " +
                                                          units::format_hours(top.label.use_h) +
                                                          " at ordinary conditions before full use.");
  }

  // Why each step is there: the rules that break when it is left out, or its wait cut short.
  const auto before = ids(broken(scene, rules, steps));
  for (std::size_t i = 0; i < steps.size(); ++i) {
    Step& step = steps[i];
    const bool coat = lays_film(step.kind);
    const bool layer =
        coat && step.kind != StepKind::barrier && step.kind != StepKind::seal && step.kind != StepKind::prime;
    std::vector<catalog::Finding> why;
    if (!layer) {
      auto without = steps;
      without.erase(without.begin() + static_cast<std::ptrdiff_t>(i));
      why = newly_broken(scene, rules, before, without);
    }
    if (coat && why.empty()) {
      step.reason = reason_of_coat(step, *scene.catalog->product(step.product));
    } else if (!why.empty()) {
      step.reason = why.front().reason;
    } else {
      step.reason = reason_of_work(step.kind);
    }
    const bool rests = step.rest_by_climate || step.rest_h > 0;
    if (step.is_film || rests) {
      auto hurried = steps;
      hurried[i].needs_before_next = Need::touch;
      hurried[i].rest_by_climate = false;
      hurried[i].rest_h = 0;
      for (auto& finding : newly_broken(scene, rules, before, hurried)) {
        if (coat && step.needs_before_next == Need::recoat_other) step.notes.push_back("Wait: " + finding.reason);
        why.push_back(std::move(finding));
      }
    }
    for (const auto& finding : why) {
      if (std::find(step.rules.begin(), step.rules.end(), finding.rule) == step.rules.end()) {
        step.rules.push_back(finding.rule);
      }
    }
  }
  return steps;
}

}  // namespace tackcloth::finish
