// Parts of any outline, holes too, laid on remnants and on a roll: veneer patches, sheet backs, cloth. Millimetres.
#pragma once

#include <string>
#include <vector>

#include "cutting/strip.h"
#include "shape/shape.h"

namespace tackcloth::cutting {

// One outline, with holes or without. Grain and nap: no turn, or by half a turn.
enum class Turn { none, half, quarter };

struct Shape {
  std::string id;
  shape::Region region;
  int quantity = 1;
  Turn turn = Turn::none;
};
struct Remnant {
  std::string id;
  shape::Region region;  // its holes are knots, worm, stains
};
struct Stock {
  std::vector<Remnant> remnants;  // used first
  double roll_width_mm = 0;       // 0: there is no roll
  double gap_mm = 0;              // between parts
};

struct NestPlace {
  int shape = 0, copy = 0;
  int sheet = 0;              // index of the remnant; their number: the roll
  int quarters = 0;           // turned about the origin, counter-clockwise, before it is moved
  double x_mm = 0, y_mm = 0;  // moved by; on the roll y runs along it
};
struct Nested {
  std::vector<NestPlace> places;
  std::vector<std::pair<int, int>> left_over;  // shape and copy of what found no place; never with a roll
  double roll_mm = 0;                          // length used of the roll
  double roll_bound_mm = 0;                    // by area: no layout uses less
  std::int64_t layouts = 0;
};

inline constexpr int kMostShapes = 200;  // copies counted

// Problems: outlines that are empty or in several pieces, nothing to lay them on, parts wider than the roll whichever
// way they may turn (by how much).
// The first layout comes at once through `better`, then every one that is better.
Results<Nested> nest(const std::vector<Shape>& shapes, const Stock& stock, const Options& options = {},
                     const std::function<void(const Nested&)>& better = {});

// Looked at by Clipper's whole-number booleans in steps of 1 um, with none of the code above: parts off their sheet,
// overlaps, parts closer than the gap, parts missing or there twice. 0.01 mm at the edge of a sheet and of the gap is
// let pass.
std::vector<std::string> nest_faults(const std::vector<Shape>& shapes, const Stock& stock, const Nested& nested);

}  // namespace tackcloth::cutting
