// What is written at the bench while a piece is taken apart and put back: one row of [[piece.taken_off]] at a time, so
// that two people can do it at once.
#pragma once

#include <string>
#include <string_view>

#include "units/result.h"

namespace tackcloth::job {

struct ApartStep {
  std::string piece, row;
  std::string set;      // a JSON object of keys with new values, null takes one out; a row that is not there comes last
  std::string tick;     // a word for its `ticked`
  bool remove = false;  // the row as a whole
};

// The job with the step laid over it, as TOML.
Result<std::string> with_apart(std::string_view toml, const ApartStep& step);

// From {"piece", "taken_off", and "set", "tick" or "remove"}; `text` has been read as a JSON object.
Result<ApartStep> read_apart_step(std::string_view text);

}  // namespace tackcloth::job
