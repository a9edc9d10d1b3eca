#include "cutting/boxes.h"

#include <algorithm>

namespace tackcloth::cutting {

Boxes boxes_of(const std::vector<Part>& parts, const Strip& strip) {
  Boxes boxes;
  boxes.gap = strip.gap;
  boxes.width = strip.width + strip.gap;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const Part& part = parts[i];
    for (int copy = 0; copy < part.quantity; ++copy) {
      Box box{part.width + strip.gap,
              part.height + strip.gap,
              static_cast<int>(i),
              copy,
              part.may_turn,
              part.step_x,
              part.phase_x,
              part.step_y,
              part.phase_y};
      if (box.width == box.height) box.may_turn = false;
      boxes.on_steps = boxes.on_steps || box.on_steps();
      boxes.area += box.width * box.height;
      boxes.all.push_back(box);
    }
  }
  return boxes;
}

Layout layout_of(const Boxes& boxes, const std::vector<Spot>& spots) {
  Layout layout;
  for (const Spot& spot : spots) {
    const Box& box = boxes.all[static_cast<std::size_t>(spot.box)];
    const Length width = box.width - boxes.gap, height = box.height - boxes.gap;
    layout.places.push_back(
        {box.part, box.copy, spot.x, spot.y, spot.turned ? height : width, spot.turned ? width : height, spot.turned});
    layout.height = std::max(layout.height, spot.y + layout.places.back().height);
  }
  std::sort(layout.places.begin(), layout.places.end(),
            [](const Place& a, const Place& b) { return a.part != b.part ? a.part < b.part : a.copy < b.copy; });
  return layout;
}

}  // namespace tackcloth::cutting
