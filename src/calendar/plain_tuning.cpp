#include "calendar/plain_tuning.h"

#include <algorithm>
#include <cmath>

namespace tackcloth::calendar {

PlainTuning plain_tuning(int size, std::int64_t budget) {
  PlainTuning t;
  (void)size;
  const double schedules = static_cast<double>(std::clamp<std::int64_t>(budget, 1, 200'000));
  t.population = std::clamp(static_cast<int>(0.7 * std::sqrt(schedules)), 4, 1000);
  return t;
}

}  // namespace tackcloth::calendar
