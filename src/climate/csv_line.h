// Comma-separated lines of weather files: no quotes, no line breaks within a field.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "units/result.h"

namespace tackcloth::climate {

struct Lines {
  std::vector<std::string> lines;  // without line ends
};

// Refuses files that cannot be opened, of more than 64 MiB, and binary files.
Result<Lines> read_lines(const std::string& path);
// Fields with blanks trimmed. The views point into `line`.
std::vector<std::string_view> split(std::string_view line);
std::optional<double> to_number(std::string_view text);  // finite, nothing left over
std::optional<int> to_integer(std::string_view text);

}  // namespace tackcloth::climate
