// Cloth panels on a roll: allowances, nap, the repeat of the pattern, how much to buy. Lengths in micrometres.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cutting/strip.h"
#include "units/quantity.h"

namespace tackcloth::cutting {

// As it is seen when done; the allowances come on top.
struct Panel {
  std::string id;
  Length width = 0, height = 0;
  int quantity = 1;
  bool wide_as_cut = false;  // `width` has its allowances already: one width of several joined
  // Of such a width: from the middle of the whole panel (its left edge when motifs are not centred) to this width's
  // left cut edge, so that the pattern runs on across the seam.
  std::optional<Length> starts = {};
};

struct Cloth {
  Length roll_width = 0;
  Length selvedge = 0;    // on either side, not used
  Length wrap = 0;        // on each of the four sides, round to the back of the board
  Length seam = 0;        // on each of the four sides, beyond the wrap
  Length gap = 0;         // between neighbours
  bool may_turn = false;  // only stuff without nap, grain and pattern
  bool guillotine = false;
  Length repeat_x = 0, repeat_y = 0;  // of the pattern across and along the roll; 0: plain
  bool centred = true;                // a motif in the middle of every panel; else all begin alike at their left bottom
  // From the left edge of the roll and from the cut end to the middle of the first motif. Not measured: room for one
  // repeat is kept, so that the layout can be shifted on the cloth until a motif is where it should be.
  std::optional<Length> first_x, first_y;
};

struct Cut {
  std::vector<Part> parts;  // cut sizes; places are measured from the left selvedge's inner edge and the cut end
  Strip strip;
  Outcome outcome;
  Length spare = 0;   // kept for the pattern along the roll
  Length length = 0;  // used, spare and all
  int tenths_m = 0;   // to buy: length rounded up to 0.1 m, and to 1/8 yd, as shops sell (common practice, no source)
  int eighths_yd = 0;
  std::vector<std::string> notes;  // in words, for the screen
};

// Problems, all at once, each with what to do: a panel wider than the roll (by how much, and of how many widths it
// could be seamed), sizes and allowances that cannot be. A repeat larger than a panel is a note. `system` is for the
// words.
Results<Cut> cut_cloth(const std::vector<Panel>& panels, const Cloth& cloth, units::System system,
                       const Options& options = {});

// What cut_cloth is made of, for stuff that does not come from one roll alone.
std::vector<Problem> cut_problems(const std::vector<Panel>& panels, const Cloth& cloth, units::System system);
std::vector<Part> cut_parts(const std::vector<Panel>& panels, const Cloth& cloth);  // cut sizes on their steps
Strip cut_strip(const Cloth& cloth);
Length cut_spare(const Cloth& cloth);
std::vector<std::string> cut_notes(const std::vector<Panel>& panels, const Cloth& cloth, units::System system);

int tenths_of_metre(Length um);  // rounded up
int eighths_of_yard(Length um);  // rounded up; 1 yd = 0.9144 m (NIST SP 811)
// "2.3 m", "2 5/8 yd"
std::string metres_text(int tenths);
std::string yards_text(int eighths);

}  // namespace tackcloth::cutting
