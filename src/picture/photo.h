// Photos in and out. What a file is, is read from its bytes, never from its name; sizes are checked in the header
// before anything is decoded. A photo on disk is never altered.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>

#include "picture/image.h"
#include "units/result.h"

namespace tackcloth::picture {

struct Limits {
  std::size_t max_pixels = 60'000'000;  // 180 MB decoded
  std::size_t max_bytes = 200'000'000;  // of the file
  int max_side = 30'000;
};

struct Photo {
  Image image;                     // upright: the EXIF orientation is applied
  std::string kind;                // "JPEG", "PNG", "HEIC"
  int orientation = 1;             // EXIF 2.32 tag 274 as found (HEIC: already applied by its own transforms)
  std::vector<std::string> notes;  // what was changed on the way in, in words
};

// JPEG (grey or colour), PNG (any depth; alpha over white) or HEIC. A Problem for anything else, CMYK, too large, cut
// short or damaged.
Result<Photo> load(const std::filesystem::path& path, const Limits& limits = {});
Result<Photo> load_bytes(std::string_view bytes, const std::string& name, const Limits& limits = {});
// A picture read as a mask: the mean of red, green and blue is the coverage.
Result<Mask> load_mask(const std::filesystem::path& path, const Limits& limits = {});
Mask mask_from(const Image& image);

// Quality as libjpeg counts it; no chroma subsampling, so that a thin painted line keeps its colour.
Result<std::string> encode_jpeg(const Image& image, int quality = 92);
Result<std::string> encode_png(const Image& image);
Result<std::string> encode_png(const Mask& mask);  // grey
// By the ending of `path`: .jpg, .jpeg or .png. Written beside and renamed, so a half-written picture is never seen.
Result<void> save(const Image& image, const std::filesystem::path& path);
Result<void> save(const Mask& mask, const std::filesystem::path& path);  // .png

}  // namespace tackcloth::picture
