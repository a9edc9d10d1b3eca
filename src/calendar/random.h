// Small, fast, repeatable random numbers.
#pragma once

#include <cstdint>

namespace tackcloth::calendar {

// splitmix64 (Steele, Lea & Flood 2014, "Fast splittable pseudorandom number generators").
class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed) {}
  Random(std::uint64_t seed, std::uint64_t a, std::uint64_t b) : state_(seed) {
    state_ = next() ^ (a * 0x9E3779B97F4A7C15ULL);
    state_ = next() ^ (b * 0xD1B54A32D192ED03ULL);
  }
  std::uint64_t next() {
    std::uint64_t z = (state_ += 0x9E3779B97F4A7C15ULL);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
    return z ^ (z >> 31);
  }
  // 0 .. bound-1 (multiply-shift on 32 bits; bound > 0)
  std::size_t below(std::size_t bound) {
    return static_cast<std::size_t>(((next() >> 32) * static_cast<std::uint64_t>(bound)) >> 32);
  }
  double unit() { return static_cast<double>(next() >> 11) * 0x1.0p-53; }

 private:
  std::uint64_t state_;
};

}  // namespace tackcloth::calendar
