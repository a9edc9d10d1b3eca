#include "plan/working_time.h"

#include <algorithm>

namespace tackcloth::plan {

using calendar::Tick;
using calendar::Window;

namespace {

std::vector<Window> joined(std::vector<Window> windows) {
  std::sort(windows.begin(), windows.end(), [](const Window& a, const Window& b) { return a.from < b.from; });
  std::vector<Window> result;
  for (const Window& window : windows) {
    if (!result.empty() && window.from <= result.back().to)
      result.back().to = std::max(result.back().to, window.to);
    else
      result.push_back(window);
  }
  return result;
}

std::vector<Window> intersected(const std::vector<Window>& a, const std::vector<Window>& b) {
  std::vector<Window> result;
  for (std::size_t i = 0, j = 0; i < a.size() && j < b.size();) {
    const Window both{std::max(a[i].from, b[j].from), std::min(a[i].to, b[j].to)};
    if (both.from < both.to) result.push_back(both);
    if (a[i].to < b[j].to)
      ++i;
    else
      ++j;
  }
  return result;
}

Tick longest(const std::vector<Window>& windows) {
  Tick best = 0;
  for (const Window& window : windows) best = std::max(best, window.to - window.from);
  return best;
}

// Every set of `people` persons from `first` on, met with `common`.
Tick longest_of_sets(const std::vector<std::vector<Window>>& persons, std::size_t first, int people,
                     const std::vector<Window>& common) {
  if (people == 0) return longest(common);
  Tick best = 0;
  for (std::size_t i = first; i < persons.size(); ++i)
    best = std::max(best, longest_of_sets(persons, i + 1, people - 1, intersected(common, persons[i])));
  return best;
}

}  // namespace

std::vector<Window> working_windows(const job::Person& person, Instant start, int days) {
  const auto first_day = std::chrono::floor<std::chrono::days>(start);
  std::vector<Window> windows;
  for (int d = 0; d < days; ++d) {
    const std::chrono::local_days day = first_day + std::chrono::days(d);
    const std::vector<job::DayHours>* hours = &person.week[std::chrono::weekday(day).c_encoding()];
    for (const job::Exception& exception : person.exceptions)
      if (exception.day == day) hours = &exception.hours;
    const Tick midnight = (Instant(day) - start).count();
    for (const job::DayHours& h : *hours) {
      const Window window{std::max<Tick>(0, midnight + h.from_min), midnight + h.to_min};
      if (window.from < window.to) windows.push_back(window);
    }
  }
  return joined(std::move(windows));
}

Tick longest_stretch(const std::vector<std::vector<Window>>& persons, int people) {
  return longest_of_sets(persons, 0, people, {{0, calendar::kForever}});
}

std::vector<Window> anybody(const std::vector<std::vector<Window>>& persons) {
  std::vector<Window> all;
  for (const auto& windows : persons) all.insert(all.end(), windows.begin(), windows.end());
  return joined(std::move(all));
}

}  // namespace tackcloth::plan
