#include "look/swatch.h"

#include <cstdint>
#include <filesystem>

#include "picture/fabric.h"
#include "picture/photo.h"

namespace tackcloth::look {

namespace {

constexpr int kMostPixels = 512;

tl::unexpected<Problem> wrong(const job::Swatch& swatch, std::string what, std::string expected, std::string remedy) {
  return tl::unexpected(Problem{"", swatch.line, swatch.column, "swatch of zone '" + swatch.zone + "': " + what,
                                std::move(expected), std::move(remedy)});
}

int digit(char c) {
  if (c >= 'A' && c <= 'Z') return c - 'A';
  if (c >= 'a' && c <= 'z') return c - 'a' + 26;
  if (c >= '0' && c <= '9') return c - '0' + 52;
  return c == '+' ? 62 : c == '/' ? 63 : -1;
}

}  // namespace

Result<std::string> from_base64(std::string_view text) {
  const Problem bad{"", 0, 0, "this is not base64", "letters, digits, + and /, four at a time", "send it again"};
  if (text.empty() || text.size() % 4 != 0) return tl::unexpected(bad);
  const std::size_t padding = text.ends_with("==") ? 2 : text.ends_with("=") ? 1 : 0;
  std::string bytes;
  std::uint32_t bits = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool pad = i >= text.size() - padding;
    const int value = pad ? 0 : digit(text[i]);
    if (value < 0) return tl::unexpected(bad);
    bits = bits << 6 | static_cast<std::uint32_t>(value);
    if (i % 4 != 3) continue;
    for (int shift = 16; shift >= 0; shift -= 8) bytes += static_cast<char>(bits >> shift & 0xffu);
    bits = 0;
  }
  bytes.resize(bytes.size() - padding);
  return bytes;
}

Result<picture::Image> load_swatch(const std::string& job_file, const job::Swatch& swatch) {
  picture::Limits limits;
  Result<picture::Photo> photo = tl::unexpected(Problem{});
  if (swatch.source.starts_with("data:")) {
    const std::size_t comma = swatch.source.find(',');
    const std::string head = swatch.source.substr(0, comma);
    if (comma == std::string::npos || (head != "data:image/jpeg;base64" && head != "data:image/png;base64"))
      return wrong(swatch, "the data URL holds no picture", "data:image/jpeg;base64,… or data:image/png;base64,…",
                   "choose the picture again");
    const auto bytes = from_base64(std::string_view(swatch.source).substr(comma + 1));
    if (!bytes) return wrong(swatch, bytes.error().what, bytes.error().expected, bytes.error().remedy);
    limits.max_pixels = 4'000'000;  // small it is; a few bytes of PNG can claim to be large
    photo = picture::load_bytes(*bytes, "swatch", limits);
  } else {
    const auto place = std::filesystem::path(swatch.source).lexically_normal();
    if (place.is_absolute() || place.begin() == place.end() || *place.begin() == "..")
      return wrong(swatch, "it is not beside the job file", "a file in the job's directory", "put it there");
    photo = picture::load(std::filesystem::path(job_file).parent_path() / place, limits);
  }
  if (!photo) return wrong(swatch, photo.error().what, photo.error().expected, photo.error().remedy);
  picture::Image image = picture::shrink(photo->image, kMostPixels);
  if (image.width < 4 || image.height < 4)
    return wrong(swatch, "it is only a few pixels", "at least 4 x 4 pixels", "photograph one repeat of the cloth");
  return image;
}

}  // namespace tackcloth::look
