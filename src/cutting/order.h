// What is to be cut from what: cloth, boards or veneer, remnants first and then a roll or new sheets; and the layout
// that comes of it, with what has to be bought. Puts rectangles to sheets.h and outlines to nest.h, and hands nothing
// out that has not passed the checker of either.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "cutting/cloth.h"
#include "cutting/nest.h"
#include "cutting/sheets.h"

namespace tackcloth::cutting {

// As it is seen when done; allowances come on top.
struct Wanted {
  std::string id;
  Length width = 0, height = 0;
  shape::Region outline;  // mm; empty: a rectangle of that size
  int quantity = 1;
  std::optional<Turn> turn;           // left out: as the stuff allows
  bool wide_as_cut = false;           // see Panel
  std::optional<Length> starts = {};  // see Panel
};

struct Leftover {
  std::string id;
  Length width = 0, length = 0;
  shape::Region outline;                   // mm; empty: a rectangle of that size. Its holes are knots and stains
  std::optional<Length> first_x, first_y;  // of the pattern, from its own left edge and lower end
};

enum class Stuff { cloth, sheet };

struct Order {
  Stuff stuff = Stuff::cloth;
  Cloth cloth;              // roll_width 0: nothing new is to be had; may_turn goes by `turn`
  Length sheet_length = 0;  // new stuff comes in sheets of roll_width by this; 0: on a roll
  Turn turn = Turn::none;   // nap, print: none; grain: half; plain: quarter
  bool outlines = false;    // parts are cut along their outlines, else in rectangles
  bool join = false;        // what is wider than the roll is joined from several widths
  std::vector<Wanted> parts;
  std::vector<Leftover> remnants;
};

struct Laid {
  int part = 0, copy = 0;
  bool turned = false;                         // by a quarter
  bool upside_down = false;                    // by a half
  Length x = 0, y = 0, width = 0, height = 0;  // of its box, from the left edge and the cut end
  shape::Region region;                        // mm, allowances and all, where it lies
};
struct UsedGround {
  std::string id;  // of the remnant; empty: the roll, or a new sheet
  bool fresh = false;
  shape::Region region;  // mm, from its left bottom
  std::vector<Laid> parts;
};

struct Answer {
  std::vector<Wanted> parts;  // what was wanted, the joined in their widths
  std::vector<UsedGround> grounds;
  Length roll_width = 0, length = 0, spare = 0;  // used of the roll; and kept for the pattern
  int tenths_m = 0, eighths_yd = 0;              // of it to buy (see Cut)
  int sheets = 0;                                // new ones to buy
  bool by_sheet = false, by_outline = false;
  Length lower_bound = 0;  // of length, or of sheets
  bool proven = false;
  std::vector<std::string> missing;  // ids of what found no place; only when there is nothing new
  std::vector<std::string> notes;
  std::int64_t layouts = 0;
};

// What is wrong with the order, all at once and without a search.
std::vector<Problem> problems_of(const Order& order, units::System system);

Results<Answer> solve(const Order& order, units::System system, const Options& options = {},
                      const std::function<void(const Answer&)>& better = {});

}  // namespace tackcloth::cutting
