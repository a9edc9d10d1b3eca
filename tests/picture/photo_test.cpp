// Photos in and out: what each kind is read as, and what is refused, in words and before anything large is decoded.
#include "picture/photo.h"

#include <gtest/gtest.h>
#include <jpeglib.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <fstream>
#include <iterator>

#include "color/icc.h"
#include "picture/orient.h"

namespace tackcloth::picture {
namespace {

Image gradient(int width, int height) {
  Image image(width, height);
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) {
      image.at(x, y)[0] = static_cast<std::uint8_t>(255 * x / width);
      image.at(x, y)[1] = static_cast<std::uint8_t>(255 * y / height);
      image.at(x, y)[2] = 90;
    }
  return image;
}

int furthest(const Image& a, const Image& b) {
  if (a.width != b.width || a.height != b.height) return 999;
  int most = 0;
  for (std::size_t i = 0; i < a.rgb.size(); ++i) most = std::max(most, std::abs(a.rgb[i] - b.rgb[i]));
  return most;
}

std::uint32_t crc(const std::string& bytes) {  // PNG specification, annex D
  std::uint32_t c = 0xffffffffu;
  for (const unsigned char b : bytes) {
    c ^= b;
    for (int k = 0; k < 8; ++k) c = c & 1 ? 0xedb88320u ^ (c >> 1) : c >> 1;
  }
  return ~c;
}

std::string be(std::uint32_t v) {
  return {static_cast<char>(v >> 24), static_cast<char>(v >> 16), static_cast<char>(v >> 8), static_cast<char>(v)};
}

// An EXIF block with nothing but the orientation; TIFF 6.0, little endian.
std::string exif(int orientation) {
  std::string out("Exif\0\0II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0", 24);
  out += static_cast<char>(orientation);
  return out + std::string(7, '\0');
}

std::string with_exif(const std::string& jpeg, int orientation) {
  const std::string block = exif(orientation);
  const auto size = static_cast<std::uint32_t>(block.size() + 2);
  return jpeg.substr(0, 2) + "\xff\xe1" + static_cast<char>(size >> 8) + static_cast<char>(size & 255) + block +
         jpeg.substr(2);
}

std::string raw_jpeg(int components, J_COLOR_SPACE space) {
  jpeg_compress_struct c{};
  jpeg_error_mgr e{};
  c.err = jpeg_std_error(&e);
  jpeg_create_compress(&c);
  unsigned char* bytes = nullptr;
  unsigned long size = 0;
  jpeg_mem_dest(&c, &bytes, &size);
  c.image_width = c.image_height = 16;
  c.input_components = components;
  c.in_color_space = space;
  jpeg_set_defaults(&c);
  jpeg_start_compress(&c, TRUE);
  std::string line(static_cast<std::size_t>(16 * components), '\x60');
  while (c.next_scanline < 16) {
    JSAMPROW row = reinterpret_cast<JSAMPROW>(line.data());
    jpeg_write_scanlines(&c, &row, 1);
  }
  jpeg_finish_compress(&c);
  std::string out(reinterpret_cast<char*>(bytes), size);
  jpeg_destroy_compress(&c);
  std::free(bytes);
  return out;
}

void expect_refused(const std::string& bytes, const char* word) {
  const auto photo = load_bytes(bytes, "door.jpg");
  ASSERT_FALSE(photo) << word;
  EXPECT_EQ(photo.error().file, "door.jpg");
  EXPECT_NE(photo.error().what.find(word), std::string::npos) << photo.error().what;
  EXPECT_FALSE(photo.error().remedy.empty());
}

TEST(Photo, PngComesBackExact) {
  const Image image = gradient(61, 43);
  const auto photo = load_bytes(*encode_png(image), "x");
  ASSERT_TRUE(photo) << to_text(photo.error());
  EXPECT_EQ(photo->kind, "PNG");
  EXPECT_EQ(furthest(photo->image, image), 0);
}

TEST(Photo, JpegComesBackNear) {
  const Image image = gradient(64, 48);
  const auto photo = load_bytes(*encode_jpeg(image), "wrong-name.png");
  ASSERT_TRUE(photo) << to_text(photo.error());
  EXPECT_EQ(photo->kind, "JPEG");
  EXPECT_LE(furthest(photo->image, image), 12);
}

// The eight orientations by their definition (EXIF 2.32, tag 274): where the stored first row and column are seen.
TEST(Photo, OrientationIsApplied) {
  Image stored(3, 2);
  for (int y = 0; y < 2; ++y)
    for (int x = 0; x < 3; ++x) stored.at(x, y)[0] = static_cast<std::uint8_t>(10 * y + x);
  const std::vector<std::vector<int>> seen = {{0, 1, 2, 10, 11, 12}, {2, 1, 0, 12, 11, 10}, {12, 11, 10, 2, 1, 0},
                                              {10, 11, 12, 0, 1, 2}, {0, 10, 1, 11, 2, 12}, {10, 0, 11, 1, 12, 2},
                                              {12, 2, 11, 1, 10, 0}, {2, 12, 1, 11, 0, 10}};
  for (int o = 1; o <= 8; ++o) {
    const Image up = upright(stored, o);
    EXPECT_EQ(up.width, o >= 5 ? 2 : 3);
    for (std::size_t i = 0; i < 6; ++i)
      EXPECT_EQ(up.rgb[3 * i], seen[static_cast<std::size_t>(o - 1)][i]) << o << " " << i;
    EXPECT_EQ(exif_orientation(exif(o)), o);
  }
  const auto turned = load_bytes(with_exif(*encode_jpeg(gradient(64, 32)), 6), "x");
  ASSERT_TRUE(turned) << to_text(turned.error());
  EXPECT_EQ(turned->orientation, 6);
  EXPECT_EQ(turned->image.width, 32);
  EXPECT_EQ(exif_orientation(exif(77)), 1);
  EXPECT_EQ(exif_orientation("Exif"), 1);
}

TEST(Photo, GreyJpegIsReadAndCmykRefused) {
  const auto grey = load_bytes(raw_jpeg(1, JCS_GRAYSCALE), "x");
  ASSERT_TRUE(grey) << to_text(grey.error());
  EXPECT_EQ(grey->image.rgb[0], grey->image.rgb[2]);
  expect_refused(raw_jpeg(4, JCS_CMYK), "CMYK");
}

// gradient.heic is the same gradient as above, 64 x 64, written by libheif's heif-enc at quality 90.
TEST(Photo, HeicIsRead) {
  const Image image = gradient(64, 64);
  std::ifstream file(std::filesystem::path(TACKCLOTH_SOURCE_DIR) / "tests/picture/gradient.heic", std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(file), {}};
  const auto photo = load_bytes(bytes, "x.jpg");
  ASSERT_TRUE(photo) << to_text(photo.error());
  EXPECT_EQ(photo->kind, "HEIC");
  EXPECT_LE(furthest(photo->image, image), 25);
  for (const double part : {0.1, 0.5, 0.9})
    expect_refused(bytes.substr(0, static_cast<std::size_t>(part * static_cast<double>(bytes.size()))), "HEIC");
  Limits small;
  small.max_pixels = 1000;
  EXPECT_FALSE(load_bytes(bytes, "x", small));
}

TEST(Photo, WhatIsNoPhotoIsRefused) {
  expect_refused("", "empty");
  expect_refused("hello, this is text", "not a picture");
  expect_refused("\xff\xd8\xff", "JPEG");
  expect_refused(std::string("\x89PNG\r\n\x1a\n", 8), "PNG");
  expect_refused(std::string("\0\0\0\x18"
                             "ftypheic",
                             12),
                 "HEIC");
  EXPECT_FALSE(load("no/such/file.jpg"));
  EXPECT_FALSE(load("."));
}

TEST(Photo, CutShortIsRefusedAtEveryLength) {
  const std::string jpeg = *encode_jpeg(gradient(64, 48)), png = *encode_png(gradient(64, 48));
  for (std::size_t n = 1; n + 2 < jpeg.size(); n += 7) EXPECT_FALSE(load_bytes(jpeg.substr(0, n), "x")) << n;
  for (std::size_t n = 1; n + 12 < png.size(); n += 7) EXPECT_FALSE(load_bytes(png.substr(0, n), "x")) << n;
}

// Every byte turned over, one at a time: read or refused, never a crash.
TEST(Photo, DamageIsSurvived) {
  std::string jpeg = with_exif(*encode_jpeg(gradient(24, 16)), 3), png = *encode_png(gradient(24, 16));
  for (auto* bytes : {&jpeg, &png})
    for (std::size_t i = 0; i < bytes->size(); ++i) {
      (*bytes)[i] = static_cast<char>(~(*bytes)[i]);
      (void)load_bytes(*bytes, "x");
      (*bytes)[i] = static_cast<char>(~(*bytes)[i]);
    }
}

// A header of 45 bytes that promises 100 megapixels and more.
TEST(Photo, TooLargeIsRefusedFromItsHeader) {
  for (const std::uint32_t side : {10'000u, 30'001u, 2'000'000'000u}) {
    const std::string header = "IHDR" + be(side) + be(side) + std::string("\x08\x02\0\0\0", 5);
    const std::string data = "IDAT";
    expect_refused(
        std::string("\x89PNG\r\n\x1a\n", 8) + be(13) + header + be(crc(header)) + be(0) + data + be(crc(data)),
        "too large");
  }
  std::string jpeg = raw_jpeg(3, JCS_RGB);
  const std::size_t frame = jpeg.find("\xff\xc0");
  ASSERT_NE(frame, std::string::npos);
  jpeg.replace(frame + 5, 4, "\x7f\xff\x7f\xff");
  expect_refused(jpeg, "too large");
}

std::string with_icc(const std::string& jpeg, const std::string& profile) {
  const std::string icc = std::string("ICC_PROFILE\0\x01\x01", 14) + profile;
  const auto size = static_cast<std::uint32_t>(icc.size() + 2);
  return jpeg.substr(0, 2) + "\xff\xe2" + static_cast<char>(size >> 8) + static_cast<char>(size & 255) + icc +
         jpeg.substr(2);
}

TEST(Photo, ProfilesAreApplied) {
  const Image image = gradient(64, 48);
  const std::string plain = *encode_jpeg(image);
  const auto bytes = color::srgb_profile(color::IccVersion::v2);
  const std::string srgb(reinterpret_cast<const char*>(bytes.data()), bytes.size());
  const auto same = load_bytes(with_icc(plain, srgb), "x");
  ASSERT_TRUE(same) << to_text(same.error());
  EXPECT_TRUE(same->notes.empty());
  EXPECT_EQ(same->image.rgb, load_bytes(plain, "x")->image.rgb);
  // The same profile with red and green primaries exchanged and another name: red and green change places.
  std::string swapped = srgb;
  const auto tag = [&](const char* name) { return swapped.find(name, 128); };
  std::swap_ranges(&swapped[tag("rXYZ")], &swapped[tag("rXYZ") + 4], &swapped[tag("gXYZ")]);
  for (std::size_t at; (at = swapped.find("sRGB", 132)) != std::string::npos;) swapped.replace(at, 4, "Xxxx");
  const std::string wide("s\0R\0G\0B", 7);
  for (std::size_t at; (at = swapped.find(wide)) != std::string::npos;) swapped.replace(at, 1, "x");
  const auto other = load_bytes(with_icc(plain, swapped), "x");
  ASSERT_TRUE(other) << to_text(other.error());
  ASSERT_EQ(other->notes.size(), 1u);
  EXPECT_NE(other->notes[0].find("brought"), std::string::npos) << other->notes[0];
  const Image as_is = load_bytes(plain, "x")->image;
  for (const auto& [x, y] : {std::pair{50, 5}, {5, 40}, {30, 20}}) {
    EXPECT_NEAR(other->image.at(x, y)[0], as_is.at(x, y)[1], 3);
    EXPECT_NEAR(other->image.at(x, y)[1], as_is.at(x, y)[0], 3);
  }
  const auto broken = load_bytes(with_icc(plain, std::string(200, 'x')), "x");
  ASSERT_TRUE(broken) << to_text(broken.error());
  ASSERT_EQ(broken->notes.size(), 1u);
  EXPECT_NE(broken->notes[0].find("cannot be used"), std::string::npos);
}

TEST(Photo, SavesByItsEndingOnly) {
  const auto dir = std::filesystem::temp_directory_path();
  EXPECT_FALSE(save(gradient(4, 4), dir / "picture.gif"));
  EXPECT_FALSE(save(gradient(4, 4), dir / "no/such/dir/picture.png"));
  EXPECT_FALSE(save(Mask(4, 4), dir / "mask.jpg"));
}

TEST(Shrink, KeepsTheMeanLight) {
  Image image(100, 100);
  for (std::size_t i = 0; i < image.pixels(); ++i)
    for (std::size_t c = 0; c < 3; ++c) image.rgb[3 * i + c] = (i + i / 100) % 2 ? 255 : 0;
  const Image small = shrink(image, 50);
  ASSERT_EQ(small.width, 50);
  EXPECT_EQ(small.rgb[0], 188);  // half the light is code 188 (IEC 61966-2-1)
}

}  // namespace
}  // namespace tackcloth::picture
