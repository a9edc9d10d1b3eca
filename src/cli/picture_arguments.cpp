#include "cli/picture_arguments.h"

#include <cctype>
#include <charconv>
#include <cmath>
#include <filesystem>

#include "units/quantity.h"

namespace tackcloth::cli {

namespace {

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && std::isspace(static_cast<unsigned char>(text.front()))) text.remove_prefix(1);
  while (!text.empty() && std::isspace(static_cast<unsigned char>(text.back()))) text.remove_suffix(1);
  return text;
}

bool read_number(std::string_view text, double& value) {
  text = trimmed(text);
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc() && end == text.data() + text.size() && std::isfinite(value);
}

}  // namespace

Result<shape::Point> parse_place(std::string_view text) {
  const std::size_t comma = text.find(',');
  shape::Point p;
  if (comma == std::string_view::npos || !read_number(text.substr(0, comma), p.x) ||
      !read_number(text.substr(comma + 1), p.y))
    return tl::unexpected(Problem{"", 0, 0, "'" + std::string(text.substr(0, 60)) + "' is not a place in the photo",
                                  "x,y in pixels from the top left", "write it as 120,80"});
  return p;
}

Result<picture::Corners> parse_corners(std::string_view text) {
  picture::Corners corners;
  std::size_t at = 0, n = 0;
  while (at <= text.size()) {
    const std::size_t end = std::min(text.find(';', at), text.size());
    if (n < 4) {
      const auto place = parse_place(text.substr(at, end - at));
      if (!place) return tl::unexpected(place.error());
      corners[n] = *place;
    }
    ++n;
    at = end + 1;
  }
  if (n != 4)
    return tl::unexpected(Problem{"", 0, 0, "there are " + std::to_string(n) + " corners", "four, with ; between them",
                                  "top left, top right, bottom right, bottom left: 10,12;600,20;590,400;15,380"});
  return corners;
}

Result<FaceSize> parse_face_size(std::string_view text) {
  const Problem problem{"",
                        0,
                        0,
                        "'" + std::string(text.substr(0, 60)) + "' is not the size of a face",
                        "width x height with a unit",
                        "write it as 600x400mm or 24in x 16in"};
  const std::size_t by = text.find_first_of("xX*");
  if (by == std::string_view::npos) return tl::unexpected(problem);
  const std::string height(trimmed(text.substr(by + 1)));
  std::string width(trimmed(text.substr(0, by)));
  double number = 0;
  if (read_number(width, number)) {  // the unit is said once, at the end
    std::size_t unit = height.size();
    while (unit > 0 && !std::isdigit(static_cast<unsigned char>(height[unit - 1]))) --unit;
    width += height.substr(unit);
  }
  const auto w = units::parse_length_mm(width), h = units::parse_length_mm(height);
  if (!w || !h) return tl::unexpected(problem);
  return FaceSize{*w, *h};
}

Result<void> check_out(const std::string& out, const std::vector<std::string>& read) {
  std::error_code error;
  for (const auto& path : read)
    if (!path.empty() && (path == out || std::filesystem::equivalent(path, out, error)))
      return tl::unexpected(Problem{out, 0, 0, "this would overwrite a picture that was read", "another name",
                                    "a photo is never altered: choose a new name with -o"});
  return {};
}

}  // namespace tackcloth::cli
