// Promise odds: the plan worked off many times with drying times drawn from what the film engine is unsure of.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "calendar/turnout.h"

namespace tackcloth::plan {

// What of the model stands for a drying coat.
struct UnsureCoat {
  std::string product;           // coats of one product err together
  double sigma_log = 0;          // of its time, about the P50; the model holds the P90
  std::vector<int> precedences;  // lags that are this coat's
  int tail_of = -1;              // activity whose tail is this coat's; -1: none
};

// Ends of each activity in each trial; a trial that finds no end is left out. The log error of a coat is shared: a
// fifth of its variance by the whole shop, two fifths by the product (film::kShopShare, film::kProductShare). Same
// seed, same trials.
std::vector<std::vector<calendar::Tick>> worked_off(const calendar::Model& model, const calendar::Solution& planned,
                                                    const std::vector<UnsureCoat>& coats, int trials,
                                                    std::uint64_t seed);

}  // namespace tackcloth::plan
