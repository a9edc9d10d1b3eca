#include "plan/dates.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <set>

#include "plan/drying_places.h"
#include "plan/lag_table.h"
#include "plan/odds.h"
#include "plan/pins.h"
#include "plan/working_time.h"
#include "units/normal.h"

namespace tackcloth::plan {

using calendar::Tick;

namespace {

// Longer work is cut into turns of at most this, so that it fits between other things (common practice, no source).
constexpr Tick kTurnMinutes = 150;
// Lateness weights are kept as whole tenths.
constexpr double kWeightScale = 10;
// Enough for odds to the nearest few hundredths: the standard error at even odds is 0.035 (binomial).
constexpr int kTrials = 200;

class Dater {
 public:
  explicit Dater(const DateInput& input) : in_(input), places_(input) {}
  Result<Dated> run();

 private:
  struct Span {
    int first = -1, last = -1;  // activities of a task
  };

  std::optional<Problem> add_people();
  std::optional<Problem> add_rooms();
  std::optional<Problem> add_activities();
  void add_precedences();
  void add_promises();
  calendar::TimeFunction lag_after(int task, const After& after) const;
  void take_pins();
  std::vector<std::string> why(const calendar::Solution& solution, int task) const;
  int task_of(int activity) const;
  Result<calendar::Outcome> search(calendar::Options& options);
  bool raise_to_exact(const calendar::Solution& solution);
  Dated collect(const calendar::Outcome& outcome) const;
  std::vector<std::vector<Tick>> trials(const calendar::Solution& best) const;
  film::Readiness exact(int task, Tick end, const calendar::Solution* solution = nullptr) const;
  film::Coat coat_of(int task, Tick end, const calendar::Solution* solution) const;
  const Task& task(int index) const { return (*in_.tasks)[static_cast<std::size_t>(index)]; }
  const Seen& seen(int index) const { return in_.seen[static_cast<std::size_t>(index)]; }

