// Pins in words.
#include "plan/pins.h"

namespace tackcloth::plan {

std::string hour_text(Instant when) {
  static const char* const days[] = {"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
  const auto day = std::chrono::floor<std::chrono::days>(when);
  const std::string iso = to_iso(when);
  return std::string(days[std::chrono::weekday(day).c_encoding()]) + " " + iso.substr(0, 10) + " " + iso.substr(11, 5);
}

namespace {

std::string hands_missing(const job::Shop& shop, int people) {
  if (people > 1) return std::to_string(people) + " people are not there";
  if (shop.people.size() > 1) return "nobody is there";
  const job::Person& person = shop.people.front();
  return (person.name.empty() ? person.id : person.name) + " is not there";
}

}  // namespace

std::string bar_text(const DateInput& input, int t, const PinBar& bar, int other, int waiter) {
  using Why = PinBar::Why;
  const auto task = [&](int index) -> const Task& { return (*input.tasks)[static_cast<std::size_t>(index)]; };
  const std::string named = other < 0 ? "what it waits for" : "'" + task(other).step.text + "'";
  switch (bar.why) {
    case Why::passed:
      return "that hour has passed";
    case Why::release:
      return "the piece is not there yet";
    case Why::hands:
      return hands_missing(input.job->shop, task(t).people) + " for all of it then";
    case Why::air:
      return task(t).step.is_film ? "the air there is not fit for this coat then" : "its place is closed then";
    case Why::waits:
      if (other >= 0 && waiter >= 0)
        for (const After& after : task(waiter).after) {
          if (after.task != other || after.wait == Wait::order) continue;
          return named + (after.wait == Wait::film ? " is not dry by then" : " has not rested by then");
        }
      return named + " cannot be done by then";
    case Why::follower:
      return named + " is pinned too, and could then not start in time";
    case Why::same_hands:
      return named + " is pinned then and needs the same hands";
    case Why::far:
      return "it lies beyond the days that can be planned";
    case Why::no_plan:
      break;
  }
  return "no plan was found that keeps it beside everything else";
}

}  // namespace tackcloth::plan
