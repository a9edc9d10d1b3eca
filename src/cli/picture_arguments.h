// Places in a photo and sizes of a face as typed: "120,80", "10,12;600,20;590,400;15,380", "600x400mm".
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "picture/perspective.h"

namespace tackcloth::cli {

Result<shape::Point> parse_place(std::string_view text);
Result<picture::Corners> parse_corners(std::string_view text);
struct FaceSize {
  double width_mm = 0, height_mm = 0;
};
Result<FaceSize> parse_face_size(std::string_view text);
// A Problem when `out` is one of the files that were read: a photo is never altered.
Result<void> check_out(const std::string& out, const std::vector<std::string>& read);

}  // namespace tackcloth::cli
