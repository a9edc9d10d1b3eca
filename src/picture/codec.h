// The three decoders behind photo.h. Each gets bytes that begin as its kind does.
#pragma once

#include <string_view>

#include "picture/photo.h"

namespace tackcloth::picture {

Result<Photo> decode_jpeg(std::string_view bytes, const std::string& name, const Limits& limits);
Result<Photo> decode_png(std::string_view bytes, const std::string& name, const Limits& limits);
Result<Photo> decode_heic(std::string_view bytes, const std::string& name, const Limits& limits);

// A Problem when the header says more than the limits allow.
Result<void> check_size(std::size_t width, std::size_t height, const std::string& name, const Limits& limits);
Problem damaged(const std::string& name, const std::string& kind, const std::string& why);
// Brings the pixels to sRGB when an embedded profile says that they are something else, and notes it; a profile that
// cannot be used is noted and left.
void apply_profile(std::string_view icc, Photo& photo);

}  // namespace tackcloth::picture
