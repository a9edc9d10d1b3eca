// One layout from one order of the boxes: the lowest gap of the skyline is filled next, with the box that fits it best.
// Best fit: Burke, Kendall & Whitwell 2004, "A new placement heuristic for the orthogonal stock-cutting problem",
// Operations Research 52(4); marks for how well a box fills a gap: Leung, Zhang & Sim 2011, "A two-stage intelligent
// search algorithm for the two-dimensional strip packing problem", EJOR 215(1); ours also counts a width that leaves
// room for nothing.
#pragma once

#include <vector>

#include "cutting/layer.h"

namespace tackcloth::cutting {

class Skyline final : public Layer {
 public:
  explicit Skyline(const Boxes& boxes) : boxes_(boxes) {}
  Length lay(const std::vector<int>& order, const std::vector<char>& ways, Length cap, Length most_left) override;

 private:
  struct Segment {
    Length x, y, width;
  };
  struct Fit {
    int at = -1;  // index in waiting_
    int mark = -1;
    Length x = 0, y = 0;
    bool turned = false;
  };
  void rate(int at, bool turned, std::size_t gap, Length left, Length right, Length cap, Fit& best) const;
  Fit best_fit(std::size_t gap, const std::vector<char>& ways, Length cap) const;
  void put(std::size_t gap, const Fit& fit, Length& waste);
  void join(std::size_t gap);

  const Boxes& boxes_;
  std::vector<Segment> line_;
  std::vector<int> waiting_;
  Length narrowest_ = 0;
};

}  // namespace tackcloth::cutting
