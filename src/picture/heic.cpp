#include <libheif/heif.h>

#include <algorithm>
#include <memory>

#include "picture/codec.h"

namespace tackcloth::picture {

namespace {

template <class T>
using Held = std::unique_ptr<T, void (*)(T*)>;

void over_white(const std::uint8_t* from, std::uint8_t* to, int width) {
  for (int x = 0; x < width; ++x, from += 4, to += 3)
    for (int c = 0; c < 3; ++c)
      to[c] = static_cast<std::uint8_t>((from[c] * from[3] + 255 * (255 - from[3]) + 127) / 255);
}

}  // namespace

Result<Photo> decode_heic(std::string_view bytes, const std::string& name, const Limits& limits) {
  const Held<heif_context> context(heif_context_alloc(), [](heif_context* c) { heif_context_free(c); });
  if (!context) return tl::unexpected(damaged(name, "HEIC", "no memory"));
  heif_context_set_maximum_image_size_limit(context.get(), limits.max_side);
  if (const auto error = heif_context_read_from_memory_without_copy(context.get(), bytes.data(), bytes.size(), nullptr);
      error.code != heif_error_Ok)
    return tl::unexpected(damaged(name, "HEIC", error.message));
  heif_image_handle* first = nullptr;
  if (const auto error = heif_context_get_primary_image_handle(context.get(), &first); error.code != heif_error_Ok)
    return tl::unexpected(damaged(name, "HEIC", error.message));
  const Held<heif_image_handle> handle(first, [](heif_image_handle* h) { heif_image_handle_release(h); });
  const int width = heif_image_handle_get_width(first), height = heif_image_handle_get_height(first);
  if (const auto size = check_size(static_cast<std::size_t>(std::max(width, 0)),
                                   static_cast<std::size_t>(std::max(height, 0)), name, limits);
      !size)
    return tl::unexpected(size.error());
  const bool alpha = heif_image_handle_has_alpha_channel(first) != 0;
  heif_image* decoded = nullptr;
  // Turned and mirrored by its own `irot` and `imir` (ISO/IEC 23008-12), so the EXIF tag is not applied again.
  if (const auto error = heif_decode_image(first, &decoded, heif_colorspace_RGB,
                                           alpha ? heif_chroma_interleaved_RGBA : heif_chroma_interleaved_RGB, nullptr);
      error.code != heif_error_Ok)
    return tl::unexpected(damaged(name, "HEIC", error.message));
  const Held<heif_image> image(decoded, [](heif_image* i) { heif_image_release(i); });
  Photo photo;
  photo.kind = "HEIC";
  const int w = heif_image_get_width(decoded, heif_channel_interleaved);
  const int h = heif_image_get_height(decoded, heif_channel_interleaved);
  int stride = 0;
  const std::uint8_t* rows = heif_image_get_plane_readonly(decoded, heif_channel_interleaved, &stride);
  // The decoded size is what the coded picture says, not what the box said.
  if (const auto size =
          check_size(static_cast<std::size_t>(std::max(w, 0)), static_cast<std::size_t>(std::max(h, 0)), name, limits);
      !size || !rows)
    return tl::unexpected(size ? damaged(name, "HEIC", "no pixels") : size.error());
  photo.image = Image(w, h);
  for (int y = 0; y < h; ++y) {
    const std::uint8_t* row = rows + static_cast<std::ptrdiff_t>(stride) * y;
    if (alpha)
      over_white(row, photo.image.at(0, y), w);
    else
      std::copy(row, row + 3 * static_cast<std::ptrdiff_t>(w), photo.image.at(0, y));
  }
  if (const std::size_t size = heif_image_handle_get_raw_color_profile_size(first); size > 0 && size < 8'000'000) {
    std::string icc(size, '\0');
    if (heif_image_handle_get_raw_color_profile(first, icc.data()).code == heif_error_Ok) apply_profile(icc, photo);
  }
  return photo;
}

}  // namespace tackcloth::picture
