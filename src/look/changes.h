// Changes to a look as they are stored: JSON bodies, one after the other. Nothing is ever rewritten; taking a change
// back is a body of its own, so everything can be undone and done again.
//   {"piece": "cabinet", "part": "case", "zone": "sunrise", "set": {"color": "lab(62 -12 6)", "radius": 190}}
//   {"piece": "cabinet", "part": "case", "zone": "sunrise", "remove": true}
//   {"take_back": KEY}       KEY: of an earlier change, or of an earlier take_back (which puts it in force again)
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "job/edit.h"
#include "units/result.h"

namespace tackcloth::look {

struct Change {
  std::string key, when;
  job::Edit edit;
  std::string takes_back;  // the key; empty for an edit
  bool stands = true;      // not taken back
};

// At most 16 KiB and 40 keys; values are texts up to 2,000 bytes, numbers, rows of numbers (corners, mm), or null
// (takes the key out). A "swatch" may have 160,000 bytes more: a small picture as a data URL.
Result<Change> read_change(const std::string& key, const std::string& when, std::string_view json);

// Works out which changes stand. A take_back of a key that is not there is a Problem.
Result<void> settle(std::vector<Change>& changes);
std::vector<job::Edit> standing(const std::vector<Change>& changes);

}  // namespace tackcloth::look
