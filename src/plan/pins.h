// Steps pinned to an hour, on the model of the calendar. A pin is a release and a promise that outweighs all others;
// what certainly stands against it is found before anything is searched.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "calendar/solve.h"
#include "plan/dates.h"

namespace tackcloth::plan {

struct ActivityPin {
  int activity = -1;
  calendar::Tick at = 0;
};

// What stands against a pin.
struct PinBar {
  enum class Why {
    passed,      // the hour is over
    release,     // not before this
    hands,       // too few people are there for so long
    air,         // `resource` (air fit for a coat) has no window then
    waits,       // `other` and its lag are not over by then
    follower,    // then `other`, which is pinned as well, could not start in time
    same_hands,  // `other`, pinned too, has the hands
    far,         // beyond the days that are planned
    no_plan      // no plan was found that keeps it
  };
  Why why = Why::no_plan;
  int other = -1, resource = -1, waiter = -1;
  calendar::Tick next =
      -1;  // the soonest at or after the pin that windows and what leads up to it allow; -1: not known
};

// For sure and whatever is moved: nothing, or the first bar. `kept` are pins that stand; activities are in the order of
// their precedences. `horizon`: the end of the days that are planned.
std::optional<PinBar> bar_of(const calendar::Model& model, const std::vector<ActivityPin>& kept,
                             const ActivityPin& wish, calendar::Tick now, calendar::Tick horizon);

// What a schedule that does not keep it says of it.
PinBar bar_in(const calendar::Model& model, const calendar::Solution& solution, const std::vector<ActivityPin>& kept,
              const ActivityPin& wish);

// Said with a coat whose window has closed.
inline constexpr const char* kScuffFirst =
    "The recoat window has closed by then: scuff P320 and wipe off before this coat.";

// The pins of one calendar: those that stand, and what stood against the others.
class PinBoard {
 public:
  // The oldest first. What cannot hold for sure is let go at once.
  PinBoard(const calendar::Model& model, const std::vector<ActivityPin>& in_order, calendar::Tick now,
           calendar::Tick horizon);

  // Releases and promises of the pins that stand; again whenever a tail was changed or a pin let go.
  void apply(calendar::Model& model) const;
  bool keeps(const calendar::Solution& solution) const;
  // Of those the schedule does not keep, and those they run into, the newest; without a schedule the newest of all.
  // False: nothing had to be let go.
  bool let_go_of_one(const calendar::Model& model, const calendar::Solution* solution);
  bool stands(int activity) const;
  const PinBar* bar(int activity) const;  // nullptr: not pinned, or it stands

 private:
  std::vector<ActivityPin> standing_;
  std::map<int, PinBar> bars_;
  std::vector<calendar::Tick> release_;  // without pins
  std::size_t promises_ = 0;             // likewise
};

// Why the pin of task `t` is let go. `other`, `waiter`: the tasks of bar.other and bar.waiter, or -1.
std::string bar_text(const DateInput& input, int t, const PinBar& bar, int other, int waiter);
// "Wed 2026-03-04 17:30"
std::string hour_text(Instant when);

}  // namespace tackcloth::plan
