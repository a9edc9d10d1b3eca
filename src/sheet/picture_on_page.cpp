#include "sheet/picture_on_page.h"

#include <algorithm>
#include <cstdint>
#include <vector>

namespace tackcloth::sheet {

double draw_picture(const Canvas& canvas, const picture::Image& image, double x, double y, double width,
                    double height) {
  cairo_t* c = canvas.cairo();
  cairo_save(c);
  const int stride = cairo_format_stride_for_width(CAIRO_FORMAT_RGB24, image.width);
  std::vector<unsigned char> rows(static_cast<std::size_t>(stride) * static_cast<std::size_t>(image.height));
  for (int row = 0; row < image.height; ++row) {
    auto* out =
        reinterpret_cast<std::uint32_t*>(&rows[static_cast<std::size_t>(row) * static_cast<std::size_t>(stride)]);
    for (int col = 0; col < image.width; ++col) {
      const std::uint8_t* p = image.at(col, row);
      out[col] = static_cast<std::uint32_t>(p[0]) << 16 | static_cast<std::uint32_t>(p[1]) << 8 | p[2];
    }
  }
  cairo_surface_t* surface =
      cairo_image_surface_create_for_data(rows.data(), CAIRO_FORMAT_RGB24, image.width, image.height, stride);
  const double scale = std::min(width / image.width, height / image.height);
  cairo_translate(c, x, y + height - image.height * scale);
  cairo_scale(c, scale, scale);
  cairo_set_source_surface(c, surface, 0, 0);
  cairo_pattern_set_filter(cairo_get_source(c), CAIRO_FILTER_BEST);
  cairo_rectangle(c, 0, 0, image.width, image.height);
  cairo_fill(c);
  cairo_restore(c);
  cairo_surface_finish(surface);  // the rows are copied into a PDF by now
  cairo_surface_destroy(surface);
  canvas.ink(kInk);
  return image.width * scale;
}

}  // namespace tackcloth::sheet
