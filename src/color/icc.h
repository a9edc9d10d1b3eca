// ICC profiles in and out (ICC.1:2010 and ICC.1:2022), through Little CMS.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "color/space.h"
#include "units/result.h"

namespace tackcloth::color {

// From the pixels of a picture, by the profile embedded in it, to linear light on the primaries of sRGB.
// Relative colorimetric. Values outside the gamut of sRGB come out below 0 or above 1. One may be used by several
// threads at once.
class IccTransform {
 public:
  // Of an RGB or grey profile of at most 16 MiB; anything else is refused in words.
  static Result<IccTransform> from_profile(std::span<const std::byte> profile);
  ~IccTransform();
  IccTransform(IccTransform&&) noexcept;
  IccTransform& operator=(IccTransform&&) noexcept;

  int channels() const;                    // 1 or 3, of what comes in
  const std::string& description() const;  // of the profile
  // `in` holds channels() values a pixel, `out` 3 floats a pixel: spans must fit, else nothing is done and false.
  bool rows8(std::span<const std::uint8_t> in, std::span<float> out) const;
  bool rows16(std::span<const std::uint16_t> in, std::span<float> out) const;
  LinearRgb one(double r, double g, double b) const;  // 0..1 encoded; a grey profile looks at r

 private:
  struct Impl;
  explicit IccTransform(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

enum class IccVersion { v2, v4 };
// A matrix and curve profile of sRGB (IEC 61966-2-1), to be embedded in our pictures.
std::vector<std::byte> srgb_profile(IccVersion version = IccVersion::v4);

}  // namespace tackcloth::color
