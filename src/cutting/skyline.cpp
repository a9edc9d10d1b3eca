#include "cutting/skyline.h"

#include <algorithm>

namespace tackcloth::cutting {
namespace {

constexpr int kBestMark = 6;

}  // namespace

// Marks: a width that fills the gap and a top flush with the higher wall 6, with the lower 5, a full width alone 4; a
// top flush with the higher wall 3, with the lower 2; else 0, and a width that leaves a slit for nothing loses to one
// that does not.
void Skyline::rate(int at, bool turned, std::size_t gap, Length left, Length right, Length cap, Fit& best) const {
  const Box& box = boxes_.all[static_cast<std::size_t>(waiting_[static_cast<std::size_t>(at)])];
  const Length width = turned ? box.height : box.width, height = turned ? box.width : box.height;
  const Segment& s = line_[gap];
  if (width > s.width || s.y + height > cap) return;
  Length x = s.x, y = s.y;
  if (boxes_.on_steps) {
    x = up_to_step(x, box.step_x, box.phase_x);
    y = up_to_step(y, box.step_y, box.phase_y);
    if (x + width > s.x + s.width || y + height > cap) return;
  }
  const Length high = std::max(left, right), low = std::min(left, right), top = y + height;
  int mark = 0;
  bool to_right = right > left;
  if (x + width == s.x + s.width && x == s.x) {
    mark = top == high ? 6 : top == low ? 5 : 4;
  } else if (top == high) {
    mark = 3;
  } else if (top == low) {
    mark = 2;
    to_right = !to_right;
  } else {
    mark = s.width - width < narrowest_ ? 0 : 1;
  }
  if (mark <= best.mark) return;
  if (to_right) {
    const Length from_right = down_to_step(s.x + s.width - width, box.step_x, box.phase_x);
    if (from_right >= x) x = from_right;
  }
  best = {at, mark, x, y, turned};
}

Skyline::Fit Skyline::best_fit(std::size_t gap, const std::vector<char>& ways, Length cap) const {
  const Length left = gap == 0 ? cap : line_[gap - 1].y;
  const Length right = gap + 1 == line_.size() ? cap : line_[gap + 1].y;
  Fit best;
  for (int at = 0; at < static_cast<int>(waiting_.size()) && best.mark < kBestMark; ++at) {
    const int which = waiting_[static_cast<std::size_t>(at)];
    const bool may_turn = boxes_.all[static_cast<std::size_t>(which)].may_turn;
    const bool first = may_turn && (ways[static_cast<std::size_t>(which)] & turn_first) != 0;
    rate(at, first, gap, left, right, cap, best);
    if (may_turn) rate(at, !first, gap, left, right, cap, best);
  }
  return best;
}

void Skyline::join(std::size_t gap) {
  if (gap + 1 < line_.size() && line_[gap].y == line_[gap + 1].y) {
    line_[gap].width += line_[gap + 1].width;
    line_.erase(line_.begin() + static_cast<std::ptrdiff_t>(gap) + 1);
  }
  if (gap > 0 && line_[gap - 1].y == line_[gap].y) {
    line_[gap - 1].width += line_[gap].width;
    line_.erase(line_.begin() + static_cast<std::ptrdiff_t>(gap));
  }
}

void Skyline::put(std::size_t gap, const Fit& fit, Length& waste) {
  const int which = waiting_[static_cast<std::size_t>(fit.at)];
  const Box& box = boxes_.all[static_cast<std::size_t>(which)];
  const Length width = fit.turned ? box.height : box.width, height = fit.turned ? box.width : box.height;
  waiting_.erase(waiting_.begin() + fit.at);
  spots_.push_back({which, fit.x, fit.y, fit.turned});
  height_ = std::max(height_, fit.y + height);
  const Segment old = line_[gap];
  waste += (fit.y - old.y) * width;
  const Length before = fit.x - old.x, after = old.x + old.width - fit.x - width;
  line_[gap] = {fit.x, fit.y + height, width};
  if (after > 0)
    line_.insert(line_.begin() + static_cast<std::ptrdiff_t>(gap) + 1, Segment{fit.x + width, old.y, after});
  if (before > 0) {
    line_.insert(line_.begin() + static_cast<std::ptrdiff_t>(gap), Segment{old.x, old.y, before});
    ++gap;
  }
  join(gap);
}

Length Skyline::lay(const std::vector<int>& order, const std::vector<char>& ways, Length cap, Length most_left) {
  line_.assign(1, {0, 0, boxes_.width});
  waiting_ = order;
  spots_.clear();
  height_ = 0;
  narrowest_ = boxes_.width;
  for (const Box& box : boxes_.all)
    narrowest_ = std::min({narrowest_, box.width, box.may_turn ? box.height : box.width});
  Length waste = 0, left = boxes_.area;
  // What is left is the area of all less W * cap plus the waste, so this much waste may be.
  const Length slack = boxes_.width * cap - boxes_.area;
  const Length most_waste = most_left >= kGivenUp - slack ? kGivenUp : slack + most_left;
  while (!waiting_.empty()) {
    std::size_t gap = 0;
    for (std::size_t i = 1; i < line_.size(); ++i)
      if (line_[i].y < line_[gap].y) gap = i;
    const Fit fit = best_fit(gap, ways, cap);
    if (fit.at >= 0) {
      const Box& box = boxes_.all[static_cast<std::size_t>(waiting_[static_cast<std::size_t>(fit.at)])];
      left -= box.width * box.height;
      put(gap, fit, waste);
    } else {
      const Length wall = std::min(gap == 0 ? cap : line_[gap - 1].y, gap + 1 == line_.size() ? cap : line_[gap + 1].y);
      if (line_[gap].y >= cap) break;
      waste += (wall - line_[gap].y) * line_[gap].width;
      line_[gap].y = wall;
      join(gap);
    }
    if (waste > most_waste) return kGivenUp;
  }
  return left;
}

}  // namespace tackcloth::cutting
