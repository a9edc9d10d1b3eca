// EXIF 2.32, tag 274 (orientation).
#pragma once

#include <string_view>

#include "picture/image.h"

namespace tackcloth::picture {

// 1 to 8; 1 when the block has none or cannot be read. `exif` begins with "Exif\0\0".
int exif_orientation(std::string_view exif);
// The picture turned upright. Anything outside 2..8 comes back as it is.
Image upright(Image image, int orientation);

}  // namespace tackcloth::picture
