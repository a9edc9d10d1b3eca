#include "sheet/rows.h"

#include <algorithm>
#include <cctype>

#include "sheet/words.h"
#include "units/quantity.h"

namespace tackcloth::sheet {
namespace {

using finish::StepKind;
using plan::PlannedStep;

constexpr Minutes kAtOnce{15};

bool rests(const PlannedStep& step) { return step.ready_p90 > step.end; }

bool rubbing(StepKind kind) { return kind == StepKind::sand || kind == StepKind::dust_off || kind == StepKind::scuff; }

bool follows_at_once(const PlannedStep& a, const PlannedStep& b) {
  return b.start <= a.end + kAtOnce && b.start >= a.start && day_of(a.start) == day_of(b.end) && a.done == b.done &&
         a.people == b.people && a.ready_p90 <= b.start + kAtOnce;
}

bool same_work(const PlannedStep& a, const PlannedStep& b) {
  return a.kind == b.kind && a.text == b.text && a.product == b.product && a.method == b.method &&
         std::abs(a.wet_um - b.wet_um) < 0.5 && b.start <= a.end + kAtOnce && b.start >= a.start && a.done == b.done &&
         day_of(a.start) == day_of(b.end) && a.people == b.people;
}

// With no-break spaces: a number stays with its unit.
std::string unbroken(const std::string& text) {
  std::string out;
  for (const char c : text) out += c == ' ' ? std::string("\u00a0") : std::string(1, c);
  return out;
}

std::string with_text(const PlannedStep& step, units::System system) {
  std::string out = step.product_name;
  const auto add = [&](const std::string& more) { out += (out.empty() ? "" : ", ") + more; };
  if (!step.product_name.empty() && !step.method.empty()) add(step.method);
  if (step.wet_um > 0) add(unbroken(units::format_wet_film(step.wet_um, system) + " wet"));
  if (step.people > 1) add(std::to_string(step.people) + " people");
  return out;
}

// "P1-03" and "P1-05" -> "P1-03 to 05"
std::string id_range(const std::string& first, const std::string& last) {
  if (first == last) return first;
  const std::size_t dash = last.rfind('-');
  const bool same = dash != std::string::npos && first.compare(0, dash + 1, last, 0, dash + 1) == 0;
  return first + " to " + (same ? last.substr(dash + 1) : last);
}

// One line for a run of sanding: every grit, what the first says after its grit, dusting off when it is part of it.
std::string rubbing_text(const std::vector<const PlannedStep*>& run) {
  std::vector<int> grits;
  bool dusted = false;
  const PlannedStep* first = nullptr;
  for (const PlannedStep* step : run) {
    dusted = dusted || step->kind == StepKind::dust_off;
    if (step->grit <= 0) continue;
    if (!first) first = step;
    if (std::find(grits.begin(), grits.end(), step->grit) == grits.end()) grits.push_back(step->grit);
  }
  if (!first || grits.size() + (dusted ? 1 : 0) < 2) {
    std::string out;
    for (const PlannedStep* step : run)
      if (out.find(step->text) == std::string::npos) out += (out.empty() ? "" : "; ") + step->text;
    return out;
  }
  std::string all;
  for (const int grit : grits) all += (all.empty() ? "P" : ", P") + std::to_string(grit);
  std::string out = first->text;
  const std::string own = "P" + std::to_string(first->grit);
  const std::size_t at = out.find(own);
  if (at == std::string::npos) {
    out += ": " + all;
  } else {
    out.replace(at, own.size(), all);
  }
  return out + (dusted ? (grits.size() > 1 ? "; dust off after each" : "; dust off") : "");
}

Row row_of(const std::vector<const PlannedStep*>& run, units::System system) {
  const PlannedStep& first = *run.front();
  const PlannedStep& last = *run.back();
  Row row;
  row.ids = id_range(first.id, last.id);
  row.what = run.size() > 1 && rubbing(first.kind) ? rubbing_text(run) : first.text;
  row.product = first.product_name;
  row.with = with_text(first, system);
  row.by_hand = last.ready_by_hand;
  row.start = first.start;
  row.people = first.people;
  row.done = first.done;
  row.end = first.end;
  row.ready_p50 = first.ready_p50;
  row.ready_p90 = first.ready_p90;
  for (const PlannedStep* step : run) {
    row.end = std::max(row.end, step->end);
    row.ready_p50 = std::max(row.ready_p50, step->ready_p50);
    row.ready_p90 = std::max(row.ready_p90, step->ready_p90);
    row.rests = row.rests || rests(*step);
    if (step->recoat_closes)
      row.closes = row.closes ? std::min(*row.closes, *step->recoat_closes) : *step->recoat_closes;
  }
  if (run.size() == 1 && first.turns.size() > 1) row.turns = first.turns;
  return row;
}

}  // namespace

std::vector<Row> rows_of(const std::vector<PlannedStep>& schedule, units::System system) {
  std::vector<const PlannedStep*> steps;
  for (const PlannedStep& step : schedule) steps.push_back(&step);
  std::stable_sort(steps.begin(), steps.end(), [](const auto* a, const auto* b) { return a->start < b->start; });
  std::vector<Row> rows;
  for (std::size_t i = 0; i < steps.size();) {
    std::vector<const PlannedStep*> run{steps[i]};
    while (++i < steps.size()) {
      const PlannedStep& last = *run.back();
      const PlannedStep& next = *steps[i];
      const bool one_go =
          rubbing(last.kind) && rubbing(next.kind) && last.zones == next.zones && follows_at_once(last, next);
      const bool more_of_it = same_work(*run.front(), last) && same_work(last, next);
      if (!one_go && !more_of_it) break;
      run.push_back(&next);
    }
    rows.push_back(row_of(run, system));
  }
  return rows;
}

std::vector<std::string> materials_of(const std::vector<PlannedStep>& schedule, units::System system) {
  struct Use {
    std::string name;
    double litres = 0;
  };
  std::vector<Use> uses;
  std::vector<int> grits;
  for (const PlannedStep& step : schedule) {
    if (step.done) continue;
    if (step.grit > 0) grits.push_back(step.grit);
    if (step.product.empty()) continue;
    const std::string& name = step.product_name.empty() ? step.product : step.product_name;
    auto use = std::find_if(uses.begin(), uses.end(), [&](const Use& u) { return u.name == name; });
    if (use == uses.end()) use = uses.insert(use, Use{name, 0});
    use->litres += step.area_m2 * step.wet_um / 1000;  // m² * µm = 1e-3 l
  }
  std::vector<std::string> out;
  for (const Use& use : uses) {
    std::string line = use.name;
    if (use.litres > 0) line += ": " + units::format_volume(use.litres, system) + " on the work";
    out.push_back(line);
  }
  std::sort(grits.begin(), grits.end());
  grits.erase(std::unique(grits.begin(), grits.end()), grits.end());
  std::string papers;
  for (const int grit : grits) papers += (papers.empty() ? "Abrasive: P" : ", P") + std::to_string(grit);
  if (!papers.empty()) out.push_back(papers);
  return out;
}

std::vector<Note> notes_of(const std::vector<PlannedStep>& schedule) {
  std::vector<Note> notes;
  for (const PlannedStep& step : schedule) {
    if (step.done) continue;
    for (const std::string& text : step.notes) {
      const auto same = std::find_if(notes.begin(), notes.end(), [&](const Note& n) { return n.text == text; });
      if (same == notes.end()) {
        notes.push_back({step.id, text});
      } else if (same->ids.find(step.id) == std::string::npos) {
        same->ids += ", " + step.id;
      }
    }
  }
  return notes;
}

}  // namespace tackcloth::sheet
