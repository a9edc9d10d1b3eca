#include "picture/photo.h"

#include <algorithm>
#include <cctype>
#include <fstream>
#include <span>
#include <system_error>
#include <vector>

#include "color/icc.h"
#include "picture/codec.h"
#include "picture/srgb_table.h"

namespace tackcloth::picture {

namespace {

constexpr const char* kReadable = "a JPEG, PNG or HEIC photo";

bool starts(std::string_view bytes, std::size_t at, std::string_view with) {
  return bytes.size() >= at + with.size() && bytes.substr(at, with.size()) == with;
}

std::string ending(const std::filesystem::path& path) {
  std::string text = path.extension().string();
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return std::tolower(c); });
  return text;
}

Result<void> write(const std::string& bytes, const std::filesystem::path& path) {
  const Problem problem{path.string(),
                        0,
                        0,
                        "the picture cannot be written",
                        "a place that can be written to",
                        "check that the directory is there and has room"};
  auto half = path;
  half += ".part";
  {
    std::ofstream out(half, std::ios::binary);
    out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    out.close();
    if (!out) {
      std::error_code ignored;
      std::filesystem::remove(half, ignored);
      return tl::unexpected(problem);
    }
  }
  std::error_code error;
  std::filesystem::rename(half, path, error);
  if (error) {
    std::filesystem::remove(half, error);
    return tl::unexpected(problem);
  }
  return {};
}

}  // namespace

Result<void> check_size(std::size_t width, std::size_t height, const std::string& name, const Limits& limits) {
  if (width == 0 || height == 0)
    return tl::unexpected(
        Problem{name, 0, 0, "the picture has no pixels", kReadable, "take or export the photo again"});
  const auto side = static_cast<std::size_t>(limits.max_side);
  if (width <= side && height <= side && width * height <= limits.max_pixels) return {};
  const auto mega = [](std::size_t n) { return std::to_string((n + 500'000) / 1'000'000); };
  return tl::unexpected(Problem{
      name, 0, 0,
      "the picture is " + std::to_string(width) + " x " + std::to_string(height) + " pixels, too large to work on",
      "at most " + mega(limits.max_pixels) + " megapixels and " + std::to_string(limits.max_side) + " pixels a side",
      "save it smaller: 12 megapixels are plenty for a piece of furniture"});
}

Problem damaged(const std::string& name, const std::string& kind, const std::string& why) {
  return {name,      0,
          0,         "the " + kind + " is damaged or cut short (" + why + ")",
          kReadable, "copy it again from the camera or phone"};
}

void apply_profile(std::string_view icc, Photo& photo) {
  if (icc.empty()) return;
  const auto transform = color::IccTransform::from_profile(std::as_bytes(std::span(icc.data(), icc.size())));
  if (!transform) {
    photo.notes.push_back("the photo's colour profile cannot be used (" + transform.error().what +
                          "); its numbers are read as sRGB");
    return;
  }
  // Nearly every profile of that name is sRGB to a code or so; leaving it spares the rounding.
  if (transform->description().find("sRGB") != std::string::npos) return;
  const auto& code = encode_table();
  Image& image = photo.image;
  const auto width = static_cast<std::size_t>(image.width);
  const bool grey = transform->channels() == 1;
  std::vector<float> light(3 * width);
  std::vector<std::uint8_t> one(grey ? width : 0);
  for (int y = 0; y < image.height; ++y) {
    std::uint8_t* row = image.at(0, y);
    for (std::size_t x = 0; x < one.size(); ++x) one[x] = row[3 * x];
    if (!transform->rows8(grey ? std::span<const std::uint8_t>(one) : std::span<const std::uint8_t>(row, 3 * width),
                          light))
      return;
    for (std::size_t i = 0; i < light.size(); ++i) row[i] = encode(code, light[i]);
  }
  photo.notes.push_back("the photo's colours were brought from its own profile (" +
                        transform->description().substr(0, 80) + ") to sRGB");
}

Result<Photo> load_bytes(std::string_view bytes, const std::string& name, const Limits& limits) {
  if (bytes.empty())
    return tl::unexpected(
        Problem{name, 0, 0, "the file is empty", kReadable, "copy it again from the camera or phone"});
  if (bytes.size() > limits.max_bytes)
    return tl::unexpected(Problem{name, 0, 0, "the file is " + std::to_string(bytes.size() / 1'000'000) + " MB",
                                  "at most " + std::to_string(limits.max_bytes / 1'000'000) + " MB",
                                  "save it smaller or as JPEG"});
  if (starts(bytes, 0, "\xff\xd8\xff")) return decode_jpeg(bytes, name, limits);
  if (starts(bytes, 0, "\x89PNG\r\n\x1a\n")) return decode_png(bytes, name, limits);
  if (starts(bytes, 4, "ftyp")) {
    for (const char* brand : {"heic", "heix", "heim", "heis", "hevc", "mif1", "msf1"})
      if (starts(bytes, 8, brand)) return decode_heic(bytes, name, limits);
  }
  return tl::unexpected(Problem{name, 0, 0, "this is not a picture that can be read, whatever its name says", kReadable,
                                "export it as JPEG or PNG"});
}

Result<Photo> load(const std::filesystem::path& path, const Limits& limits) {
  const std::string name = path.string();
  std::error_code error;
  const auto size = std::filesystem::is_regular_file(path, error) ? std::filesystem::file_size(path, error) : 0;
  std::ifstream in(path, std::ios::binary);
  if (error || !in || !std::filesystem::is_regular_file(path, error))
    return tl::unexpected(
        Problem{name, 0, 0, "there is no such file, or it cannot be read", kReadable, "check the path"});
  if (size > limits.max_bytes)
    return tl::unexpected(Problem{name, 0, 0, "the file is " + std::to_string(size / 1'000'000) + " MB",
                                  "at most " + std::to_string(limits.max_bytes / 1'000'000) + " MB",
                                  "save it smaller or as JPEG"});
  std::string bytes(size, '\0');
  in.read(bytes.data(), static_cast<std::streamsize>(size));
  bytes.resize(static_cast<std::size_t>(in.gcount()));
  return load_bytes(bytes, name, limits);
}

Mask mask_from(const Image& image) {
  Mask mask(image.width, image.height);
  for (std::size_t i = 0; i < mask.cover.size(); ++i)
    mask.cover[i] = static_cast<std::uint8_t>((image.rgb[3 * i] + image.rgb[3 * i + 1] + image.rgb[3 * i + 2] + 1) / 3);
  return mask;
}

Result<Mask> load_mask(const std::filesystem::path& path, const Limits& limits) {
  return load(path, limits).map([](const Photo& photo) { return mask_from(photo.image); });
}

Result<void> save(const Image& image, const std::filesystem::path& path) {
  const std::string end = ending(path);
  if (end != ".png" && end != ".jpg" && end != ".jpeg")
    return tl::unexpected(Problem{path.string(), 0, 0, "a picture cannot be written as '" + end + "'",
                                  "a name that ends in .png, .jpg or .jpeg", "choose another ending"});
  return (end == ".png" ? encode_png(image) : encode_jpeg(image)).and_then([&](const std::string& bytes) {
    return write(bytes, path);
  });
}

Result<void> save(const Mask& mask, const std::filesystem::path& path) {
  if (ending(path) != ".png")
    return tl::unexpected(Problem{path.string(), 0, 0, "a mask is written without loss", "a name that ends in .png",
                                  "choose another ending"});
  return encode_png(mask).and_then([&](const std::string& bytes) { return write(bytes, path); });
}

}  // namespace tackcloth::picture
