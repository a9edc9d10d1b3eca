#include "plan/route.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include "climate/series.h"
#include "plan/zone_groups.h"

namespace tackcloth::plan {

using finish::Step;
using finish::StepKind;

namespace {

// Steps from the first of these on belong to the coats; what comes before is preparation.
bool is_coat_phase(StepKind kind) {
  switch (kind) {
    case StepKind::stain:
    case StepKind::barrier:
    case StepKind::seal:
    case StepKind::prime:
    case StepKind::paint:
    case StepKind::clear:
    case StepKind::oil:
    case StepKind::wax:
    case StepKind::metal_coat:
    case StepKind::fabric_dry_fit:
    case StepKind::fabric_glue:
      return true;
    default:
      return false;
  }
}

using StepKey = std::tuple<int, std::string, int, int, double, int>;
StepKey key_of(const Step& step) {
  return {static_cast<int>(step.kind),
          step.product,
          static_cast<int>(step.method),
          step.grit,
          step.wet_um,
          static_cast<int>(step.needs_before_next)};
}

Wait wait_after(const Step& step) {
  if (step.is_film) return Wait::film;
  if (step.rest_by_climate) return Wait::climate;
  return step.rest_h > 0 ? Wait::rest : Wait::order;
}

After after_task(const Task& task, int index) {
  return {index, wait_after(task.step), task.step.needs_before_next, task.step.window_closes};
}

// A run of coats shared by every zone group whose coats are the same.
struct CoatRun {
  std::vector<Step> steps;
  std::vector<StepKey> key;
  std::string color;
  std::vector<const ZoneGroup*> groups;
  std::vector<int> prep_ends;  // last preparation task of each group
  std::vector<Step> boards;    // test boards, made beside the preparation and looked at before the first coat
  int first = -1, last = -1;   // tasks
  double tape_ready_h = 0;     // P50 of its last film at 20 °C and 50 % RH
  bool fabric = false;
};

class Router {
 public:
  Router(const job::Job& job, int index, const catalog::Catalog& catalog, const film::Model& film,
         const finish::Finisher& finisher, finish::Prefer prefer)
      : order_(job.pieces[static_cast<std::size_t>(index)]),
        index_(index),
        catalog_(catalog),
        film_(film),
        finisher_(finisher),
        prefer_(prefer) {}

  Route build(bool lead_cleared);

 private:
  Task& add(Step step, const std::vector<std::string>& zones, double area_m2, film::Lie lie);
  Step piece_step(StepKind kind, const char* pace, std::string text, std::string reason) const;
  int add_prep(const ZoneGroup& group, const std::vector<Step>& steps, std::size_t count, int start);
  void add_runs(int start);
  bool share_part(const CoatRun& a, const CoatRun& b) const;
  double shared_tape_m(const CoatRun& a, const CoatRun& b) const;
  int people_for(StepKind kind) const;
  double total_area() const;

