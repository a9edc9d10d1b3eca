// Colour differences.
#pragma once

#include "color/space.h"

namespace tackcloth::color {

// CIEDE2000 with kL = kC = kH = 1 (CIE 142-2001; Sharma, Wu and Dalal 2005).
double difference_2000(const Lab& a, const Lab& b);
// CIE 1976.
double difference_1976(const Lab& a, const Lab& b);

}  // namespace tackcloth::color
