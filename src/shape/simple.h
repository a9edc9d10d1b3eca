// Outlines that do not cross themselves, and their exact offsets.
#pragma once

#include <optional>

#include "shape/shape.h"

namespace tackcloth::shape {

// The same outline walked the other way.
Outline reversed(const Outline& outline);

// A Problem naming the first two sides that cross or touch; neighbours may meet in the corner they share.
Result<bool> simple(const Outline& outline);

// Every side moved by `by_mm` to the right of travel (outwards when counter-clockwise) and joined again where the moved
// sides meet; arcs stay arcs. Nothing where a side other than a corner's arc vanishes or sides do not meet: the caller
// checks the area against a second method all the same.
std::optional<Region> moved_sides(const Region& region, double by_mm);

}  // namespace tackcloth::shape
