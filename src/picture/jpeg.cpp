// libjpeg reports errors by a call that must not return: setjmp, with everything that owns memory outside of it.
#include <csetjmp>
#include <cstdio>
#include <cstdlib>
#include <string>

// clang-format off: jpeglib.h needs <cstdio> before it, jerror.h needs jpeglib.h
#include <jerror.h>
#include <jpeglib.h>
// clang-format on

#include "picture/codec.h"
#include "picture/orient.h"

namespace tackcloth::picture {

namespace {

struct Trouble {
  jpeg_error_mgr base;  // first: libjpeg hands back this pointer
  std::jmp_buf out;
  char message[JMSG_LENGTH_MAX] = {};
  bool cut_short = false;
};

void fail(j_common_ptr info) {
  auto* trouble = reinterpret_cast<Trouble*>(info->err);
  info->err->format_message(info, trouble->message);
  std::longjmp(trouble->out, 1);
}

void hear(j_common_ptr info, int level) {
  if (level >= 0) return;
  auto* trouble = reinterpret_cast<Trouble*>(info->err);
  const int code = info->err->msg_code;
  if (code != JWRN_JPEG_EOF && code != JWRN_HIT_MARKER && code != JWRN_HUFF_BAD_CODE) return;
  if (!trouble->cut_short) info->err->format_message(info, trouble->message);
  trouble->cut_short = true;
}

// A progressive picture may hold any number of passes over all its pixels: a small file that takes hours.
constexpr int kMaxScans = 200;

void watch(j_common_ptr info) {
  auto* jpeg = reinterpret_cast<j_decompress_ptr>(info);
  if (jpeg->input_scan_number <= kMaxScans) return;
  std::snprintf(reinterpret_cast<Trouble*>(info->err)->message, JMSG_LENGTH_MAX, "more than %d scans", kMaxScans);
  std::longjmp(reinterpret_cast<Trouble*>(info->err)->out, 1);
}

struct Reading {
  jpeg_decompress_struct jpeg{};
  jpeg_progress_mgr progress{};
  Trouble trouble{};
  std::string exif, icc;
  bool cmyk = false;
  ~Reading() { jpeg_destroy_decompress(&jpeg); }
};

void keep_markers(Reading& r) {
  for (auto* m = r.jpeg.marker_list; m; m = m->next) {
    const std::string_view data(reinterpret_cast<const char*>(m->data), m->data_length);
    if (m->marker == JPEG_APP0 + 1 && data.starts_with("Exif") && r.exif.empty()) r.exif = data;
    // ICC.1:2022 annex B.4: "ICC_PROFILE\0", number, count, then the bytes.
    if (m->marker == JPEG_APP0 + 2 && data.starts_with("ICC_PROFILE") && data.size() > 14) r.icc += data.substr(14);
  }
}

// False after an error; nothing here owns memory.
bool read_header(Reading& r, std::string_view bytes) {
  r.jpeg.err = jpeg_std_error(&r.trouble.base);
  r.trouble.base.error_exit = fail;
  r.trouble.base.emit_message = hear;
  if (setjmp(r.trouble.out)) return false;
  jpeg_create_decompress(&r.jpeg);
  r.progress.progress_monitor = watch;
  r.jpeg.progress = &r.progress;
  r.jpeg.mem->max_memory_to_use = 1'000'000'000;
  jpeg_mem_src(&r.jpeg, reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
  jpeg_save_markers(&r.jpeg, JPEG_APP0 + 1, 0xffff);
  jpeg_save_markers(&r.jpeg, JPEG_APP0 + 2, 0xffff);
  jpeg_read_header(&r.jpeg, TRUE);
  r.cmyk = r.jpeg.jpeg_color_space == JCS_CMYK || r.jpeg.jpeg_color_space == JCS_YCCK || r.jpeg.num_components == 4;
  return true;
}

bool read_rows(Reading& r, std::uint8_t* rgb, std::size_t stride) {
  if (setjmp(r.trouble.out)) return false;
  r.jpeg.out_color_space = JCS_RGB;
  jpeg_start_decompress(&r.jpeg);
  while (r.jpeg.output_scanline < r.jpeg.output_height) {
    JSAMPROW row = rgb + stride * r.jpeg.output_scanline;
    jpeg_read_scanlines(&r.jpeg, &row, 1);
  }
  jpeg_finish_decompress(&r.jpeg);
  return !r.trouble.cut_short;
}

struct Writing {
  jpeg_compress_struct jpeg{};
  Trouble trouble{};
  unsigned char* bytes = nullptr;
  unsigned long size = 0;
  ~Writing() {
    jpeg_destroy_compress(&jpeg);
    std::free(bytes);
  }
};

bool write_rows(Writing& w, const Image& image, int quality) {
  w.jpeg.err = jpeg_std_error(&w.trouble.base);
  w.trouble.base.error_exit = fail;
  w.trouble.base.emit_message = hear;
  if (setjmp(w.trouble.out)) return false;
  jpeg_create_compress(&w.jpeg);
  jpeg_mem_dest(&w.jpeg, &w.bytes, &w.size);
  w.jpeg.image_width = static_cast<JDIMENSION>(image.width);
  w.jpeg.image_height = static_cast<JDIMENSION>(image.height);
  w.jpeg.input_components = 3;
  w.jpeg.in_color_space = JCS_RGB;
  jpeg_set_defaults(&w.jpeg);
  jpeg_set_quality(&w.jpeg, quality, TRUE);
  for (int c = 0; c < 3; ++c) w.jpeg.comp_info[c].h_samp_factor = w.jpeg.comp_info[c].v_samp_factor = 1;
  jpeg_start_compress(&w.jpeg, TRUE);
  while (w.jpeg.next_scanline < w.jpeg.image_height) {
    JSAMPROW row = const_cast<JSAMPROW>(image.at(0, static_cast<int>(w.jpeg.next_scanline)));
    jpeg_write_scanlines(&w.jpeg, &row, 1);
  }
  jpeg_finish_compress(&w.jpeg);
  return true;
}

}  // namespace

Result<Photo> decode_jpeg(std::string_view bytes, const std::string& name, const Limits& limits) {
  Reading r;
  if (!read_header(r, bytes)) return tl::unexpected(damaged(name, "JPEG", r.trouble.message));
  if (const auto size = check_size(r.jpeg.image_width, r.jpeg.image_height, name, limits); !size)
    return tl::unexpected(size.error());
  if (r.cmyk)
    return tl::unexpected(Problem{name, 0, 0, "the JPEG is in CMYK, made for a printing press", "a photo in RGB",
                                  "export it as RGB: without the press's own profile its colours would be a guess"});
  keep_markers(r);
  Photo photo;
  photo.kind = "JPEG";
  photo.image = Image(static_cast<int>(r.jpeg.image_width), static_cast<int>(r.jpeg.image_height));
  if (!read_rows(r, photo.image.rgb.data(), static_cast<std::size_t>(photo.image.width) * 3))
    return tl::unexpected(damaged(name, "JPEG", r.trouble.message));
  apply_profile(r.icc, photo);
  if (!r.exif.empty()) photo.orientation = exif_orientation(r.exif);
  photo.image = upright(std::move(photo.image), photo.orientation);
  return photo;
}

Result<std::string> encode_jpeg(const Image& image, int quality) {
  Writing w;
  if (image.width < 1 || image.height < 1 || image.width > 65500 || image.height > 65500 ||
      !write_rows(w, image, quality))
    return tl::unexpected(Problem{"", 0, 0, std::string("the picture cannot be written as JPEG ") + w.trouble.message,
                                  "1 to 65500 pixels a side", "save it as PNG"});
  return std::string(reinterpret_cast<const char*>(w.bytes), w.size);
}

}  // namespace tackcloth::picture
