// Looks of a piece beside each other: what each costs, how long it takes, and its colours in numbers. Costs, days and
// hours come from the plan of the whole shop with that look in it, never from a rule of thumb.
#pragma once

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "color/palette.h"
#include "color/space.h"
#include "plan/plan.h"

namespace tackcloth::look {

// One zone as it is to look.
struct ZoneColor {
  std::string part, zone, face, treatment, word;  // word: the colour as it is written, may be empty
  std::optional<color::Lab> lab;                  // D50; nothing: a word without a measure, or no colour at all
  std::string from;                               // "given", "wood" (the species under its clear: a model); else empty
  // What the clear does to the light the wood throws back, each channel in linear sRGB, bare to cleared (the same
  // model). Nothing unless the part is bare: a finished surface already looks cleared.
  std::optional<std::array<double, 3>> gain;
};

// Two zones that meet, in numbers. No verdict: what pleases is the owner's to say.
struct Pair {
  std::string part, zone, other;
  double de00 = 0, lightness = 0, chroma = 0, hue_deg = 0;  // differences, other less zone; hue in -180..180
};

struct Board {
  std::string id, name;  // id empty: as in the job file
  materials::Price price;
  double bench_hours = 0, days = 0;  // days: from the start of the plan to the finish of this piece
  Instant finish;
  std::optional<Instant> due;
  bool late = false;
  bool chosen = false;  // by the owner
  std::vector<ZoneColor> zones;
  std::vector<Pair> pairs;
  std::vector<catalog::Finding> must_not;  // what forbids it
};

// The job with one look laid over the zones of one piece. An empty look is the job as it is.
Result<job::Job> with_look(const job::Job& job, const std::string& piece, const std::string& look);

// Colours as they are written; wood under a clear, oil or wax from the palette's species and clear, when it has them.
std::vector<ZoneColor> colors_of(const piece::Piece& piece, const catalog::Catalog& catalog,
                                 const color::Palette& palette);
std::vector<Pair> pairs_of(const piece::Piece& piece, const std::vector<ZoneColor>& colors);

// The job's own look first, then every [[piece.look]], at most job::kMostLooks in all. `threads` plans run side by
// side; the boards are the same for any number. `between` is told (done, of) and may return false: then what is done
// comes back.
Results<std::vector<Board>> boards(const job::Job& job, const std::string& piece, const plan::World& world,
                                   const color::Palette& palette, const plan::Options& options, int threads,
                                   const std::function<bool(int, int)>& between = {});

std::string to_json(const std::vector<Board>& boards, const std::string& piece, const std::string& currency);

}  // namespace tackcloth::look
