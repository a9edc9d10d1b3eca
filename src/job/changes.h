// Changes to the job as they are stored: JSON bodies, one after the other. Nothing is ever rewritten; taking a change
// back is a body of its own, so everything can be undone and done again.
//   {"piece": "cabinet", "part": "case", "zone": "sunrise", "set": {"color": "lab(62 -12 6)", "radius": 190}}
//   {"piece": "cabinet", "part": "case", "zone": "sunrise", "remove": true}
//   {"piece": "cabinet", "taken_off": "door", "set": {…}}   or "tick": "bag", or "remove": true (job/apart_step.h)
//   {"put": "piece/chair", "body": {…}, "after": KEY}   a whole chapter; body null takes a piece out
//   {"pin": STEP, "mark": {…}, "start": HOUR or null}   a step of the plan pinned or let go (job/pin_step.h)
//   {"reading": ROOM, "at": HOUR, "temp_c": …, "rh": …}   the air as it was read (job/air_reading.h)
//   {"stock": WORD, "lines": […]}   what was told of the shelf (job/stock_step.h)
//   {"choose": KEY}          KEY: of a put that two people made at once, and that is to stand
//   {"take_back": KEY}       KEY: of an earlier change, or of an earlier take_back (which puts it in force again)
// `after` is the key of the newest change to that chapter its writer had seen, "" when there was none. Where another
// one came in between, neither is lost: the put is kept as contested, and is in force only once it is chosen.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "job/air_reading.h"
#include "job/pin_step.h"
#include "job/put.h"
#include "job/stock_step.h"
#include "units/result.h"

namespace tackcloth::job {

struct Change {
  std::string key, when;
  Edit edit;                          // of a zone; of a put only the piece is named
  std::optional<Put> put;             // in place of an edit
  std::optional<ApartStep> apart;     // likewise; it touches nothing that a put writes, so neither contests the other
  std::optional<PinStep> pin;         // likewise; contested only where it was stored as such
  std::optional<AirReading> reading;  // likewise; nothing of the job
  std::optional<StockStep> stock;     // likewise; nothing contests it: of two counts the later one holds
  std::string after;                  // of a put
  std::string takes_back, chooses;    // keys; empty for an edit or a put
  bool stands = true;                 // not taken back
  bool contested = false;             // a put that is kept but not in force
};

// At most 16 KiB and 40 keys (a put: 900 kB); values are texts up to 2,000 bytes, numbers, rows of numbers (corners,
// mm), or null (takes the key out). A "swatch" may have 160,000 bytes more: a small picture as a data URL.
Result<Change> read_change(const std::string& key, const std::string& when, std::string_view json);

// Works out which changes stand and which are contested. A take_back of a key that is not there, and the
// choice of a put that is not there, are Problems.
Result<void> settle(std::vector<Change>& changes);
std::vector<Step> standing(const std::vector<Change>& changes);
// By chapter ("piece/chair", "shop", "shelf") the key a new put has to name as `after`; missing: "".
std::map<std::string, std::string> heads(const std::vector<Change>& changes);

}  // namespace tackcloth::job
