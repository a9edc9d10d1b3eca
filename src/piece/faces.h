// Faces of one part from its sizes.
#pragma once

#include <string>
#include <vector>

#include "piece/piece.h"

namespace tackcloth::piece {

// Sizes that are missing or impossible for this kind of part, as problems without a place. Empty: build_faces may run.
std::vector<Problem> size_problems(const Part& part);

// Precondition: size_problems(part) is empty. Areas are of one part; hidden faces are marked.
std::vector<Face> build_faces(const Part& part);

bool is_leg(PartKind kind);

// Side area of a leg between two heights above the foot, and its girth (tape line) at a height. One leg.
double leg_area_mm2(const Part& part, double from_mm, double to_mm);
double leg_girth_mm(const Part& part, double height_mm);

}  // namespace tackcloth::piece
