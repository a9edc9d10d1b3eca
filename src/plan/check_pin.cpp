// Whether a plan would keep a pin: it is asked before the pin is stored.
#include <algorithm>

#include "plan/pins.h"
#include "plan/step_mark.h"

namespace tackcloth::plan {

namespace {

constexpr std::int64_t kSchedules = 60;

const PlannedStep* step_of(const Plan& plan, const std::string& id) {
  for (const PlannedPiece& piece : plan.pieces)
    for (const PlannedStep& step : piece.schedule)
      if (step.id == id) return &step;
  return nullptr;
}

bool needs_scuff(const PlannedStep& step) {
  return std::any_of(step.notes.begin(), step.notes.end(), [](const std::string& note) { return note == kScuffFirst; });
}

tl::unexpected<Problem> refused(std::string what, std::string remedy) {
  return tl::unexpected(Problem{"", 0, 0, std::move(what), "an hour at which the work can be done", std::move(remedy)});
}

// When the window of a coat beneath closes that is closed by the hour of the pin.
std::optional<Instant> closed_before(const Plan& plan, const PlannedStep& step) {
  std::optional<Instant> closes;
  for (const WaitFor& wait : step.waits_for)
    if (const PlannedStep* under = step_of(plan, wait.step); under && under->recoat_closes)
      if (*under->recoat_closes < step.start && (!closes || *under->recoat_closes < *closes))
        closes = under->recoat_closes;
  return closes;
}

}  // namespace

Results<void> check_pin(const job::Job& job, const World& world, const Options& options, const Plan& standing,
                        const Pin& pin, Instant now) {
  const auto say = [](const tl::unexpected<Problem>& problem) {
    return tl::unexpected(std::vector<Problem>{problem.value()});
  };
  const PlannedStep* before = step_of(standing, pin.step);
  if (!before)
    return say(tl::unexpected(Problem{"", 0, 0, "the plan has no step '" + pin.step.substr(0, 100) + "'",
                                      "a step of the latest plan", "reload the page and try again"}));
  if (before->done)
    return say(refused("'" + before->text + "' is done already", "pin a step that is still to be done"));
  if (!pin.start) return {};
  if (*pin.start < now)
    return say(refused(hour_text(*pin.start) + " has passed", "pin it to an hour after " + hour_text(now)));
  if (*pin.start < standing.start)
    return say(refused("the plan starts at " + hour_text(standing.start), "pin it to an hour after that"));
  Options quick = options;
  quick.odds = false;
  quick.schedules = std::min(quick.schedules, kSchedules);
  quick.proof_conflicts = 0;
  quick.pins.push_back(pin);
  const auto plan = make_plan(job, world, quick);
  if (!plan) return tl::unexpected(plan.error());
  const PlannedStep* after = nullptr;
  for (const PlannedPiece& piece : plan->pieces)
    for (const PlannedStep& step : piece.schedule)
      if (step.pinned && step.pinned->start == *pin.start && step.text == before->text && step.id == pin.step)
        after = &step;
  if (!after) return say(refused("the piece was changed and has no such step now", "reload the page and try again"));
  if (!after->pinned->kept) {
    const Pinned& pinned = *after->pinned;
    return say(refused("'" + before->text + "' cannot be pinned to " + hour_text(*pin.start) + ": " + pinned.why,
                       pinned.next ? "the next hour for it is " + hour_text(*pinned.next) : "choose another hour"));
  }
  if (needs_scuff(*after) && !needs_scuff(*before)) {
    const auto closes = closed_before(*plan, *after);
    return say(refused("the recoat window of what lies beneath '" + before->text + "' closes " +
                           (closes ? "at " + hour_text(*closes) : "before that"),
                       closes ? "pin it before " + hour_text(*closes) + ": later it has to be scuffed first"
                              : "choose an earlier hour"));
  }
  return {};
}

}  // namespace tackcloth::plan
