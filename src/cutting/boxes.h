// Inside of the room: every copy as a box of its own, the gap added to its sizes and to the strip's width.
#pragma once

#include <vector>

#include "cutting/strip.h"

namespace tackcloth::cutting {

// Sums of areas that do not fit 64 bits.
__extension__ using Wide = __int128;

struct Box {
  Length width = 0, height = 0;
  int part = 0, copy = 0;
  bool may_turn = false;
  Length step_x = 1, phase_x = 0, step_y = 1, phase_y = 0;
  bool on_steps() const { return step_x > 1 || step_y > 1; }
  friend bool operator==(const Box& a, const Box& b) {
    return a.width == b.width && a.height == b.height && a.may_turn == b.may_turn && a.step_x == b.step_x &&
           a.phase_x == b.phase_x && a.step_y == b.step_y && a.phase_y == b.phase_y;
  }
};

struct Spot {
  int box = 0;
  Length x = 0, y = 0;
  bool turned = false;
};

struct Boxes {
  std::vector<Box> all;
  Length width = 0, gap = 0;  // of the strip, widened by the gap
  Length area = 0;            // of all boxes; fits: at most 2000 boxes of 1e18 are refused before
  bool on_steps = false;
};

Boxes boxes_of(const std::vector<Part>& parts, const Strip& strip);
Layout layout_of(const Boxes& boxes, const std::vector<Spot>& spots);

// The least value >= `from` that is `phase` modulo `step`, and the greatest <= `to`.
inline Length up_to_step(Length from, Length step, Length phase) {
  if (step <= 1) return from;
  const Length over = ((from - phase) % step + step) % step;
  return over == 0 ? from : from + step - over;
}
inline Length down_to_step(Length to, Length step, Length phase) {
  if (step <= 1) return to;
  return to - ((to - phase) % step + step) % step;
}

}  // namespace tackcloth::cutting
