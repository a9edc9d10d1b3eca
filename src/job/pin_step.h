// A step of the plan pinned to an hour by hand, or let go, as it is stored among the changes. It touches nothing of the
// job itself: the planner reads it.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "units/result.h"

namespace tackcloth::job {

struct Change;

struct PinStep {
  std::string step;     // its id when it was pinned
  std::string mark;     // what it was then, JSON (plan/step_mark.h)
  std::string start;    // ISO 8601; empty: let go
  bool beside = false;  // another one stood that its writer had not seen: kept, in force once it is chosen
};

// From {"pin": ID, "mark": {…}, "start": "2026-03-04T17:30" or null, "beside": true?}; `text` has been read as an
// object.
Result<PinStep> read_pin_step(std::string_view text);
std::string to_json(const PinStep& pin);

// Those in force, in the order they came in force. Of several for one step the last one counts, let go or not.
std::vector<PinStep> standing_pins(const std::vector<Change>& changes);

}  // namespace tackcloth::job
