#include "sheet/flow.h"

namespace tackcloth::sheet {

std::optional<Pages> flow(const std::vector<Block>& blocks, const std::vector<double>& heights) {
  Pages pages(1);
  double y = 0;
  for (std::size_t i = 0; i < blocks.size();) {
    std::size_t end = i + 1;
    double together = blocks[i].height;
    while (blocks[end - 1].keep_with_next && end < blocks.size()) together += blocks[end++].height;
    if (y + together > heights[pages.size() - 1]) {
      if (pages.size() == heights.size()) return std::nullopt;
      pages.emplace_back();
      y = 0;
      continue;
    }
    for (; i < end; ++i) {
      pages.back().push_back({&blocks[i], y});
      y += blocks[i].height;
    }
  }
  return pages;
}

}  // namespace tackcloth::sheet
