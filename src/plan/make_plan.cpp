#include <algorithm>
#include <cmath>
#include <set>

#include "plan/dates.h"
#include "plan/drying_places.h"
#include "plan/learning.h"
#include "plan/log_reading.h"
#include "plan/pace_log.h"
#include "plan/pins.h"
#include "plan/plan.h"
#include "plan/purchase.h"
#include "plan/uses.h"
#include "plan/route.h"
#include "plan/safety.h"
#include "plan/shop_rooms.h"
#include "plan/step_mark.h"
#include "plan/working_time.h"

namespace tackcloth::plan {

using catalog::Finding;
using catalog::Severity;
using finish::StepKind;

namespace {

// First horizon tried, and the longest: beyond half a year weather and promises mean little.
constexpr int kFirstDays = 42, kMostDays = 210;
constexpr double kLongestUseH = 24.0 * 365;

std::vector<Problem> one(Problem problem) { return {std::move(problem)}; }

// Care of a finish for its owner (common practice, no source).
std::vector<std::string> care_for(const PlannedPiece& piece, const catalog::Catalog& catalog) {
  std::vector<std::string> care;
  bool wax_or_oil = false, film = false, cloth = false;
  Instant last;
  for (const PlannedStep& step : piece.schedule) {
    const catalog::Product* product = catalog.product(step.product);
    if (step.kind == StepKind::fabric_glue) cloth = true;
    if (!product || step.wet_um <= 0) continue;
    switch (step.kind) {
      case StepKind::clear:
      case StepKind::paint:
      case StepKind::metal_coat:
        film = true;
        break;
      case StepKind::oil:
      case StepKind::wax:
        wax_or_oil = true;
        break;
      default:
        continue;
    }
    last = std::max(last, step.end);
  }
  if (piece.full_use && (film || wax_or_oil))
    care.push_back("Full hardness about " +
                   std::to_string(static_cast<int>(std::ceil(hours_between(last, *piece.full_use) / 24))) +
                   " days after the last coat (" + to_iso(*piece.full_use).substr(0, 10) +
                   " in ordinary rooms): until then no wet cloths, no mats, nothing heavy left standing.");
  else if (film || wax_or_oil)
    care.push_back("When it is fully hard is not known: ask before wet cloths, mats or heavy things.");
  if (film) care.push_back("Dust with a dry or barely damp soft cloth; no scouring powder, no silicone polish.");
  if (wax_or_oil) care.push_back("Wipe spills at once; a thin fresh coat of the same wax or oil when it looks dry.");
  if (cloth) care.push_back("Brush or vacuum the cloth gently; keep it out of strong sun.");
  if (film || wax_or_oil) care.push_back("Felt under what stands on it; no hot pans; keep it off radiators.");
  return care;
}

std::string word_of(const After& after) {
  switch (after.wait) {
    case Wait::film:
      return film::to_text(after.need);
    case Wait::rest:
    case Wait::climate:
      return "rest";
    case Wait::order:
      break;
  }
  return "order";
}

class Maker {
 public:
  Maker(const job::Job& job, const World& world, const Options& options)
      : job_(job), world_(world), options_(options) {}
  Results<Plan> make();

 private:
  void add_routes();
  void read_pins(Instant start);
  void tell_pins();
  std::optional<Problem> date_all(Instant start);
  Result<Dated> date_with_log();
  void note_moved_promises(const Dated& untaught);
  void take_pace();
  PlannedStep planned_step(std::size_t task) const;
  double warmest(std::size_t t) const;  // of the room while the task is worked at
  PlannedPiece planned_piece(std::size_t piece, const Bought& bought, const Safety& safety) const;
  void tell_odds(PlannedPiece& piece, std::size_t index) const;
  void tell_use(PlannedPiece& piece, std::size_t p) const;
  void explain_lateness(PlannedPiece& piece, std::size_t index) const;
  void tell_shop();
  void take_over(Finding finding);