  const DateInput& in_;
  DryingPlaces places_;
  calendar::Model model_;
  std::vector<std::vector<calendar::Window>> windows_;  // by person
  std::map<std::string, int> resting_, spray_;          // room id -> resource
  std::map<const LagTable*, int> fit_;                  // table -> resource
  std::vector<Span> spans_;
  struct Edge {
    int from, to;
    After after;
    int precedence;
  };
  std::vector<Edge> edges_;
  std::optional<PinBoard> pins_;  // each pin on the first activity of its task
};

std::optional<Problem> Dater::add_people() {
  calendar::Pool hands{"hands", {}};
  for (const job::Person& person : in_.job->shop.people) {
    windows_.push_back(working_windows(person, in_.start, in_.days));
    hands.members.push_back(static_cast<int>(model_.resources.size()));
    model_.resources.push_back({person.id, 1, windows_.back()});
    if (windows_.back().empty()) model_.resources.back().windows.push_back({-1, -1});
  }
  model_.pools.push_back(std::move(hands));
  if (anybody(windows_).empty())
    return Problem{in_.job->file,
                   0,
                   0,
                   "nobody has working hours in the " + std::to_string(in_.days) + " days from the start",
                   "at least one window of hours a week",
                   "add hours to a [[shop.person]]"};
  return std::nullopt;
}

std::optional<Problem> Dater::add_rooms() {
  for (const job::Room& room : in_.job->shop.rooms) {
    resting_[room.id] = static_cast<int>(model_.resources.size());
    model_.resources.push_back({"resting place in " + room.id, std::max(1, room.resting_places), {}});
    if (room.spray_places > 0) {
      spray_[room.id] = static_cast<int>(model_.resources.size());
      model_.resources.push_back({"spray place in " + room.id, room.spray_places, {}});
    }
  }
  for (const job::PieceOrder& order : in_.job->pieces)
    for (const job::Room& room : in_.job->shop.rooms)
      if (room.id == order.room && order.piece.resting_units > room.resting_places)
        return Problem{in_.job->file,
                       0,
                       0,
                       "'" + order.piece.id + "' needs " + std::to_string(order.piece.resting_units) +
                           " resting places, '" + room.id + "' has " + std::to_string(room.resting_places),
                       "a room large enough to let it dry",
                       "raise resting_places or choose another room"};
  return std::nullopt;
}

std::optional<Problem> Dater::add_activities() {
  std::map<int, Tick> turn_for;
  for (int t = 0; t < static_cast<int>(in_.tasks->size()); ++t) {
    const Task& work = task(t);
    const job::PieceOrder& order = in_.job->pieces[static_cast<std::size_t>(work.piece)];
    const Tick minutes = std::max<Tick>(5, static_cast<Tick>(std::ceil(work.minutes / 5 - 1e-9)) * 5);
    calendar::Activity base;
    base.name = work.id + " " + work.step.text;
    base.visit_group = 0;
    base.release = in_.now;
    if (order.arrives) base.release = std::max(base.release, (*order.arrives - in_.start).count());
    if (!in_.previous_start.empty()) model_.previous_start.resize(model_.activities.size(), -1);
    Span span;
    span.first = static_cast<int>(model_.activities.size());
    if (seen(t).done) {
      // What is done is done: it holds nobody any more, only its drying goes on.
      base.duration = std::min(minutes, *seen(t).done);
      base.fixed_start = *seen(t).done - base.duration;
      base.release = 0;
      model_.activities.push_back(std::move(base));
      if (!in_.previous_start.empty()) model_.previous_start.push_back(-1);
      span.last = span.first;
      spans_.push_back(span);
      continue;
    }
    if (!turn_for.contains(work.people)) turn_for[work.people] = longest_stretch(windows_, work.people);
    const Tick longest = turn_for[work.people];
    if (longest <= 0)
      return Problem{in_.job->file,
                     0,
                     0,
                     "'" + work.step.text + "' of '" + order.piece.id + "' needs " + std::to_string(work.people) +
                         " people, and there are never so many at once",
                     "a time when " + std::to_string(work.people) + " people are in the shop",
                     "give a helper hours that overlap, or take the step out of two_person_steps"};
    // A coat is put on in one go unless no window is long enough; then face by face.
    const Tick most = work.step.is_film ? longest : std::min(longest, kTurnMinutes);
    const Tick turns = (minutes + most - 1) / most;
    base.pool_demands.push_back({0, work.people});
    const std::string& room = places_.room_of(t);
    if (work.step.sprayed && spray_.contains(room)) base.demands.push_back({spray_.at(room), 1});
    if (const LagTable* table = places_.table(t); table && !table->always_fit()) {
      if (!fit_.contains(table)) {
        fit_[table] = static_cast<int>(model_.resources.size());
        model_.resources.push_back({"air fit for " + work.step.product + " in " + room, 1 << 20, table->fit()});
      }
      base.demands.push_back({fit_.at(table), 1});
    }
    for (Tick turn = 0; turn < turns; ++turn) {
      calendar::Activity activity = base;
      activity.duration = std::max<Tick>(5, minutes * (turn + 1) / turns - minutes * turn / turns);
      if (turns > 1) activity.name += " (turn " + std::to_string(turn + 1) + ")";
      if (turn + 1 == turns && work.step.is_film) {
        activity.tail = places_.table(t)->lag(work.step.needs_before_next);
        activity.tail_demands.push_back({resting_.at(room), order.piece.resting_units});
      }
      model_.activities.push_back(std::move(activity));
      if (!in_.previous_start.empty())
        model_.previous_start.push_back(turn == 0 ? in_.previous_start[static_cast<std::size_t>(t)] : -1);
      span.last = static_cast<int>(model_.activities.size()) - 1;
      if (turn > 0) {
        calendar::Precedence chain;
        chain.from = span.last - 1;
        chain.to = span.last;
        model_.precedences.push_back(chain);
      }
    }
    spans_.push_back(span);
  }
  return std::nullopt;
}

calendar::TimeFunction Dater::lag_after(int from, const After& after) const {
  const Task& earlier = task(from);
  calendar::TimeFunction lag;
  switch (after.wait) {
    case Wait::order:
      break;
    case Wait::film:
      if (seen(from).done && !seen(from).looks.empty())
        lag.value = {lag_ticks(exact(from, *seen(from).done)[after.need].p90)};
      else
        lag = places_.table(from)->lag(after.need);
      break;
    case Wait::rest:
      lag.value = {lag_ticks(earlier.step.rest_h)};
      break;
    case Wait::climate:
      lag = places_.drying_back(from);
      break;
  }
  if (seen(from).done && seen(from).not_ready_at && (after.wait == Wait::rest || after.wait == Wait::climate)) {
    // Seen wet later than promised: a quarter more than the time already waited, looked at again then.
    const Tick waited = *seen(from).not_ready_at - *seen(from).done;
    for (Tick& value : lag.value) value = std::max(value, waited + std::max<Tick>(30, waited / 4));
  }
  return lag;
}

void Dater::add_precedences() {
  for (int t = 0; t < static_cast<int>(in_.tasks->size()); ++t) {
    if (seen(t).done) continue;  // the past is not argued with
    const Task& work = task(t);
    for (const After& after : work.after) {
      calendar::Precedence edge;
      edge.from = spans_[static_cast<std::size_t>(after.task)].last;
      edge.to = spans_[static_cast<std::size_t>(t)].first;
      edge.min_lag = lag_after(after.task, after);
      const Task& earlier = task(after.task);
      if (after.wait == Wait::film && after.window_closes) {
        edge.max_lag = places_.table(after.task)->closes();
        const catalog::Pace* scuff = in_.world->catalog->pace("scuff");
        const double minutes = scuff ? scuff->minutes_fixed + scuff->minutes_per_m2 * earlier.area_m2 : 15;
        edge.late_extra = static_cast<Tick>(std::ceil(minutes / 5)) * 5;
      }
      edges_.push_back({after.task, t, after, static_cast<int>(model_.precedences.size())});
      model_.precedences.push_back(std::move(edge));
    }
  }
}

void Dater::add_promises() {
  std::vector<int> last(in_.job->pieces.size(), -1);
  for (int t = 0; t < static_cast<int>(in_.tasks->size()); ++t) last[static_cast<std::size_t>(task(t).piece)] = t;
  for (std::size_t p = 0; p < last.size(); ++p) {
    const auto& due = in_.job->pieces[p].due;
    if (!due || last[p] < 0) continue;
    calendar::Promise promise;
    promise.activity = spans_[static_cast<std::size_t>(last[p])].last;
    promise.due = (end_of_promise(*due) - in_.start).count();
    promise.weight = std::max<std::int64_t>(1, std::llround(in_.job->pieces[p].weight * kWeightScale));
    model_.promises.push_back(promise);
  }
}

// The coat laid until `end`, with what the coats beneath still hold: at the times they went on, where those are known.
film::Coat Dater::coat_of(int t, Tick end, const calendar::Solution* solution) const {
  const Task& work = task(t);
  film::Coat coat{in_.world->catalog->product(work.step.product), work.step.wet_um, work.step.ground, work.lie, {}};
  const int under = places_.under(t);
  if (under < 0) return coat;
  std::optional<Tick> laid = seen(under).done;
  const std::size_t last = static_cast<std::size_t>(spans_[static_cast<std::size_t>(under)].last);
  if (!laid && solution) laid = solution->start[last] + solution->duration[last];
  if (laid && *laid < end)
    coat.beneath = in_.world->film->beneath(coat_of(under, *laid, solution), places_.air(under),
                                            in_.start + Minutes(*laid), double(end - *laid) / 60, *in_.calibration);
  return coat;
}

film::Readiness Dater::exact(int t, Tick end, const calendar::Solution* solution) const {
  const film::Coat coat = coat_of(t, end, solution);
  const film::Readiness ready =
      in_.world->film->readiness(coat, places_.air(t), in_.start + Minutes(end), *in_.calibration);
  if (!seen(t).done) return ready;
  std::vector<film::Sighting> looks;
  for (const Seen::Look& look : seen(t).looks) looks.push_back({double(look.at - end) / 60, look.what});
  return film::given(ready, looks);
}

// The tables hold between samples only nearly; where the engine itself, asked at the minute chosen, wants longer, the
// table is raised there. True: something was raised and the calendar has to be made again.
bool Dater::raise_to_exact(const calendar::Solution& solution) {
  bool raised = false;
  const auto raise = [&](calendar::TimeFunction& f, Tick at, Tick value) {
    if (f(at) >= value) return;
    const auto piece = std::upper_bound(f.at.begin(), f.at.end(), at) - f.at.begin();
    f.value[static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, piece - 1))] = value;
    raised = true;
  };
  std::map<int, film::Readiness> asked;
  const auto ready = [&](int t, Tick end) -> const film::Readiness& {
    auto found = asked.find(t);
    if (found == asked.end()) found = asked.emplace(t, exact(t, end, &solution)).first;
    return found->second;
  };
  for (int t = 0; t < static_cast<int>(in_.tasks->size()); ++t) {
    if (!places_.table(t) || places_.air(t).is_constant()) continue;
    const int last = spans_[static_cast<std::size_t>(t)].last;
    const std::size_t a = static_cast<std::size_t>(last);
    const Tick end = solution.start[a] + solution.duration[a];
    if (!model_.activities[a].tail_demands.empty())
      raise(model_.activities[a].tail, end, lag_ticks(ready(t, end)[task(t).step.needs_before_next].p90));
    for (const Edge& edge : edges_)
      if (edge.from == t && edge.after.wait == Wait::film)
        raise(model_.precedences[static_cast<std::size_t>(edge.precedence)].min_lag, end,
              lag_ticks(ready(t, end)[edge.after.need].p90));
  }
  return raised;
}

