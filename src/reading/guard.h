// What is refused before a parser sees it: size, encoding, nesting.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "units/result.h"

namespace tackcloth::reading {

// The whole file, or why not. Never reads more than `max_bytes`.
Result<std::string> read_text(const std::string& path, std::size_t max_bytes);

// Too large, NUL bytes, text that is not UTF-8, brackets nested deeper than 64 or tables deeper than 64 dots.
std::optional<Problem> refuse(std::string_view text, const std::string& name, std::size_t max_bytes);

}  // namespace tackcloth::reading