  const job::Job& job_;
  const World& world_;
  const Options& options_;
  std::vector<Task> tasks_;
  LogReading log_;
  PaceReading pace_;
  DateInput input_;
  std::vector<std::optional<PinWish>> pins_;  // one a task, or none at all
  film::Learned history_, learned_;           // before this log, and with it
  std::map<std::string, climate::ClimateSeries> rooms_;
  Dated dated_;
  Plan plan_;
  std::set<std::string> told_;
};

void Maker::tell_odds(PlannedPiece& piece, std::size_t index) const {
  if (index >= dated_.finishes.size() || dated_.finishes[index].empty()) return;
  std::vector<calendar::Tick> finish = dated_.finishes[index];
  std::sort(finish.begin(), finish.end());
  const auto by_share = [&](double share) {
    const std::size_t k = static_cast<std::size_t>(std::ceil(share * double(finish.size()))) - 1;
    return input_.start + Minutes(finish[std::min(k, finish.size() - 1)]);
  };
  piece.finish_p50 = by_share(0.5);
  piece.promise_90 = std::chrono::floor<std::chrono::days>(by_share(0.9));
  if (!piece.due) return;
  const calendar::Tick due = (end_of_promise(*piece.due) - input_.start).count();
  const auto kept = std::upper_bound(finish.begin(), finish.end(), due) - finish.begin();
  piece.odds = double(kept) / double(finish.size());
}

void Maker::take_over(Finding finding) {
  if (told_.insert(finding.rule + "|" + finding.piece + "|" + finding.reason).second)
    plan_.findings.push_back(std::move(finding));
}

void Maker::add_routes() {
  for (std::size_t p = 0; p < job_.pieces.size(); ++p) {
    const std::string& id = job_.pieces[p].piece.id;
    const bool cleared = log_.lead_negative.contains(id);
    for (Finding finding : piece::hazards(job_.pieces[p].piece)) {
      finding.piece = id;
      take_over(std::move(finding));
    }
    // A step keeps its id when the lead test comes back: the route is the same, only its cautions change.
    Route route =
        route_piece(job_, static_cast<int>(p), *world_.catalog, *world_.film, *world_.finisher, options_.prefer, false);
    const int offset = static_cast<int>(tasks_.size());
    for (Task& task : route.tasks) {
      for (After& after : task.after) after.task += offset;
      if (task.step.dry_sanding && piece::lead_possible(job_.pieces[p].piece) && !cleared)
        task.step.notes.insert(task.step.notes.begin(), "Not before the lead test is logged as negative.");
      tasks_.push_back(std::move(task));
    }
    for (Finding& finding : route.findings) take_over(std::move(finding));
    if (log_.lead_positive.contains(id))
      take_over({"lead-found", Severity::must_not,
                 "The lead test is logged as positive: dry sanding or heat would put lead into the air and the house.",
                 "Stop. Bare hands, children and pregnant women away; ask a licensed lead professional and the local "
                 "rules before any further work.",
                 "US EPA 40 CFR 745 subpart E; local codes decide", id, ""});
  }
}

// The newest pin of each task counts.
void Maker::read_pins(Instant start) {
  for (std::size_t k = 0; k < options_.pins.size(); ++k) {
    const Pin& pin = options_.pins[k];
    const auto mark = pin.mark.empty() ? std::nullopt : read_mark(pin.mark);
    std::optional<std::size_t> found;
    if (mark)
      found = find_marked(tasks_, job_, *mark);
    else
      for (std::size_t t = 0; t < tasks_.size(); ++t)
        if (tasks_[t].id == pin.step) found = t;
    if (!found) continue;
    if (pins_.empty()) pins_.resize(tasks_.size());
    pins_[*found].reset();
    if (pin.start) pins_[*found] = PinWish{(*pin.start - start).count(), static_cast<int>(k)};
  }
}

void Maker::tell_pins() {
  for (const PlannedPiece& piece : plan_.pieces)
    for (const PlannedStep& step : piece.schedule)
      if (step.pinned && !step.pinned->kept)
        take_over({"pin-let-go", Severity::caution,
                   "'" + step.text + "' was pinned to " + hour_text(step.pinned->start) +
                       "; that could not be kept, because " + step.pinned->why + ".",
                   step.pinned->next ? "Pin it to " + hour_text(*step.pinned->next) + " or later, or let it go."
                                     : "Pin it to another hour, or let it go.",
                   "computed by the calendar", piece.id, ""});
}

// Dates what is left after the log. What the plan was before it is dated too: the new plan moves as little of that as
// it can, and it says in which room each logged coat dries.
Result<Dated> Maker::date_with_log() {
  DateInput before = input_;
  before.now = 0;
  before.wants_odds = false;
  before.pins.clear();
  before.seen.assign(tasks_.size(), {});
  const auto first = put_dates(before);
  if (!first) return put_dates(input_);
  for (const DatedTask& task : first->tasks) input_.previous_start.push_back(task.start);
  const std::vector<film::BenchEntry> looks = bench_entries(input_, *first);
  if (looks.empty()) return put_dates(input_);

  DateInput without = input_;
  without.wants_odds = false;
  const auto untaught = put_dates(without);
  std::vector<film::BenchEntry> all = options_.history;
  all.insert(all.end(), looks.begin(), looks.end());
  learned_ = film::learn(*world_.film, all);
  OwnPace pace = std::move(plan_.taught.pace);
  plan_.taught = taught_by(learned_, looks, *world_.catalog);
  plan_.taught.pace = std::move(pace);
  input_.calibration = &learned_.calibration;
  auto dated = put_dates(input_);
  if (dated && untaught) {
    dated_ = std::move(*dated);
    note_moved_promises(*untaught);
    return std::move(dated_);
  }
  return dated;
}

// What is done keeps the hours the plan had for it then; what is to come is planned at the shop's own pace, where
// enough is known of it.
void Maker::take_pace() {
  for (Task& task : tasks_) task.table_minutes = task.minutes;
  pace_ = read_pace(options_.log, tasks_, job_);
  std::vector<PaceLine> all = options_.pace_history;
  all.insert(all.end(), pace_.lines.begin(), pace_.lines.end());
  OwnPace pace = learn_pace(all);
  pace.wanted = options_.own_pace && job_.shop.own_pace;
  pace.lines = pace_.lines;
  for (std::size_t t = 0; t < tasks_.size(); ++t) {
    Task& task = tasks_[t];
    if (log_.seen[t].done)
      task.minutes = pace_.tasks[t].planned.value_or(task.minutes);
    else
      task.minutes *= pace_factor(pace, pace_kind(task.step));
  }
  plan_.taught.pace = std::move(pace);
}

void Maker::note_moved_promises(const Dated& untaught) {
  for (std::size_t p = 0; p < job_.pieces.size(); ++p) {
    PromiseMoved moved{job_.pieces[p].piece.id, input_.start, input_.start};
    for (std::size_t t = 0; t < tasks_.size(); ++t) {
      if (tasks_[t].piece != static_cast<int>(p)) continue;
      moved.finish_before = std::max(moved.finish_before, input_.start + Minutes(untaught.tasks[t].end));
      moved.finish_after = std::max(moved.finish_after, input_.start + Minutes(dated_.tasks[t].end));
    }
    plan_.taught.promises.push_back(std::move(moved));
  }
}

std::optional<Problem> Maker::date_all(Instant start) {
  history_ = film::learn(*world_.film, options_.history);
  OwnPace pace = std::move(plan_.taught.pace);
  plan_.taught = taught_by(history_, {}, *world_.catalog);
  plan_.taught.pace = std::move(pace);
  Problem last;
  // Counted from now, not from the start: a bench that has been logged at for a year plans on.
  const int past = static_cast<int>(log_.now / (24 * 60));
  int first = kFirstDays;
  for (const auto& pin : pins_)
    if (pin)
      first = std::max(first, static_cast<int>(std::min<calendar::Tick>(pin->at / (24 * 60) - past + 14, kMostDays)));
  // A pin far ahead is no reason to ask for weather that is not known.
  if (first > kFirstDays && !shop_rooms(job_.shop, world_.weather, start, past + first)) first = kFirstDays;
  for (int ahead = first;; ahead = std::min(kMostDays, ahead * 2 + 21)) {
    const int days = past + ahead;
    auto rooms = shop_rooms(job_.shop, world_.weather, start, days);
    if (!rooms) {
      if (last.what.empty()) return rooms.error();
      last.remedy += "; or give a weather file that goes on: this one ends before the plan does";
      return last;
    }
    rooms_ = std::move(*rooms);
    input_ = {&job_,    &world_,   &rooms_, &tasks_,       &options_, &history_.calibration, start, days,
              log_.now, log_.seen, {},      options_.odds, pins_};
    auto dated = options_.log.empty() ? put_dates(input_) : date_with_log();
    if (dated) {
      dated_ = std::move(*dated);
      return std::nullopt;
    }
    last = dated.error();
    if (ahead == kMostDays) return last;
  }
}

double Maker::warmest(std::size_t t) const {
  const DatedTask& d = dated_.tasks[t];
  const auto at = [&](calendar::Tick tick) { return rooms_.at(d.room).at(input_.start + Minutes(tick)).temp_c; };
  return std::max(at(d.start), at(d.end));
}

PlannedStep Maker::planned_step(std::size_t t) const {
  const Task& task = tasks_[t];
  const DatedTask& d = dated_.tasks[t];
  PlannedStep s;
  s.id = task.id;
  for (const std::string& zone : task.zones) s.zones += (s.zones.empty() ? "" : ", ") + zone;
  s.kind = task.step.kind;
  s.step = finish::to_text(task.step.kind);
  s.text = task.step.text;
  s.product = task.step.product;
  if (const catalog::Product* product = world_.catalog->product(task.step.product)) s.product_name = product->name;
  s.method = catalog::to_text(task.step.method);
  s.reason = task.step.reason;
  s.ready_by_hand = task.step.ready_by_hand;
  s.grit = task.step.grit;
  s.wet_um = task.step.wet_um;
  s.area_m2 = task.area_m2;
  s.minutes = task.minutes;
  s.task_kind = pace_kind(task.step);
  s.table_minutes = task.table_minutes;
  s.took_minutes = pace_.tasks[t].minutes;
  s.people = task.people;
  for (const std::string& id : d.who)
    for (const job::Person& person : job_.shop.people)
      if (person.id == id) s.who.push_back(person.name.empty() ? id : person.name);
  s.start = input_.start + Minutes(d.start);
  s.end = input_.start + Minutes(d.end);
  s.ready_p50 = after(s.end, d.ready_p50_h);
  s.ready_p90 = after(s.end, d.ready_p90_h);
  if (d.closes_h < 24 * 365) s.recoat_closes = s.end + Minutes(static_cast<long>(std::floor(d.closes_h * 60)));
  for (std::size_t i = 0; i < d.turns.size(); ++i)
    s.turns.push_back({input_.start + Minutes(d.turns[i].from), input_.start + Minutes(d.turns[i].to), d.turn_who[i]});
  for (const After& after : task.after)
    s.waits_for.push_back({tasks_[static_cast<std::size_t>(after.task)].id, word_of(after)});
  s.room = d.room;
  s.air = rooms_.at(d.room).at(s.start);
  s.notes = task.step.notes;
  if (d.late_scuff) s.notes.insert(s.notes.begin(), kScuffFirst);
  if (d.room != job_.pieces[static_cast<std::size_t>(task.piece)].room)
    s.notes.insert(s.notes.begin(), "In " + d.room + ".");
  for (std::size_t i = 0; i < d.why.size() && i < 3; ++i) s.why_here += (i ? " < " : "") + d.why[i];
  s.done = log_.seen[t].done.has_value();
  const job::PieceOrder& order = job_.pieces[static_cast<std::size_t>(task.piece)];
  s.uses = drawn_by(task, order, *world_.catalog, warmest(t));
  s.mix = mixed_for(task, order, *world_.catalog, warmest(t));
  if (s.mix) s.notes.push_back(to_text(*s.mix, *world_.catalog->product(s.product), job_.shop.system));
  if (t < pins_.size() && pins_[t] && !s.done) {
    s.pinned = Pinned{input_.start + Minutes(pins_[t]->at), true, "", {}};
    if (s.start != s.pinned->start) {
      s.pinned->kept = false;
      s.pinned->why = d.let_go;
      if (d.let_go_next >= 0) s.pinned->next = input_.start + Minutes(d.let_go_next);
    }
  }
  return s;
}

void Maker::explain_lateness(PlannedPiece& piece, std::size_t index) const {
  double hands = 0, waits = 0;
  for (std::size_t t = 0; t < tasks_.size(); ++t) {
    if (tasks_[t].piece != static_cast<int>(index)) continue;
    hands += tasks_[t].minutes / 60;
    waits += dated_.tasks[t].ready_p90_h;
  }
  const double given = hours_between(input_.start, end_of_promise(*piece.due));
  const auto whole = [](double h) { return std::to_string(static_cast<long>(std::ceil(h))); };
  piece.late_reason = "Promised for " + to_iso(*piece.due).substr(0, 10) + ", ready " +
                      to_iso(piece.finish).substr(0, 10) + ": " + whole(hands) + " h at the bench and up to " +
                      whole(waits) + " h of drying have to fit into " + (given > 0 ? whole(given) : "0") + " h";
  piece.late_reason += given <= 0 ? "; the date had passed when work could start." : ".";
}

PlannedPiece Maker::planned_piece(std::size_t p, const Bought& bought, const Safety& safety) const {
  const job::PieceOrder& order = job_.pieces[p];
  PlannedPiece piece;
  piece.id = order.piece.id;
  piece.name = order.piece.name;
  piece.owner = order.piece.owner;
  piece.room = order.room;
  piece.resting_units = order.piece.resting_units;
  piece.due = order.due;
  piece.finish = input_.start;
  for (const piece::Part& part : order.piece.parts)
    for (const piece::Zone& zone : part.zones) {
      piece.zones.push_back(
          {zone.id, part.id, zone.face, piece::to_text(zone.treatment), zone.area_m2, zone.tape_mm, 0, 0, {}});
      for (const piece::Face& face : part.faces) {
        if (face.name != zone.face || face.region.outlines.empty() || zone.region.outlines.empty()) continue;
        piece.zones.back().face_width_mm = face.width_mm;
        piece.zones.back().face_height_mm = face.height_mm;
        piece.zones.back().outlines = zone.region.outlines;
      }
    }
  for (std::size_t t = 0; t < tasks_.size(); ++t) {
    if (tasks_[t].piece != static_cast<int>(p)) continue;
    piece.schedule.push_back(planned_step(t));
    piece.bench_hours += tasks_[t].minutes / 60 * tasks_[t].people;
    piece.finish = std::max(piece.finish, piece.schedule.back().end);
  }
  std::stable_sort(piece.schedule.begin(), piece.schedule.end(),
                   [](const PlannedStep& a, const PlannedStep& b) { return a.start < b.start; });
  if (order.due && piece.finish > end_of_promise(*order.due)) {
    piece.late = true;
    explain_lateness(piece, p);
  }
  tell_odds(piece, p);
  piece.price = bought.by_piece[p];
  piece.left_over = bought.left_over[p];
  for (const auto& [room, day] : safety.busiest)
    if (std::find(day.pieces.begin(), day.pieces.end(), static_cast<int>(p)) != day.pieces.end() &&
        day.verdict.mixture_share >= piece.air.mixture_share)
      piece.air = day.verdict;
  tell_use(piece, p);
  piece.care = care_for(piece, *world_.catalog);
  return piece;
}

// The owner's house is not the shop: where the label is slower than the film engine, the label counts.
void Maker::tell_use(PlannedPiece& piece, std::size_t p) const {
  Instant light = piece.finish, full = piece.finish;
  bool coats = false, comes = true;
  for (std::size_t t = 0; t < tasks_.size(); ++t) {
    const DatedTask& d = dated_.tasks[t];
    if (tasks_[t].piece != static_cast<int>(p) || d.use_p90_h <= 0) continue;
    coats = true;
    const catalog::Product* product = world_.catalog->product(tasks_[t].step.product);
    const double use_h = std::max(d.use_p90_h, product ? product->label.use_h : 0);
    if (!(d.stack_p90_h < kLongestUseH) || !(use_h < kLongestUseH)) {
      comes = false;
      continue;
    }
    const Instant end = input_.start + Minutes(d.end);
    light = std::max(light, after(end, d.stack_p90_h));
    full = std::max(full, after(end, use_h));
  }
  if (!coats || !comes) return;
  piece.light_use = light;
  piece.full_use = std::max(light, full);
}

// Open hours in whole days: the day the plan starts is told from its morning on, though nothing starts before `start`.
void Maker::tell_shop() {
  const Instant first = std::chrono::floor<std::chrono::days>(plan_.start);
  const auto days = std::chrono::floor<std::chrono::days>(plan_.finish) - std::chrono::floor<std::chrono::days>(first);
  for (const job::Person& person : job_.shop.people) {
    plan_.people.push_back({person.id, person.name.empty() ? person.id : person.name, {}});
    for (const calendar::Window& open : working_windows(person, first, static_cast<int>(days.count()) + 8))
      plan_.people.back().hours.push_back({first + Minutes(open.from), first + Minutes(open.to)});
  }
  for (const job::Room& room : job_.shop.rooms) plan_.rooms.push_back({room.id, room.resting_places});
}

Results<Plan> Maker::make() {
  const std::optional<Instant> start = options_.start ? options_.start : job_.start;
  if (!start)
    return tl::unexpected(one({job_.file, 0, 0, "the plan has no start", "a date or a date and time",
                               "add start = 2026-03-02T17:00 to the job or pass --start"}));
  if (job_.pieces.empty()) {  // a shop that has just been set up
    plan_.job_file = job_.file;
    plan_.shop = job_.shop.name;
    plan_.currency = job_.shop.currency;
    plan_.system = job_.shop.system;
    plan_.start = plan_.finish = plan_.lower_bound = *start;
    plan_.proven = true;
    return std::move(plan_);
  }
  log_ = read_lead(options_.log, job_);
  add_routes();
  if (auto problem = read_log(options_.log, tasks_, *start, job_, log_)) return tl::unexpected(one(*problem));
  take_pace();
  for (const Finding& finding : log_.findings) take_over(finding);
  if (options_.not_before) log_.now = std::max<calendar::Tick>(log_.now, (*options_.not_before - *start).count());
  read_pins(*start);
  if (auto problem = date_all(*start)) return tl::unexpected(one(*problem));
  SoFar so_far{{}, {}, {}, &options_.log, &options_.stock};
  for (std::size_t t = 0; t < tasks_.size(); ++t) {
    so_far.starts.push_back(input_.start + Minutes(dated_.tasks[t].start));
    so_far.done.push_back(log_.seen[t].done.has_value());
    so_far.temps_c.push_back(warmest(t));
  }
  auto bought = buy(job_, tasks_, *world_.catalog, *start, so_far);
  if (!bought) return tl::unexpected(bought.error());
  const Safety safety = look_after(input_, dated_);
  for (const Finding& finding : dated_.findings) take_over(finding);
  for (const Finding& finding : safety.findings) take_over(finding);

  plan_.job_file = job_.file;
  plan_.shop = job_.shop.name;
  plan_.currency = job_.shop.currency;
  plan_.system = job_.shop.system;
  plan_.start = plan_.finish = *start;
  for (std::size_t p = 0; p < job_.pieces.size(); ++p) {
    plan_.pieces.push_back(planned_piece(p, *bought, safety));
    PlannedPiece& piece = plan_.pieces.back();
    plan_.finish = std::max(plan_.finish, piece.finish);
    if (piece.late)
      take_over({"promise-late", Severity::caution, piece.late_reason,
                 "Tell the owner now; more hours, a warmer room or a faster finish bring it forward.",
                 "computed by the calendar", piece.id, ""});
  }
  if (auto finding = weather_goes_on(job_.shop, world_.weather, plan_.finish)) take_over(std::move(*finding));
  tell_shop();
  tell_pins();
  const calendar::Outcome& outcome = dated_.outcome;
  plan_.lower_bound = std::min(plan_.finish, *start + Minutes(outcome.finish_lower_bound));
  plan_.gap_percent = outcome.gap_percent;
  plan_.proven = outcome.status == calendar::Status::optimal;
  plan_.purchases = std::move(bought->purchases);
  plan_.cost = bought->total;
  std::stable_sort(plan_.findings.begin(), plan_.findings.end(),
                   [](const Finding& a, const Finding& b) { return a.severity > b.severity; });
  return std::move(plan_);
}

}  // namespace

bool Plan::must_not() const {
  return std::any_of(findings.begin(), findings.end(),
                     [](const Finding& finding) { return finding.severity == Severity::must_not; });
}

Results<Plan> make_plan(const job::Job& job, const World& world, const Options& options) {
  return Maker(job, world, options).make();
}

}  // namespace tackcloth::plan