Dated Dater::collect(const calendar::Outcome& outcome) const {
  Dated dated;
  dated.outcome = outcome;
  dated.findings = places_.findings();
  const calendar::Solution& best = outcome.best;
  for (int t = 0; t < static_cast<int>(in_.tasks->size()); ++t) {
    const Span span = spans_[static_cast<std::size_t>(t)];
    const std::size_t first = static_cast<std::size_t>(span.first), last = static_cast<std::size_t>(span.last);
    DatedTask d;
    d.start = best.start[first];
    d.end = best.start[last] + best.duration[last];
    d.room = places_.room_of(t);
    d.late_scuff = best.duration[first] > model_.activities[first].duration;
    std::set<std::string> who;
    for (std::size_t a = first; a <= last; ++a) {
      d.turns.push_back({best.start[a], best.start[a] + best.duration[a]});
      d.turn_who.emplace_back();
      if (a < best.members.size())
        for (int member : best.members[a])
          d.turn_who.back().push_back(model_.resources[static_cast<std::size_t>(member)].name);
      who.insert(d.turn_who.back().begin(), d.turn_who.back().end());
    }
    d.who.assign(who.begin(), who.end());
    if (!seen(t).done) d.why = why(best, t);
    if (const PinBar* bar = pins_ ? pins_->bar(span.first) : nullptr) {
      d.let_go = bar_text(in_, t, *bar, task_of(bar->other), task_of(bar->waiter));
      d.let_go_next = bar->next;
    }
    if (places_.table(t)) {
      const film::Readiness ready = exact(t, d.end, &best);
      d.ready_p50_h = ready[task(t).step.needs_before_next].p50;
      d.ready_p90_h = ready[task(t).step.needs_before_next].p90;
      d.stack_p90_h = ready[film::Need::stack].p90;
      d.use_p90_h = ready[film::Need::use].p90;
      if (task(t).step.window_closes) d.closes_h = ready.recoat_closes_h;
    } else {
      Tick lag = 0;
      if (task(t).step.rest_by_climate) lag = places_.drying_back(t)(d.end);
      if (!task(t).step.rest_by_climate && task(t).step.rest_h > 0) lag = lag_ticks(task(t).step.rest_h);
      d.ready_p50_h = d.ready_p90_h = double(lag) / 60;
    }
    dated.tasks.push_back(std::move(d));
  }
  return dated;
}

