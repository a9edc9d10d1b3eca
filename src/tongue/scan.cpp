#include "tongue/scan.h"

#include <unicode/uchar.h>
#include <unicode/unistr.h>

#include <regex>

namespace tackcloth::tongue {
namespace {

bool digit(char c) { return c >= '0' && c <= '9'; }
bool ends_sentence(char c) { return c == '.' || c == '!' || c == '?'; }

bool upper(std::string_view text) {
  if (text.empty()) return false;
  const std::string_view letter = text.substr(0, 4);  // the longest sequence of UTF-8
  const auto first =
      icu::UnicodeString::fromUTF8({letter.data(), static_cast<std::int32_t>(letter.size())}).char32At(0);
  return u_charType(first) == U_UPPERCASE_LETTER;
}

// An opening quote or bracket, left out.
std::string_view inside(std::string_view text) {
  for (const std::string_view mark : {"\"", "'", "“", "("})
    if (text.starts_with(mark)) return text.substr(mark.size());
  return text;
}

}  // namespace

std::string_view slot_at(std::string_view text) {
  if (!text.starts_with('{')) return {};
  std::size_t end = 1;
  while (end < text.size() && text[end] >= 'a' && text[end] <= 'z') ++end;
  const bool named = end > 1;
  while (end < text.size() && digit(text[end])) ++end;
  return named && end < text.size() && text[end] == '}' ? text.substr(1, end - 1) : std::string_view();
}

bool starts_letter(std::string_view text, std::size_t at) {
  return at >= text.size() || (static_cast<unsigned char>(text[at]) & 0xC0) != 0x80;
}

bool is_number(const std::string& text) {
  if (text.size() > 60 || text.empty()) return false;
  static const std::regex number(
      "^(?:[-+]|−)?\\d+(?:[.,]\\d+)*(?: \\d+/\\d+)?(?: ?(?:%|°[CF]|(?:µ|[cmk])?m|m(?:²|³)(?:/h)?|m/s|ppm|l|ml|g|kg|"
      "g/m²|h|min|d|yd|in|ft|qt|gal|oz|Pa|hPa|k?B|MB|[KMG]iB))?(?: \\d+ (?:h|min))?$",
      std::regex::ECMAScript | std::regex::optimize);
  const bool may = digit(text[0]) || text[0] == '-' || text[0] == '+' || text.starts_with("−");
  return may && std::regex_match(text, number);
}

bool is_step_id(std::string_view text) {
  const std::size_t dash = text.rfind('-');
  if (dash == std::string_view::npos || dash == 0 || dash + 1 == text.size()) return false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    const bool word = digit(c) || c == '_' || c == '-' || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    if (i > dash ? !digit(c) : !word) return false;
  }
  return true;
}

bool torn(std::string_view text) {
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (ends_sentence(text[i]) && i + 2 < text.size() && text[i + 1] == ' ') {
      const std::string_view rest = text.substr(i + 2);
      if (upper(rest) || upper(inside(rest))) return true;
    }
    if (text[i] == '\'' && (i == 0 || text[i - 1] == ' ' || i + 1 == text.size() || text[i + 1] == ' ')) return true;
  }
  return false;
}

std::string with_point(std::string_view text, std::string_view point) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i)
    if (text[i] == '.' && i > 0 && digit(text[i - 1]) && i + 1 < text.size() && digit(text[i + 1]))
      out += point;
    else
      out += text[i];
  return out;
}

std::optional<Moment> moment_in(const std::string& text) {
  if (text.size() < 10 || text.size() > 24) return std::nullopt;
  static const std::regex moment(
      "(?:(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) )?(\\d{4})-(\\d\\d)-(\\d\\d)(?:[T ](\\d\\d):(\\d\\d)(?::\\d\\d)?)?",
      std::regex::ECMAScript | std::regex::optimize);
  std::smatch found;
  if (!std::regex_match(text, found, moment)) return std::nullopt;
  Moment out{std::stoi(found[1]), std::stoi(found[2]), std::stoi(found[3]), std::nullopt};
  if (found[4].matched) out.minutes = std::stoi(found[4]) * 60 + std::stoi(found[5]);
  return out;
}

std::vector<std::size_t> sentence_ends(std::string_view text) {
  std::vector<std::size_t> ends;
  for (std::size_t i = 0; i + 2 < text.size(); ++i) {
    if (!ends_sentence(text[i]) || text[i + 1] != ' ') continue;
    const std::string_view rest = text.substr(i + 2), word = inside(rest);
    if (upper(rest) || digit(rest.front()) || upper(word) || (!word.empty() && digit(word.front())))
      ends.push_back(i + 1);
  }
  ends.push_back(text.size());
  return ends;
}

std::vector<std::string> sentences_between_commas(std::string_view text) {
  std::vector<std::string> out;
  for (std::size_t from = 0;;) {
    std::size_t end = from;
    do end = text.find(", ", end + 1);
    while (end != std::string_view::npos && !ends_sentence(text[end - 1]));
    out.emplace_back(text.substr(from, end == std::string_view::npos ? end : end - from));
    if (end == std::string_view::npos) return out;
    from = end + 2;
  }
}

}  // namespace tackcloth::tongue
