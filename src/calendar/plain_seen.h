// Lists already built: building one again would give the same schedule.
#pragma once

#include <cstdint>
#include <vector>

namespace tackcloth::calendar {

// A table of fixed size that forgets: a newer list takes the place of an older one in the same slot.
class PlainSeen {
 public:
  PlainSeen() : slot_(kSlots, 0) {}
  static std::uint64_t hash(int side, const std::vector<int>& list) {
    std::uint64_t h = static_cast<std::uint64_t>(side) + 1;
    for (const int i : list) h = (h ^ static_cast<std::uint64_t>(i)) * 0x9E3779B97F4A7C15ULL + 17;
    return h ^ (h >> 32);
  }
  bool contains(std::uint64_t h) const { return slot_[h % kSlots] == h; }
  void add(std::uint64_t h) { slot_[h % kSlots] = h; }

 private:
  static constexpr std::size_t kSlots = std::size_t{1} << 16;
  std::vector<std::uint64_t> slot_;
};

}  // namespace tackcloth::calendar