// When each piece was finished in each trial.
std::vector<std::vector<Tick>> Dater::trials(const calendar::Solution& best) const {
  std::vector<UnsureCoat> coats;
  for (int t = 0; t < static_cast<int>(in_.tasks->size()); ++t) {
    if (!places_.table(t)) continue;
    const std::size_t last = static_cast<std::size_t>(spans_[static_cast<std::size_t>(t)].last);
    const film::Band band = exact(t, best.start[last] + best.duration[last], &best)[task(t).step.needs_before_next];
    if (!(band.p50 > 0) || !(band.p90 < film::kNever)) continue;
    UnsureCoat coat{task(t).step.product, std::log(band.p90 / band.p50) / kNormal90, {}, static_cast<int>(last)};
    for (const Edge& edge : edges_)
      if (edge.from == t && edge.after.wait == Wait::film) coat.precedences.push_back(edge.precedence);
    coats.push_back(std::move(coat));
  }
  std::vector<std::vector<Tick>> finishes(in_.job->pieces.size());
  if (coats.empty()) return finishes;
  for (const std::vector<Tick>& ends : worked_off(model_, best, coats, kTrials, in_.options->seed)) {
    std::vector<Tick> finish(finishes.size(), 0);
    for (int t = 0; t < static_cast<int>(in_.tasks->size()); ++t) {
      const std::size_t last = static_cast<std::size_t>(spans_[static_cast<std::size_t>(t)].last);
      Tick& piece = finish[static_cast<std::size_t>(task(t).piece)];
      piece = std::max(piece, ends[last]);
    }
    for (std::size_t p = 0; p < finish.size(); ++p) finishes[p].push_back(finish[p]);
  }
  return finishes;
}

