// libpng reports errors by a call that must not return: setjmp, with everything that owns memory outside of it.
#include <png.h>

#include <cstring>
#include <string>

#include "picture/codec.h"
#include "picture/orient.h"

namespace tackcloth::picture {

namespace {

struct Reading {
  png_structp png = nullptr;
  png_infop info = nullptr;
  std::string_view bytes;
  std::size_t at = 0;
  std::string message;
  png_uint_32 width = 0, height = 0;
  int depth = 0, kind = 0;
  ~Reading() {
    if (png) png_destroy_read_struct(&png, &info, nullptr);
  }
};

void take(png_structp png, png_bytep to, png_size_t count) {
  auto* r = static_cast<Reading*>(png_get_io_ptr(png));
  if (r->bytes.size() - r->at < count) png_error(png, "it ends too early");
  std::memcpy(to, r->bytes.data() + r->at, count);
  r->at += count;
}

[[noreturn]] void fail(png_structp png, png_const_charp why) {
  static_cast<std::string*>(png_get_error_ptr(png))->assign(why);
  png_longjmp(png, 1);
}

void ignore(png_structp, png_const_charp) {}

bool read_header(Reading& r, const Limits& limits) {
  if (setjmp(png_jmpbuf(r.png))) return false;
  png_set_user_limits(r.png, 0x7fffffff, 0x7fffffff);  // ours are checked right after, with better words
  png_set_chunk_malloc_max(r.png, 8'000'000);
  png_set_chunk_cache_max(r.png, 64);
  png_set_read_fn(r.png, &r, take);
  png_read_info(r.png, r.info);
  png_get_IHDR(r.png, r.info, &r.width, &r.height, &r.depth, &r.kind, nullptr, nullptr, nullptr);
  (void)limits;
  return true;
}

bool read_rows(Reading& r, std::uint8_t* rgb, std::size_t stride) {
  if (setjmp(png_jmpbuf(r.png))) return false;
  png_set_expand(r.png);
  png_set_scale_16(r.png);
  png_set_gray_to_rgb(r.png);
  if ((r.kind & PNG_COLOR_MASK_ALPHA) || png_get_valid(r.png, r.info, PNG_INFO_tRNS)) {
    png_color_16 white{};
    white.red = white.green = white.blue = white.gray = 255;
    png_set_background(r.png, &white, PNG_BACKGROUND_GAMMA_SCREEN, 0, 1.0);
  }
  const int passes = png_set_interlace_handling(r.png);
  png_read_update_info(r.png, r.info);
  if (png_get_rowbytes(r.png, r.info) != stride) png_error(r.png, "rows of an unexpected length");
  for (int pass = 0; pass < passes; ++pass)
    for (png_uint_32 y = 0; y < r.height; ++y) png_read_row(r.png, rgb + stride * y, nullptr);
  png_read_end(r.png, r.info);
  return true;
}

void keep(png_structp png, png_bytep data, png_size_t count) {
  static_cast<std::string*>(png_get_io_ptr(png))->append(reinterpret_cast<const char*>(data), count);
}

struct Writing {
  png_structp png = nullptr;
  png_infop info = nullptr;
  std::string message, out;
  ~Writing() {
    if (png) png_destroy_write_struct(&png, &info);
  }
};

bool write_rows(Writing& w, const std::uint8_t* first, int width, int height, bool grey) {
  if (setjmp(png_jmpbuf(w.png))) return false;
  png_set_write_fn(w.png, &w.out, keep, nullptr);
  png_set_compression_level(w.png, 4);
  png_set_IHDR(w.png, w.info, static_cast<png_uint_32>(width), static_cast<png_uint_32>(height), 8,
               grey ? PNG_COLOR_TYPE_GRAY : PNG_COLOR_TYPE_RGB, PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT,
               PNG_FILTER_TYPE_DEFAULT);
  if (!grey) png_set_sRGB(w.png, w.info, PNG_sRGB_INTENT_PERCEPTUAL);
  png_write_info(w.png, w.info);
  const std::size_t stride = static_cast<std::size_t>(width) * (grey ? 1 : 3);
  for (int y = 0; y < height; ++y) png_write_row(w.png, first + stride * static_cast<std::size_t>(y));
  png_write_end(w.png, w.info);
  return true;
}

Result<std::string> encode_rows(const std::uint8_t* first, int width, int height, bool grey) {
  Writing w;
  w.png = png_create_write_struct(PNG_LIBPNG_VER_STRING, &w.message, fail, ignore);
  if (w.png) w.info = png_create_info_struct(w.png);
  if (!w.info || width < 1 || height < 1 || !write_rows(w, first, width, height, grey))
    return tl::unexpected(Problem{"", 0, 0, "the picture cannot be written as PNG " + w.message,
                                  "a picture with pixels", "try a smaller one"});
  return std::move(w.out);
}

}  // namespace

Result<Photo> decode_png(std::string_view bytes, const std::string& name, const Limits& limits) {
  Reading r;
  r.bytes = bytes;
  r.png = png_create_read_struct(PNG_LIBPNG_VER_STRING, &r.message, fail, ignore);
  if (r.png) r.info = png_create_info_struct(r.png);
  if (!r.info || !read_header(r, limits)) return tl::unexpected(damaged(name, "PNG", r.message));
  if (const auto size = check_size(r.width, r.height, name, limits); !size) return tl::unexpected(size.error());
  Photo photo;
  photo.kind = "PNG";
  photo.image = Image(static_cast<int>(r.width), static_cast<int>(r.height));
  if (!read_rows(r, photo.image.rgb.data(), static_cast<std::size_t>(r.width) * 3))
    return tl::unexpected(damaged(name, "PNG", r.message));
  png_charp profile_name = nullptr;
  png_bytep profile = nullptr;
  png_uint_32 length = 0;
  int how = 0;
  if (png_get_iCCP(r.png, r.info, &profile_name, &how, &profile, &length) == PNG_INFO_iCCP)
    apply_profile({reinterpret_cast<const char*>(profile), length}, photo);
  if (r.depth == 16) photo.notes.emplace_back("16 bits a channel were rounded to 8");
  png_bytep exif = nullptr;
  if (png_get_eXIf_1(r.png, r.info, &length, &exif) && length > 0) {
    photo.orientation = exif_orientation(std::string("Exif\0\0", 6).append(reinterpret_cast<char*>(exif), length));
    photo.image = upright(std::move(photo.image), photo.orientation);
  }
  return photo;
}

Result<std::string> encode_png(const Image& image) {
  return encode_rows(image.rgb.data(), image.width, image.height, false);
}
Result<std::string> encode_png(const Mask& mask) {
  return encode_rows(mask.cover.data(), mask.width, mask.height, true);
}

}  // namespace tackcloth::picture
