// The least height found by trying everything, on a grid of unit squares: slow, plain, and nothing of the solver in it.
#pragma once

#include <algorithm>
#include <bit>
#include <cstdint>
#include <map>
#include <numeric>
#include <vector>

namespace tackcloth::cutting::brute {

struct Rect {
  int width, height;
};

class Grid {
 public:
  Grid(int width, std::vector<Rect> rects, bool turns) : width_(width), rects_(std::move(rects)), turns_(turns) {}

  int least_height() {
    int area = 0;
    for (const Rect& r : rects_) area += r.width * r.height;
    for (int height = (area + width_ - 1) / width_;; ++height) {
      rows_.assign(static_cast<std::size_t>(height), 0);
      used_.assign(rects_.size(), false);
      spare_ = width_ * height - area;
      if (fill(0, rects_.size())) return height;
    }
  }

 private:
  // The first free square in reading order is the corner of a rectangle, or stays empty.
  bool fill(int cell, std::size_t waiting) {
    if (waiting == 0) return true;
    const int cells = width_ * static_cast<int>(rows_.size());
    while (cell < cells && (rows_[static_cast<std::size_t>(cell / width_)] >> (cell % width_) & 1) != 0) ++cell;
    if (cell >= cells) return false;
    const int x = cell % width_, y = cell / width_;
    for (std::size_t i = 0; i < rects_.size(); ++i) {
      if (used_[i]) continue;
      for (int way = 0; way < (turns_ ? 2 : 1); ++way) {
        const int w = way ? rects_[i].height : rects_[i].width, h = way ? rects_[i].width : rects_[i].height;
        if (x + w > width_ || y + h > static_cast<int>(rows_.size())) continue;
        const std::uint32_t mask = ((1U << w) - 1) << x;
        bool free = true;
        for (int k = 0; k < h; ++k) free = free && (rows_[static_cast<std::size_t>(y + k)] & mask) == 0;
        if (!free) continue;
        for (int k = 0; k < h; ++k) rows_[static_cast<std::size_t>(y + k)] |= mask;
        used_[i] = true;
        const bool done = fill(cell + 1, waiting - 1);
        for (int k = 0; k < h; ++k) rows_[static_cast<std::size_t>(y + k)] &= ~mask;
        used_[i] = false;
        if (done) return true;
      }
    }
    if (spare_ == 0) return false;
    --spare_;
    const bool done = fill(cell + 1, waiting);
    ++spare_;
    return done;
  }

  int width_;
  std::vector<Rect> rects_;
  bool turns_;
  std::vector<std::uint32_t> rows_;
  std::vector<bool> used_;
  int spare_ = 0;
};

// Cuts from edge to edge: every way to part a set of rectangles by an upright cut at every whole number, or a level
// one.
class Saw {
 public:
  Saw(int width, std::vector<Rect> rects, bool turns) : width_(width), rects_(std::move(rects)), turns_(turns) {}
  int least_height() { return least((1U << rects_.size()) - 1, width_); }

 private:
  static constexpr int kNever = 1 << 20;
  int least(unsigned set, int width) {
    const auto key = std::pair{set, width};
    if (const auto known = known_.find(key); known != known_.end()) return known->second;
    int best = kNever;
    if ((set & (set - 1)) == 0) {
      const Rect& r = rects_[static_cast<std::size_t>(std::countr_zero(set))];
      if (r.width <= width) best = r.height;
      if (turns_ && r.height <= width) best = std::min(best, r.width);
    } else {
      for (unsigned part = (set - 1) & set; part != 0; part = (part - 1) & set) {
        best = std::min(best, least(part, width) + least(set ^ part, width));
        for (int w = 1; w < width; ++w) best = std::min(best, std::max(least(part, w), least(set ^ part, width - w)));
      }
    }
    return known_[key] = best;
  }
  int width_;
  std::vector<Rect> rects_;
  bool turns_;
  std::map<std::pair<unsigned, int>, int> known_;
};

}  // namespace tackcloth::cutting::brute
