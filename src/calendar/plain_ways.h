// Ways to make a child, and how each has done lately (adaptive operator choice by probability matching: Goldberg,
// Machine Learning 5, 1990).
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>

namespace tackcloth::calendar {

enum class PlainWay : int { gain, cut, best_cut, blend, shake, shift, rule, none };
inline constexpr std::size_t kPlainWays = 7;

using PlainFactors = std::array<double, kPlainWays>;  // on the shares of the ways

class PlainWays {
 public:
  PlainWays() { factor_.fill(1); }
  const PlainFactors& factor() const { return factor_; }

  // A child made this way; `shorter`: than its father, and kept.
  void record(PlainWay way, bool shorter) {
    if (way == PlainWay::none) return;
    for (std::size_t k = 0; k < kPlainWays; ++k) {
      tried_[k] *= kMemory;
      shorter_[k] *= kMemory;
    }
    tried_[static_cast<std::size_t>(way)] += 1;
    shorter_[static_cast<std::size_t>(way)] += shorter;
  }

  // Shares follow the success beside the mean of all, a way little tried is taken for average.
  void renew() {
    double tried = 0, shorter = 0;
    for (std::size_t k = 0; k < kPlainWays; ++k) {
      tried += tried_[k];
      shorter += shorter_[k];
    }
    const double mean = (shorter + 0.5) / (tried + 5);
    for (std::size_t k = 0; k < kPlainWays; ++k) {
      const double success = (shorter_[k] + kDoubt * mean) / (tried_[k] + kDoubt);
      factor_[k] = std::clamp(success / mean, 1 / kMost, kMost);
    }
  }

 private:
  static constexpr double kMemory = 0.998;  // a child: half is forgotten after some 350
  static constexpr double kDoubt = 10;      // children
  static constexpr double kMost = 4;
  PlainFactors factor_, tried_{}, shorter_{};
};

}  // namespace tackcloth::calendar