  const job::PieceOrder& order_;
  const int index_;
  const catalog::Catalog& catalog_;
  const film::Model& film_;
  const finish::Finisher& finisher_;
  const finish::Prefer prefer_;
  std::vector<ZoneGroup> groups_;
  std::vector<CoatRun> runs_;
  std::map<std::pair<int, StepKey>, int> prep_tree_;  // (parent task, step) -> task: shared preparation is done once
  Route route_;
};

Task& Router::add(Step step, const std::vector<std::string>& zones, double area_m2, film::Lie lie) {
  Task task;
  task.piece = index_;
  task.zones = zones;
  task.people = people_for(step.kind);
  task.minutes = step.minutes_fixed + step.minutes_per_m2 * area_m2;
  task.area_m2 = area_m2;
  task.lie = lie;
  task.step = std::move(step);
  const std::size_t number = route_.tasks.size() + 1;
  task.id = order_.piece.id + (number < 10 ? "-0" : "-") + std::to_string(number);
  route_.tasks.push_back(std::move(task));
  return route_.tasks.back();
}

int Router::people_for(StepKind kind) const {
  const auto& words = order_.piece.two_person_steps;
  const auto listed = [&](const std::string& word) {
    return std::find(words.begin(), words.end(), word) != words.end();
  };
  if (listed(finish::to_text(kind))) return 2;
  switch (kind) {
    case StepKind::take_apart:
      return listed("take_apart") ? 2 : 1;
    case StepKind::put_back:
      return listed("put_back") ? 2 : 1;
    case StepKind::take_in:
    case StepKind::hand_over:
      return listed("carry") ? 2 : 1;
    default:
      return 1;
  }
}

double Router::total_area() const {
  double sum = 0;
  for (const ZoneGroup& group : groups_) sum += group.area_m2;
  return sum;
}

Step Router::piece_step(StepKind kind, const char* pace, std::string text, std::string reason) const {
  Step step;
  step.kind = kind;
  step.text = std::move(text);
  step.reason = std::move(reason);
  if (const catalog::Pace* p = catalog_.pace(pace)) {
    step.minutes_fixed = p->minutes_fixed;
    step.minutes_per_m2 = p->minutes_per_m2;
  }
  return step;
}

int Router::add_prep(const ZoneGroup& group, const std::vector<Step>& steps, std::size_t count, int start) {
  int parent = start;
  for (std::size_t i = 0; i < count; ++i) {
    const auto key = std::make_pair(parent, key_of(steps[i]));
    if (const auto found = prep_tree_.find(key); found != prep_tree_.end()) {
      Task& shared = route_.tasks[static_cast<std::size_t>(found->second)];
      shared.zones.insert(shared.zones.end(), group.zones.begin(), group.zones.end());
      shared.area_m2 += group.area_m2;
      shared.minutes += shared.step.minutes_per_m2 * group.area_m2;
      if (group.lie == film::Lie::vertical) shared.lie = film::Lie::vertical;
      parent = found->second;
      continue;
    }
    const After link = after_task(route_.tasks[static_cast<std::size_t>(parent)], parent);
    add(steps[i], group.zones, group.area_m2, group.lie).after.push_back(link);
    parent = static_cast<int>(route_.tasks.size()) - 1;
    prep_tree_.emplace(key, parent);
  }
  return parent;
}

bool Router::share_part(const CoatRun& a, const CoatRun& b) const {
  for (const ZoneGroup* ga : a.groups)
    for (const ZoneGroup* gb : b.groups)
      for (const std::string& part : ga->parts)
        if (std::find(gb->parts.begin(), gb->parts.end(), part) != gb->parts.end()) return true;
  return false;
}

// A shared edge is taped once; the shorter of the two tape lines is the one they have in common.
double Router::shared_tape_m(const CoatRun& a, const CoatRun& b) const {
  double ta = 0, tb = 0;
  for (const ZoneGroup* g : a.groups) ta += g->tape_m;
  for (const ZoneGroup* g : b.groups) tb += g->tape_m;
  return std::min(ta, tb);
}

void Router::add_runs(int start) {
  // On one part the film that can be taped soonest goes on first; cloth goes on last, against the finished colour.
  std::stable_sort(runs_.begin(), runs_.end(), [](const CoatRun& a, const CoatRun& b) {
    return std::tuple(a.fabric, a.tape_ready_h) < std::tuple(b.fabric, b.tape_ready_h);
  });
  for (std::size_t r = 0; r < runs_.size(); ++r) {
    CoatRun& run = runs_[r];
    std::vector<std::string> zones;
    double area = 0;
    film::Lie lie = film::Lie::horizontal;
    for (const ZoneGroup* group : run.groups) {
      zones.insert(zones.end(), group->zones.begin(), group->zones.end());
      area += group->area_m2;
      if (group->lie == film::Lie::vertical) lie = film::Lie::vertical;
    }
    std::vector<After> waits;
    for (int end : run.prep_ends) waits.push_back(after_task(route_.tasks[static_cast<std::size_t>(end)], end));
    // Sanding dust and wet films do not share a part: the other zones of the part are prepared first.
    for (std::size_t o = 0; o < runs_.size(); ++o)
      if (o != r && !run.fabric && share_part(run, runs_[o]))
        for (int end : runs_[o].prep_ends)
          if (end != start) waits.push_back({end, Wait::order, film::Need::touch, false});
    for (std::size_t o = 0; o < r; ++o) {
      const CoatRun& earlier = runs_[o];
      if (earlier.last < 0) continue;
      if (run.fabric) {
        waits.push_back({earlier.last, Wait::film, film::Need::handle, false});
        if (!route_.tasks[static_cast<std::size_t>(earlier.last)].step.is_film) waits.back().wait = Wait::order;
      } else if (share_part(run, earlier)) {
        const bool film = route_.tasks[static_cast<std::size_t>(earlier.last)].step.is_film;
        const After taped{earlier.last, film ? Wait::film : Wait::order, film::Need::tape, false};
        const double tape = shared_tape_m(run, earlier);
        if (tape <= 0) {
          waits.push_back(taped);  // they meet at no taped edge; the earlier one only has to bear handling near it
          continue;
        }
        Step mask;
        mask.kind = StepKind::mask;
        mask.text = "Mask the finished zones";
        mask.product = catalog_.product("tape_masking") ? "tape_masking" : "";
        mask.reason = "Two finishes meet on this part; the one that can be taped soonest went on first.";
        mask.ready_by_hand = "A thumb pressed and turned on the finished film leaves no mark.";
        mask.notes = {
            "Press the edge of the tape down; draw it off while the last coat is still soft, back on itself."};
        for (const char* name : {"mask_m", "unmask_m"})
          if (const catalog::Pace* p = catalog_.pace(name))
            mask.minutes_fixed += p->minutes_fixed + p->minutes_per_m * tape;
        Task& task = add(mask, zones, 0, lie);
        task.tape_m = tape;
        task.after.push_back(taped);
        waits.push_back({static_cast<int>(route_.tasks.size()) - 1, Wait::order, film::Need::touch, false});
      }
    }
    for (const Step& step : run.boards) {
      Task& board = add(step, zones, area, lie);
      if (!run.color.empty()) board.step.text += ", " + run.color;
      board.after.push_back({start, Wait::order, film::Need::touch, false});
      waits.push_back(after_task(board, static_cast<int>(route_.tasks.size()) - 1));
    }
    for (const Step& step : run.steps) {
      Task& task = add(step, zones, area, lie);
      if (!run.color.empty() &&
          (step.kind == StepKind::paint || step.kind == StepKind::stain || step.kind == StepKind::metal_coat))
        task.step.text += ", " + run.color;
      task.after = std::move(waits);
      const int index = static_cast<int>(route_.tasks.size()) - 1;
      if (run.first < 0) run.first = index;
      run.last = index;
      waits = {after_task(task, index)};
    }
  }
}

Route Router::build(bool lead_cleared) {
  groups_ = zone_groups(order_.piece, lead_cleared);
  Step in = piece_step(StepKind::take_in, "take_in", "Take in: photograph every side, note damage, label",
                       "What is photographed now can be put back and shown later.");
  add(in, {}, total_area(), film::Lie::vertical);
  int start = 0;
  const bool wiring = std::any_of(order_.piece.parts.begin(), order_.piece.parts.end(),
                                  [](const piece::Part& part) { return part.has_wiring; });
  if (order_.piece.parts.size() > 1) {
    Step apart = piece_step(StepKind::take_apart, "take_apart", "Take apart: bag and label fasteners part by part",
                            "Faces are finished cleaner apart, and the photographs give the order for putting back.");
    apart.minutes_fixed += (catalog_.pace("label_part") ? catalog_.pace("label_part")->minutes_fixed : 0) *
                           double(order_.piece.parts.size());
    if (wiring)
      apart.notes.push_back(
          "Unplugged, and left so. Photograph the wiring and keep it from solvents and strain; "
          "anything electrical is for a qualified person.");
    add(apart, {}, 0, film::Lie::vertical).after.push_back({0, Wait::order, film::Need::touch, false});
    start = 1;
  }
  const climate::ClimateSeries ordinary = climate::ClimateSeries::constant({20.0, 0.5, 101325.0, 0.1});
  for (const ZoneGroup& group : groups_) {
    finish::Schedule schedule = finisher_.schedule(group.surface, group.wish, prefer_);
    for (catalog::Finding& finding : schedule.findings) {
      finding.piece = order_.piece.id;
      if (finding.zone.empty()) finding.zone = group.zones.front();
      route_.findings.push_back(std::move(finding));
    }
    const auto first_coat = std::find_if(schedule.steps.begin(), schedule.steps.end(),
                                         [](const Step& step) { return is_coat_phase(step.kind); });
    std::vector<Step> prep, boards;
    for (auto step = schedule.steps.begin(); step != first_coat; ++step)
      (step->kind == StepKind::test_board ? boards : prep).push_back(*step);
    const int prep_end = add_prep(group, prep, prep.size(), start);
    if (first_coat == schedule.steps.end()) continue;
    CoatRun run;
    run.steps.assign(first_coat, schedule.steps.end());
    for (Step& board : boards) run.boards.push_back(std::move(board));
    run.color = group.color;
    for (const Step& step : run.steps) run.key.push_back(key_of(step));
    auto same = std::find_if(runs_.begin(), runs_.end(),
                             [&](const CoatRun& other) { return other.key == run.key && other.color == group.color; });
    if (same == runs_.end()) {
      const Step& last = run.steps.back();
      run.fabric = group.wish.treatment == piece::Treatment::fabric;
      if (last.is_film)
        run.tape_ready_h = film_
                               .readiness({catalog_.product(last.product), last.wet_um, last.ground, group.lie},
                                          ordinary, Instant{})[film::Need::tape]
                               .p50;
      runs_.push_back(std::move(run));
      same = runs_.end() - 1;
    }
    same->groups.push_back(&group);
    same->prep_ends.push_back(prep_end);
  }
  add_runs(start);

  // Ends of the chains: whatever nothing waits for yet.
  std::set<int> waited_for;
  for (const Task& task : route_.tasks)
    for (const After& after : task.after) waited_for.insert(after.task);
  std::vector<int> ends;
  for (int i = 0; i < static_cast<int>(route_.tasks.size()); ++i)
    if (!waited_for.contains(i)) ends.push_back(i);
  const auto wait_all = [&](Task& task, film::Need need) {
    for (int end : ends) {
      const Step& step = route_.tasks[static_cast<std::size_t>(end)].step;
      task.after.push_back({end, wait_after(step), need, false});
    }
  };
  if (start == 1) {
    Step back = piece_step(StepKind::put_back, "put_back", "Put back together, in the reverse order of the photographs",
                           "The films are hard enough to be handled.");
    if (wiring) back.notes.push_back("Leave old wiring unplugged until a qualified person has passed it.");
    wait_all(add(back, {}, 0, film::Lie::vertical), film::Need::handle);
  }
  Step over = piece_step(StepKind::hand_over, "hand_over", "Look it over in raking light, hand over with the care card",
                         "Hard enough to be carried and to have things stand on it; full cure comes later, see care.");
  Task& last = add(over, {}, 0, film::Lie::vertical);
  if (start == 1)
    last.after.push_back({static_cast<int>(route_.tasks.size()) - 2, Wait::order, film::Need::touch, false});
  wait_all(last, film::Need::stack);
  return std::move(route_);
}

}  // namespace

Route route_piece(const job::Job& job, int index, const catalog::Catalog& catalog, const film::Model& film,
                  const finish::Finisher& finisher, finish::Prefer prefer, bool lead_cleared) {
  return Router(job, index, catalog, film, finisher, prefer).build(lead_cleared);
}

}  // namespace tackcloth::plan
