#include "reading/guard.h"

#include <algorithm>
#include <filesystem>
#include <fstream>

namespace tackcloth::reading {

namespace {

constexpr int kDeepest = 64;

Problem at(std::string_view text, std::size_t offset, const std::string& name, std::string what, std::string expected,
           std::string remedy) {
  const std::string_view before = text.substr(0, offset);
  const auto line = std::count(before.begin(), before.end(), '\n') + 1;
  const auto newline = before.rfind('\n');
  const std::size_t column = newline == std::string_view::npos ? offset + 1 : offset - newline;
  return {
      name, static_cast<int>(line), static_cast<int>(column), std::move(what), std::move(expected), std::move(remedy)};
}

// Length of the UTF-8 sequence at `i`, 0 when it is none (RFC 3629: no overlong forms, no surrogates).
std::size_t sequence(std::string_view text, std::size_t i) {
  const auto byte = [&](std::size_t k) { return k < text.size() ? static_cast<unsigned char>(text[k]) : 0u; };
  const auto tail = [&](std::size_t k) { return (byte(k) & 0xC0u) == 0x80u; };
  const unsigned b = byte(i);
  if (b < 0x80) return 1;
  if (b >= 0xC2 && b <= 0xDF) return tail(i + 1) ? 2 : 0;
  if (b >= 0xE0 && b <= 0xEF) {
    if (!tail(i + 1) || !tail(i + 2)) return 0;
    if (b == 0xE0 && byte(i + 1) < 0xA0) return 0;
    if (b == 0xED && byte(i + 1) > 0x9F) return 0;
    return 3;
  }
  if (b >= 0xF0 && b <= 0xF4) {
    if (!tail(i + 1) || !tail(i + 2) || !tail(i + 3)) return 0;
    if (b == 0xF0 && byte(i + 1) < 0x90) return 0;
    if (b == 0xF4 && byte(i + 1) > 0x8F) return 0;
    return 4;
  }
  return 0;
}

Problem too_large(const std::string& name, std::size_t max_bytes) {
  return {name,
          0,
          0,
          "this file is too large",
          "at most " + std::to_string(max_bytes >> 20) + " MiB",
          "check that it is the right file"};
}

}  // namespace

Result<std::string> read_text(const std::string& path, std::size_t max_bytes) {
  std::error_code error;
  if (!std::filesystem::is_regular_file(path, error))
    return tl::unexpected(Problem{path, 0, 0, "there is no such file", "a file that can be read", "check the path"});
  std::ifstream in(path, std::ios::binary);
  if (!in)
    return tl::unexpected(
        Problem{path, 0, 0, "this file cannot be read", "a file that can be read", "check its permissions"});
  const auto size = std::filesystem::file_size(path, error);
  if (!error && size > max_bytes) return tl::unexpected(too_large(path, max_bytes));
  std::string text(error ? 0 : size, '\0');
  in.read(text.data(), static_cast<std::streamsize>(text.size()));
  text.resize(static_cast<std::size_t>(in.gcount()));
  return text;
}

std::optional<Problem> refuse(std::string_view text, const std::string& name, std::size_t max_bytes) {
  if (text.size() > max_bytes) return too_large(name, max_bytes);
  int depth = 0, dots = 0;
  bool comment = false;
  char quote = 0;
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t length = sequence(text, i);
    if (length == 0)
      return at(text, i, name, "this byte is not UTF-8 text", "a text file in UTF-8", "save the file as UTF-8");
    const char c = text[i];
    if (c == '\0')
      return at(text, i, name, "there is a NUL byte here", "a text file", "check that it is the right file");
    if (c == '\n') {
      comment = false;
      quote = 0;
      dots = 0;
    } else if (comment) {
    } else if (quote) {
      if (c == '\\' && quote == '"')
        ++i;
      else if (c == quote)
        quote = 0;
    } else if (c == '"' || c == '\'') {
      quote = c;
    } else if (c == '#') {
      comment = true;
    } else if (c == '[' || c == '{') {
      const std::size_t next = text.find_first_not_of(" \t", i + 1);
      if (c == '[' && next != std::string_view::npos && text[next] == '.')
        return at(text, next, name, "this name starts with a dot", "a name such as [shop]", "take the dot out");
      if (++depth > kDeepest)
        return at(text, i, name, "brackets are nested too deeply here", "at most 64 levels", "flatten the list");
    } else if (c == ']' || c == '}') {
      depth = std::max(0, depth - 1);
    } else if (c == ',' || c == '=' || c == ' ') {
      dots = 0;
    } else if (c == '.' && ++dots > kDeepest) {
      return at(text, i, name, "this name has too many parts", "at most 64 levels", "shorten it");
    }
    i += length;
  }
  return std::nullopt;
}

}  // namespace tackcloth::reading
