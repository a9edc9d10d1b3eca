// The only clock of the program: engines are given the time, they never ask for it.
#pragma once

#include "units/time.h"

namespace tackcloth::cli {

// The current minute on the wall of the shop.
Instant wall_clock();

}  // namespace tackcloth::cli
