// Rectangles laid on remnants first and then on a roll or on new sheets, so that as little new stuff as can be is used.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "cutting/strip.h"

namespace tackcloth::cutting {

// What parts are laid on. `parts` has all parts, in one order for all grounds, with the steps they keep to here.
struct Ground {
  Strip strip;
  Length length = 0;  // 0: a roll, as long as need be
  std::vector<Part> parts;
};

struct Grounds {
  std::vector<Ground> remnants;
  Ground fresh;  // the roll, or one new sheet; a width of 0: there is nothing new
};

struct OnGround {
  int ground = 0;  // index of the remnant; from their number on: the roll, or new sheets one after the other
  Layout layout;   // part and copy of its places are those of the whole
};

struct Sheeted {
  std::vector<OnGround> used;                // only grounds with something on them
  std::vector<std::pair<int, int>> missing;  // part and copy of what found no place; only when there is nothing new
  Length length = 0;                         // used of the roll
  int sheets = 0;                            // new ones
  Length lower_bound = 0;                    // no way takes less of the roll, or fewer new sheets
  bool proven = false;
  std::int64_t layouts = 0;
};

// Problems as in lay_out, for parts that are larger than whatever is new. The first result comes at once through
// `better`, then every one that takes less.
Results<Sheeted> lay_on_sheets(const Grounds& grounds, const Options& options,
                               const std::function<void(const Sheeted&)>& better = {});

// Looked at ground by ground with faults() (check.h); and that every copy is there once, and what is said of the
// length, the sheets and what is missing. Empty when all is right.
std::vector<std::string> sheet_faults(const Grounds& grounds, const Sheeted& sheeted);

}  // namespace tackcloth::cutting
