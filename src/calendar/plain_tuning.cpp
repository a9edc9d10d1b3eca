#include "calendar/plain_tuning.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::calendar {

PlainTuning plain_tuning(int size, std::int64_t budget) {
  PlainTuning t;
  const bool small = size <= 45;  // lost in a population of near twins: a larger one, and more chance
  const double schedules = static_cast<double>(std::clamp<std::int64_t>(budget, 1, 200'000));
  const double decades = std::max(0.0, std::log10(schedules / 1000));
  // With more time larger, but members kept apart need not be as many.
  const double root = small ? 1.2 : 0.7 * (1 - 0.3 * decades);
  t.population = std::clamp(static_cast<int>(root * std::sqrt(schedules)), 4, 1000);
  t.mothers = std::clamp(static_cast<int>(8 * (1 + 1.5 * decades)), 8, 16);
  t.choose = std::clamp(2 - 0.6 * decades, 1.0, 2.0);  // with more time, less greed
  t.stray = small ? 0.01 : std::clamp(0.014 * decades, 0.0, 0.01);
  t.adaptive = !small;
  t.apart = small ? 0 : 0.9 * decades;
  if (small) {
    t.share.shake = 0.3;
    t.packed_whole = 0.1;
    t.packed = 0;
    t.choose = 2;
    t.mothers = 8;
  }
  return t;
}

}  // namespace tackcloth::calendar