int Dater::task_of(int activity) const {
  const auto span = std::find_if(spans_.begin(), spans_.end(), [&](const Span& one) { return one.last >= activity; });
  return activity < 0 || span == spans_.end() ? -1 : static_cast<int>(span - spans_.begin());
}

void Dater::take_pins() {
  std::vector<std::pair<int, ActivityPin>> asked;
  for (std::size_t t = 0; t < in_.pins.size(); ++t)
    if (in_.pins[t] && !in_.seen[t].done) asked.push_back({in_.pins[t]->order, {spans_[t].first, in_.pins[t]->at}});
  if (asked.empty()) return;
  std::sort(asked.begin(), asked.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<ActivityPin> in_order;
  for (const auto& [order, pin] : asked) in_order.push_back(pin);
  pins_.emplace(model_, in_order, in_.now, Tick{in_.days} * 24 * 60);
}

// The calendar's reasons, with what was pinned told as such.
std::vector<std::string> Dater::why(const calendar::Solution& solution, int t) const {
  const int first = spans_[static_cast<std::size_t>(t)].first;
  if (pins_ && pins_->stands(first)) return {"you pinned it to this hour"};
  std::vector<std::string> lines = calendar::why(model_, solution, first);
  if (!pins_) return lines;
  const auto reasons = calendar::reasons(model_, solution, first);
  for (std::size_t k = 0; k < lines.size() && k < reasons.size(); ++k) {
    if (!pins_->stands(reasons[k].activity)) continue;
    lines[k] = "'" + model_.activities[static_cast<std::size_t>(reasons[k].activity)].name + "' is pinned to its hour";
    lines.resize(k + 1);
  }
  return lines;
}

Result<calendar::Outcome> Dater::search(calendar::Options& options) {
  if (pins_) pins_->apply(model_);
  calendar::Outcome outcome = calendar::solve(model_, options);
  for (int round = 0; round < 6; ++round) {
    const bool solved = outcome.status == calendar::Status::optimal || outcome.status == calendar::Status::feasible;
    if (!solved)
      return tl::unexpected(Problem{in_.job->file, 0, 0, "no calendar holds: " + outcome.explanation,
                                    "working hours, places and weather that leave room for every step",
                                    "add hours or a resting place, or warm the room"});
    if (!raise_to_exact(outcome.best)) break;
    if (pins_) pins_->apply(model_);
    outcome = calendar::solve(model_, options);
  }
  return outcome;
}

Result<Dated> Dater::run() {
  if (auto problem = add_people()) return tl::unexpected(*problem);
  if (auto problem = add_rooms()) return tl::unexpected(*problem);
  places_.find(anybody(windows_));
  if (auto problem = add_activities()) return tl::unexpected(*problem);
  add_precedences();
  add_promises();
  take_pins();
  calendar::Options options;
  options.seed = in_.options->seed;
  options.threads = in_.options->threads;
  options.max_schedules = in_.options->schedules;
  auto searched = search(options);
  // A pin must not keep the rest from being planned.
  while (pins_ && pins_->let_go_of_one(model_, searched ? &searched->best : nullptr)) searched = search(options);
  if (!searched) return tl::unexpected(searched.error());
  calendar::Outcome outcome = std::move(*searched);
  // Where dates may still be better, a short exact search on top; its plan counts when the film engine asks for nothing
  // longer at its minutes.
  const bool open = outcome.best.cost.lateness > outcome.lateness_lower_bound || outcome.gap_percent > 0;
  if (open && in_.options->proof_conflicts > 0) {
    options.proof_conflicts = in_.options->proof_conflicts;
    calendar::Outcome proved = calendar::solve(model_, options);
    const bool solved = proved.status == calendar::Status::optimal || proved.status == calendar::Status::feasible;
    if (solved && proved.best.cost <= outcome.best.cost && (!pins_ || pins_->keeps(proved.best)) &&
        !raise_to_exact(proved.best))
      outcome = std::move(proved);
  }
  Dated dated = collect(outcome);
  if (in_.wants_odds) dated.finishes = trials(outcome.best);
  return dated;
}

}  // namespace

Result<Dated> put_dates(const DateInput& input) { return Dater(input).run(); }

}  // namespace tackcloth::plan
