#include "climate/csv_line.h"

#include <charconv>
#include <cmath>
#include <filesystem>
#include <fstream>

namespace tackcloth::climate {

Result<Lines> read_lines(const std::string& path) {
  const auto refuse = [&](std::string what, std::string expected, std::string remedy) {
    return tl::unexpected(Problem{path, 0, 0, std::move(what), std::move(expected), std::move(remedy)});
  };
  std::error_code error;
  if (!std::filesystem::is_regular_file(path, error))
    return refuse("there is no such file", "a file of weather or readings", "check the path");
  constexpr std::uintmax_t kMost = 64u << 20;
  if (std::filesystem::file_size(path, error) > kMost || error)
    return refuse("the file is larger than 64 MiB", "at most that; a year of hours is about 2 MiB",
                  "give one place and one year");
  std::ifstream in(path, std::ios::binary);
  if (!in) return refuse("cannot open the file", "a file that may be read", "check its rights");
  Lines out;
  for (std::string line; std::getline(in, line);) {
    if (!line.empty() && line.back() == '\r') line.pop_back();
    if (out.lines.empty() && line.starts_with("\xEF\xBB\xBF")) line.erase(0, 3);
    if (line.find('\0') != std::string::npos)
      return tl::unexpected(Problem{path, static_cast<int>(out.lines.size()) + 1, 0, "this is not a text file",
                                    "lines of comma-separated text", "unpack it first if it is an archive"});
    out.lines.push_back(std::move(line));
  }
  return out;
}

std::vector<std::string_view> split(std::string_view line) {
  std::vector<std::string_view> fields;
  for (;;) {
    const std::size_t comma = line.find(',');
    std::string_view field = line.substr(0, comma);
    while (!field.empty() && (field.front() == ' ' || field.front() == '\t')) field.remove_prefix(1);
    while (!field.empty() && (field.back() == ' ' || field.back() == '\t')) field.remove_suffix(1);
    fields.push_back(field);
    if (comma == std::string_view::npos) return fields;
    line.remove_prefix(comma + 1);
  }
}

std::optional<double> to_number(std::string_view text) {
  if (text.starts_with('+')) text.remove_prefix(1);
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

std::optional<int> to_integer(std::string_view text) {
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return value;
}

}  // namespace tackcloth::climate
