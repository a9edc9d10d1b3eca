// Layouts that edge-to-edge cuts set free: a rectangle takes the box that fits it best into its corner, and what is
// left of it falls into two rectangles by one cut, which are filled in the same way. After Zhang, Kang & Deng 2006, "A
// new heuristic recursive algorithm for the strip rectangular packing problem", Computers & Operations Research 33(8);
// which of the two cuts is made is searched for.
#pragma once

#include "cutting/layer.h"

namespace tackcloth::cutting {

class Slices final : public Layer {
 public:
  explicit Slices(const Boxes& boxes) : boxes_(boxes) {}
  Length lay(const std::vector<int>& order, const std::vector<char>& ways, Length cap, Length most_left) override;

 private:
  struct Area {
    Length x, y, width, height;
  };
  const Boxes& boxes_;
  std::vector<Area> open_;
  std::vector<int> waiting_;
};

}  // namespace tackcloth::cutting
