// Which bounds took part in recent dead ends (VSIDS: Moskewicz et al., DAC 2001, on bounds instead of Booleans).
#pragma once

#include <cstdint>
#include <vector>

#include "calendar/proof_literal.h"

namespace tackcloth::calendar::proof {

class Focus {
 public:
  Focus();
  void bump(Literal l);
  void decay();
  // The most active question "x >= value?" left, taken out until restore() to a level below; bound -1 when none is.
  Literal pop(int level);
  // The search has gone back to `level`: what was taken out above it is asked again.
  void restore(int level);
  std::size_t size() const { return question_.size(); }

 private:
  int atom_of(Literal l);
  bool before(int a, int b) const { return score_[at(a)] > score_[at(b)]; }
  void up(std::size_t place);
  void down(std::size_t place);
  void put_back(std::int32_t atom);
  void grow();
  static std::size_t at(int i) { return static_cast<std::size_t>(i); }

  std::vector<Literal> question_;  // always on a lower bound
  std::vector<double> score_;
  std::vector<std::int32_t> place_;  // in the heap, -1 outside
  std::vector<std::int32_t> heap_;
  std::vector<std::int32_t> table_;  // open addressing, -1 free
  double step_ = 1;
  struct Out {
    std::int32_t atom, level;
  };
  std::vector<Out> out_;  // levels ascending
};

}  // namespace tackcloth::calendar::proof
