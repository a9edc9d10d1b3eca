// What the search asks of a way to lay boxes in an order.
#pragma once

#include <limits>
#include <vector>

#include "cutting/boxes.h"

namespace tackcloth::cutting {

// What a box brings besides its place in the order.
enum Way : char { turn_first = 1, split_up = 2 };

class Layer {
 public:
  static constexpr Length kGivenUp = std::numeric_limits<Length>::max();

  virtual ~Layer() = default;
  // Lays boxes under `cap`. Returns the area of those that found no place, or kGivenUp as soon as that is certain to be
  // more than `most_left`. `ways` by box: bits of Way.
  virtual Length lay(const std::vector<int>& order, const std::vector<char>& ways, Length cap, Length most_left) = 0;
  const std::vector<Spot>& spots() const { return spots_; }  // of the last lay()
  Length height() const { return height_; }                  // up to the highest box, its gap counted

 protected:
  std::vector<Spot> spots_;
  Length height_ = 0;
};

}  // namespace tackcloth::cutting
