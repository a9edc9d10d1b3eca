// What the book looks for in a text: the patterns of web/src/words/book.ts.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tackcloth::tongue {

// The name of the slot that begins here, "{name}"; empty when none does.
std::string_view slot_at(std::string_view text);
bool starts_letter(std::string_view text, std::size_t at);  // not inside of a UTF-8 sequence

bool is_number(const std::string& text);  // with its unit or without
bool is_step_id(std::string_view text);   // "chair-03"
bool torn(std::string_view text);         // no name: the end of a sentence or one side of quotes is in it
std::string with_point(std::string_view text, std::string_view point);  // between digits

struct Moment {
  int year, month, day;
  std::optional<int> minutes;
};
// "2026-03-04", "Wed 2026-03-04 17:30", "2026-03-04T17:30"
std::optional<Moment> moment_in(const std::string& text);

// Where each sentence of the text ends, the last at its end.
std::vector<std::size_t> sentence_ends(std::string_view text);
std::vector<std::string> sentences_between_commas(std::string_view text);

}  // namespace tackcloth::tongue
