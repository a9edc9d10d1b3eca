// Blocks stacked onto pages.
#pragma once

#include <functional>
#include <optional>
#include <vector>

namespace tackcloth::sheet {

struct Block {
  double height = 0;
  std::function<void(double x, double y)> draw;  // top left corner
  bool keep_with_next = false;
};

struct Placed {
  const Block* block = nullptr;
  double y = 0;  // from the top of its page's body
};
using Pages = std::vector<std::vector<Placed>>;

// `heights` has one body height a page; nothing when the blocks do not fit on that many.
std::optional<Pages> flow(const std::vector<Block>& blocks, const std::vector<double>& heights);

}  // namespace tackcloth::sheet
