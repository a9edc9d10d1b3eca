#include "cutting/slices.h"

#include <algorithm>

namespace tackcloth::cutting {

Length Slices::lay(const std::vector<int>& order, const std::vector<char>& ways, Length cap, Length most_left) {
  spots_.clear();
  height_ = 0;
  waiting_ = order;
  open_.assign(1, {0, 0, boxes_.width, cap});
  Length left = boxes_.area, waste = 0;
  const Length slack = boxes_.width * cap - boxes_.area;
  const Length most_waste = most_left >= kGivenUp - slack ? kGivenUp : slack + most_left;
  while (!open_.empty() && !waiting_.empty()) {
    const Area area = open_.back();
    open_.pop_back();
    int best_at = -1, best_mark = 0;
    Spot spot;
    for (int at = 0; at < static_cast<int>(waiting_.size()) && best_mark < 3; ++at) {
      const int which = waiting_[static_cast<std::size_t>(at)];
      const Box& box = boxes_.all[static_cast<std::size_t>(which)];
      const bool first = box.may_turn && (ways[static_cast<std::size_t>(which)] & turn_first) != 0;
      for (const bool turned : {first, !first}) {
        if (turned && !box.may_turn) continue;
        const Length width = turned ? box.height : box.width, height = turned ? box.width : box.height;
        const Length x = up_to_step(area.x, box.step_x, box.phase_x), y = up_to_step(area.y, box.step_y, box.phase_y);
        if (x + width > area.x + area.width || y + height > area.y + area.height) continue;
        const int mark = 1 + (x + width == area.x + area.width) + (y + height == area.y + area.height);
        if (mark <= best_mark) continue;
        best_mark = mark;
        best_at = at;
        spot = {which, x, y, turned};
      }
    }
    if (best_at < 0) {
      waste += area.width * area.height;
      if (waste > most_waste) return kGivenUp;
      continue;
    }
    const Box& box = boxes_.all[static_cast<std::size_t>(spot.box)];
    // On steps a box may stand off the corner; what lies between is lost.
    const Length right = spot.x + (spot.turned ? box.height : box.width);
    const Length top = spot.y + (spot.turned ? box.width : box.height);
    waste += (right - area.x) * (top - area.y) - box.width * box.height;
    left -= box.width * box.height;
    height_ = std::max(height_, top);
    spots_.push_back(spot);
    waiting_.erase(waiting_.begin() + best_at);
    const bool up = (ways[static_cast<std::size_t>(spot.box)] & split_up) != 0;
    const Area beside{right, area.y, area.x + area.width - right, up ? area.height : top - area.y};
    const Area above{area.x, top, up ? right - area.x : area.width, area.y + area.height - top};
    if (above.width > 0 && above.height > 0) open_.push_back(above);
    if (beside.width > 0 && beside.height > 0) open_.push_back(beside);
  }
  return left;
}

}  // namespace tackcloth::cutting
