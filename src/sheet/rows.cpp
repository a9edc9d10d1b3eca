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

std::string with_text(const PlannedStep& step, units::System system, const Tongue& tongue) {
  std::string out = tongue.word(step.product_name);
  const auto add = [&](const std::string& more) { out += (out.empty() ? "" : ", ") + more; };
  if (!step.product_name.empty() && !step.method.empty()) add(tongue.word(step.method));
  if (step.wet_um > 0)
    add(unbroken(tongue.fill("{n} wet", {tongue.number(units::format_wet_film(step.wet_um, system))})));
  if (step.people > 1) add(tongue.fill("{n} people", {std::to_string(step.people)}));
  return out;
}

// "P1-03" and "P1-05" -> "P1-03 to 05"
std::string id_range(const std::string& first, const std::string& last, const Tongue& tongue) {
  if (first == last) return first;
  const std::size_t dash = last.rfind('-');
  const bool same = dash != std::string::npos && first.compare(0, dash + 1, last, 0, dash + 1) == 0;
  return tongue.fill("{first} to {last}", {first, same ? last.substr(dash + 1) : last});
}

// One line for a run of sanding: every grit, what the first says after its grit, dusting off when it is part of it.
std::string rubbing_text(const std::vector<const PlannedStep*>& run, const Tongue& tongue) {
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
      if (const std::string said = tongue.say(step->text); out.find(said) == std::string::npos)
        out += (out.empty() ? "" : "; ") + said;
    return out;
  }
  std::string all;
  for (const int grit : grits) all += (all.empty() ? "P" : ", P") + std::to_string(grit);
  std::string out = tongue.say(first->text);
  const std::string own = "P" + std::to_string(first->grit);
  const std::size_t at = out.find(own);
  if (at == std::string::npos) {
    out += ": " + all;
  } else {
    out.replace(at, own.size(), all);
  }
  if (!dusted) return out;
  return out + "; " + tongue.fill(grits.size() > 1 ? "dust off after each" : "dust off");
}

Row row_of(const std::vector<const PlannedStep*>& run, units::System system, const Tongue& tongue) {
  const PlannedStep& first = *run.front();
  const PlannedStep& last = *run.back();
  Row row;
  row.ids = id_range(first.id, last.id, tongue);
  row.what = run.size() > 1 && rubbing(first.kind) ? rubbing_text(run, tongue) : tongue.say(first.text);
  row.product = tongue.word(first.product_name);
  row.with = with_text(first, system, tongue);
  row.by_hand = tongue.say(last.ready_by_hand);
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

std::vector<Row> rows_of(const std::vector<PlannedStep>& schedule, units::System system, const Tongue& tongue) {
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
    rows.push_back(row_of(run, system, tongue));
  }
  return rows;
}

std::vector<std::string> materials_of(const std::vector<PlannedStep>& schedule, units::System system,
                                      const Tongue& tongue) {
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
    const std::string name = tongue.word(use.name);
    out.push_back(use.litres > 0 ? tongue.fill("{word}: {n} on the work",
                                               {name, tongue.number(units::format_volume(use.litres, system))})
                                 : name);
  }
  std::sort(grits.begin(), grits.end());
  grits.erase(std::unique(grits.begin(), grits.end()), grits.end());
  std::string papers;
  for (const int grit : grits) papers += (papers.empty() ? "P" : ", P") + std::to_string(grit);
  if (!papers.empty()) out.push_back(tongue.fill("Abrasive: {grits}", {papers}));
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
