// Parts laid on a roll of given width so that the least length is used. Knows nothing of wood, cloth or the shop:
// whole numbers in the caller's unit (micrometres, or whatever a file has), exact throughout.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "units/result.h"

namespace tackcloth::cutting {

using Length = std::int64_t;

// Width lies across the roll, height along it. A part with steps may stand only where its left bottom corner is at
// `phase + k * step`: where the pattern of a cloth comes round again.
struct Part {
  std::string id;
  Length width = 0, height = 0;
  int quantity = 1;
  bool may_turn = false;  // by 90 degrees; never with grain, nap or a pattern
  Length step_x = 1, phase_x = 0, step_y = 1, phase_y = 0;
};

struct Strip {
  Length width = 0;
  Length gap = 0;           // between neighbours: saw kerf, or room for shears; none at the edges of the roll
  bool guillotine = false;  // every cut goes from edge to edge
};

struct Place {
  int part = 0, copy = 0;  // indices from 0
  Length x = 0, y = 0;     // left bottom corner
  Length width = 0, height = 0;
  bool turned = false;
};

struct Layout {
  std::vector<Place> places;  // by part, then copy
  Length height = 0;
};

struct Outcome {
  Layout layout;
  Length lower_bound = 0;    // no layout is shorter
  bool proven = false;       // the layout's height is the least there is
  std::int64_t layouts = 0;  // tried
};

struct Options {
  std::uint64_t seed = 1;
  std::int64_t max_layouts = 20000;     // stop after about this many
  double max_seconds = 0;               // 0: no limit by time (repeatable); needs `now_seconds`
  std::function<double()> now_seconds;  // a clock, passed in
  const std::atomic<bool>* cancel = nullptr;
  std::function<void(const Outcome&)> on_better;  // the first layout too
  std::int64_t proof_nodes = 200000;              // that the exact search for few parts may open; 0: none
};

inline constexpr Length kMostLength = 1'000'000'000;  // of a part or a strip: 1 km in micrometres
inline constexpr int kMostParts = 2000;               // copies counted

// Problems, all at once: nothing to lay out, sizes that are not positive, parts wider than the strip (by how much, and
// where a seam would help), a step that is not positive, turns together with steps.
Results<Outcome> lay_out(const std::vector<Part>& parts, const Strip& strip, const Options& options = {});

// The same without a search: area, parts that cannot lie side by side, dual feasible functions.
Length lower_bound(const std::vector<Part>& parts, const Strip& strip);

}  // namespace tackcloth::cutting
