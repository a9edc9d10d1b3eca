// Colours as the program's commands read and write them.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "color/css.h"
#include "color/light.h"
#include "units/result.h"

namespace tackcloth::cli {

inline nlohmann::ordered_json to_json(const color::Lab& c) { return {c.l, c.a, c.b}; }
inline nlohmann::ordered_json to_json(const color::Xyz& c) { return {c.x, c.y, c.z}; }

// Lines of a file, or of the standard input when it is "-"; blank ones and remarks (#) left out, each with its number.
struct Line {
  int number = 0;
  std::string text;
};
Result<std::vector<Line>> read_lines(const std::string& path);

Result<color::Observer> parse_observer(const std::string& text);
void take_color(const char* option, const std::string& text, color::Lab& value, std::vector<Problem>& problems);

}  // namespace tackcloth::cli
