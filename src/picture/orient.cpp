#include "picture/orient.h"

#include <libexif/exif-data.h>

#include <memory>
#include <utility>

namespace tackcloth::picture {

int exif_orientation(std::string_view exif) {
  const std::unique_ptr<ExifData, void (*)(ExifData*)> data(
      exif_data_new_from_data(reinterpret_cast<const unsigned char*>(exif.data()), static_cast<unsigned>(exif.size())),
      [](ExifData* d) { exif_data_unref(d); });
  if (!data) return 1;
  const ExifEntry* entry = exif_content_get_entry(data->ifd[EXIF_IFD_0], EXIF_TAG_ORIENTATION);
  if (!entry || entry->format != EXIF_FORMAT_SHORT || entry->components < 1 || entry->size < 2) return 1;
  const int value = exif_get_short(entry->data, exif_data_get_byte_order(data.get()));
  return value >= 1 && value <= 8 ? value : 1;
}

Image upright(Image image, int orientation) {
  if (orientation < 2 || orientation > 8) return image;
  const bool swapped = orientation >= 5;
  Image out(swapped ? image.height : image.width, swapped ? image.width : image.height);
  const int right = image.width - 1, bottom = image.height - 1;
  for (int y = 0; y < out.height; ++y)
    for (int x = 0; x < out.width; ++x) {
      int sx = swapped ? y : x, sy = swapped ? x : y;
      // Row 0 and column 0 of the stored picture are seen as (table of tag 274): 2 top right, 3 bottom right, 4 bottom
      // left, 5 left top, 6 right top, 7 right bottom, 8 left bottom.
      if (orientation == 2 || orientation == 3) sx = right - sx;
      if (orientation == 3 || orientation == 4) sy = bottom - sy;
      if (orientation == 6 || orientation == 7) sy = bottom - sy;
      if (orientation == 7 || orientation == 8) sx = right - sx;
      const std::uint8_t* from = image.at(sx, sy);
      std::uint8_t* to = out.at(x, y);
      to[0] = from[0];
      to[1] = from[1];
      to[2] = from[2];
    }
  return out;
}

}  // namespace tackcloth::picture
