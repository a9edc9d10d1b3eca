#include "sheet/picture_on_page.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <cstring>

#include "picture/photo.h"

namespace tackcloth::sheet {
namespace {

// What a photo is printed with; more is not seen at reading distance (common practice, no source).
constexpr double kDotsPerInch = 300;
constexpr int kQuality = 90;

// cairo keeps the bytes until the page is written, and frees them.
void attach(cairo_surface_t* surface, const std::string& jpeg) {
  auto* bytes = static_cast<unsigned char*>(std::malloc(jpeg.size()));
  if (!bytes) return;
  std::memcpy(bytes, jpeg.data(), jpeg.size());
  if (cairo_surface_set_mime_data(surface, CAIRO_MIME_TYPE_JPEG, bytes, jpeg.size(), std::free, bytes) !=
      CAIRO_STATUS_SUCCESS)
    std::free(bytes);
}

}  // namespace

PagePicture picture_for(const Canvas& canvas, const picture::Image& image, double width, double height) {
  if (image.width <= 0 || image.height <= 0) return {};
  const double scale = std::min(width / image.width, height / image.height);  // points a pixel
  const double longest = std::max(image.width, image.height) * scale / 72 * kDotsPerInch;
  PagePicture made{picture::shrink(image, std::max(1, static_cast<int>(std::ceil(longest)))), {}};
  if (canvas.paper())
    if (auto jpeg = picture::encode_jpeg(made.image, kQuality)) made.jpeg = std::move(*jpeg);
  return made;
}

double draw_picture(const Canvas& canvas, const PagePicture& picture, double x, double y, double width, double height) {
  const picture::Image& image = picture.image;
  if (image.width <= 0) return 0;
  cairo_t* c = canvas.cairo();
  cairo_save(c);
  // Pixels that are cairo's own go into the page without being copied again.
  cairo_surface_t* surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, image.width, image.height);
  if (unsigned char* pixels = cairo_image_surface_get_data(surface)) {
    const int stride = cairo_image_surface_get_stride(surface);
    for (int row = 0; row < image.height; ++row) {
      auto* out =
          reinterpret_cast<std::uint32_t*>(pixels + static_cast<std::size_t>(row) * static_cast<std::size_t>(stride));
      const std::uint8_t* p = image.at(0, row);
      for (int col = 0; col < image.width; ++col, p += 3)
        out[col] = static_cast<std::uint32_t>(p[0]) << 16 | static_cast<std::uint32_t>(p[1]) << 8 | p[2];
    }
    cairo_surface_mark_dirty(surface);
  }
  if (!picture.jpeg.empty()) attach(surface, picture.jpeg);
  const double scale = std::min(width / image.width, height / image.height);
  cairo_translate(c, x, y + height - image.height * scale);
  cairo_scale(c, scale, scale);
  cairo_set_source_surface(c, surface, 0, 0);
  cairo_pattern_set_filter(cairo_get_source(c), CAIRO_FILTER_BEST);
  cairo_rectangle(c, 0, 0, image.width, image.height);
  cairo_fill(c);
  cairo_restore(c);
  cairo_surface_destroy(surface);
  canvas.ink(kInk);
  return image.width * scale;
}

}  // namespace tackcloth::sheet
