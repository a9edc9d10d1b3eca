#include "calendar/profile.h"

#include <algorithm>

namespace tackcloth::calendar {

Profile::Profile(const Resource& resource) {
  at_.push_back(-kForever);
  if (resource.windows.empty()) {
    free_.push_back(resource.capacity);
    return;
  }
  free_.push_back(0);
  for (const Window& w : resource.windows) {
    if (w.to <= w.from) continue;
    if (at_.back() == w.from) {
      free_.back() = resource.capacity;
    } else {
      at_.push_back(w.from);
      free_.push_back(resource.capacity);
    }
    if (w.to >= kForever) return;
    at_.push_back(w.to);
    free_.push_back(0);
  }
}

std::size_t Profile::index(Tick when) const {
  return static_cast<std::size_t>(std::upper_bound(at_.begin(), at_.end(), when) - at_.begin()) - 1;
}

Tick Profile::earliest(Tick from, Tick length, int amount) const {
  if (length <= 0 || amount <= 0) return from;
  if (from >= kForever) return kForever;
  Tick start = from;
  for (std::size_t k = index(from); k < at_.size(); ++k) {
    const Tick end = step_end(k);
    if (free_[k] < amount) {
      start = end;
      if (start >= kForever) return kForever;
    } else if (end - start >= length || end >= kForever) {
      return start;
    }
  }
  return kForever;
}

Tick Profile::blocked_until(Tick from, Tick to, int amount) const {
  Tick until = -1;
  if (to <= from || amount <= 0) return until;
  for (std::size_t k = index(from); k < at_.size() && at_[k] < to; ++k) {
    if (free_[k] < amount) until = step_end(k);
  }
  return until;
}

Tick Profile::free_until(Tick from, int amount) const {
  for (std::size_t k = index(from); k < at_.size(); ++k) {
    if (free_[k] < amount) return std::max(from, at_[k]);
  }
  return kForever;
}

std::size_t Profile::split(Tick when) {
  const std::size_t k = index(when);
  if (at_[k] == when) return k;
  at_.insert(at_.begin() + static_cast<std::ptrdiff_t>(k) + 1, when);
  free_.insert(free_.begin() + static_cast<std::ptrdiff_t>(k) + 1, free_[k]);
  return k + 1;
}

void Profile::take(Tick from, Tick to, int amount) {
  if (to <= from || amount == 0) return;
  const std::size_t first = split(from);
  std::size_t last = to >= kForever ? at_.size() : split(to);
  for (std::size_t k = first; k < last; ++k) free_[k] -= amount;
  // Steps that now equal their neighbour are joined, so that taking back leaves no crumbs.
  const auto drop = [&](std::size_t k) {
    if (k > 0 && k < at_.size() && free_[k] == free_[k - 1]) {
      at_.erase(at_.begin() + static_cast<std::ptrdiff_t>(k));
      free_.erase(free_.begin() + static_cast<std::ptrdiff_t>(k));
    }
  };
  drop(last);
  drop(first);
}

}  // namespace tackcloth::calendar
