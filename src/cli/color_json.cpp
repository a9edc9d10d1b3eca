#include "cli/color_json.h"

#include <iostream>
#include <sstream>

#include "cli/arguments.h"
#include "reading/guard.h"

namespace tackcloth::cli {

Result<std::vector<Line>> read_lines(const std::string& path) {
  constexpr std::size_t kMaxBytes = 64u << 20;
  std::string text;
  if (path == "-") {
    char buffer[65536];
    while (std::cin.read(buffer, sizeof buffer) || std::cin.gcount() > 0) {
      text.append(buffer, static_cast<std::size_t>(std::cin.gcount()));
      if (text.size() > kMaxBytes)
        return tl::unexpected(Problem{"-", 0, 0, "more than 64 MiB came in", "a list of colours", "send fewer"});
    }
  } else {
    auto read = reading::read_text(path, kMaxBytes);
    if (!read) return tl::unexpected(read.error());
    text = std::move(*read);
  }
  std::vector<Line> lines;
  std::istringstream in(text);
  std::string line;
  for (int number = 1; std::getline(in, line); ++number) {
    if (line.ends_with('\r')) line.pop_back();
    const bool hex = line.size() > 1 && line[0] == '#' && std::isxdigit(static_cast<unsigned char>(line[1]));
    if (line.find_first_not_of(" \t") == std::string::npos || (line[0] == '#' && !hex)) continue;
    lines.push_back({number, line});
  }
  return lines;
}

Result<color::Observer> parse_observer(const std::string& text) {
  if (text == "2" || text == "1931") return color::Observer::two_degrees;
  if (text == "10" || text == "1964") return color::Observer::ten_degrees;
  return tl::unexpected(Problem{"", 0, 0, "--observer: there is no observer '" + text + "'", "2 or 10 (degrees)",
                                "2 is the usual one for Lab of D50"});
}

void take_color(const char* option, const std::string& text, color::Lab& value, std::vector<Problem>& problems) {
  const auto read = color::parse_color(text);
  if (read)
    value = *read;
  else
    problems.push_back(about(option, read.error()));
}

}  // namespace tackcloth::cli
