// Outdoor air from what a forecast says of whole days: lowest and highest temperature, usual humidity.
#pragma once

#include <vector>

#include "climate/air.h"
#include "units/time.h"

namespace tackcloth::climate {

struct OutdoorDay {
  std::chrono::local_days day;
  double low_c = 0, high_c = 0;
  double rh = 0.7;  // of the day: its vapour over saturation at the mean of low and high
};

// Whether this very day is told. `days` is sorted, each day once.
bool is_told(const std::vector<OutdoorDay>& days, Instant when);

// The air at that moment; a day that is not told is like the last one told before it, one before all like the first.
// Temperature runs between low and high by ASHRAE's fractions of the daily range; what goes up to the first low comes
// from the high of the day before where that is told, the evening goes towards the next low. The vapour stays what it
// is over the day, so that the night is damper than noon (rh at most 1). Precondition: not empty.
Air air_of_days(const std::vector<OutdoorDay>& days, Instant when);

}  // namespace tackcloth::climate
