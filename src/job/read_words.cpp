#include <algorithm>
#include <cctype>

#include "job/read.h"

namespace tackcloth::job {

namespace {
constexpr std::size_t kLongestId = 40, kLongestLine = 200;
constexpr double kLongestMm = 30000;
constexpr std::int64_t kMostMinor = 100'000'000;
}  // namespace

std::string read_id(reading::Table& table, const std::string& what, std::vector<std::string>& seen) {
  const std::string id = table.need_text("id");
  if (id.empty()) return id;
  const bool plain = id.size() <= kLongestId && std::all_of(id.begin(), id.end(), [](char c) {
                       return std::isalnum(static_cast<unsigned char>(c)) || c == '-' || c == '_';
                     });
  if (!plain)
    table.problem("id", "this id cannot be used", "up to 40 letters of a to z, digits, '-' and '_'",
                  "keep the id short and put the full name into name");
  if (std::find(seen.begin(), seen.end(), id) != seen.end())
    table.problem("id", "there is a " + what + " '" + id + "' already", "every " + what + " with an id of its own",
                  "rename one, for instance '" + id.substr(0, kLongestId) + "-2'");
  seen.push_back(id);
  return id;
}

std::string read_line(reading::Table& table, std::string_view key, std::string otherwise) {
  const auto line = table.text(key);
  if (!line) return otherwise;
  const bool plain = line->size() <= kLongestLine && std::none_of(line->begin(), line->end(), [](char c) {
                       return static_cast<unsigned char>(c) < 0x20 || static_cast<unsigned char>(c) == 0x7F;
                     });
  if (!plain) {
    table.problem(key, "'" + std::string(key) + "' is too long or has line breaks in it",
                  "one line of up to 200 letters", "shorten it");
    return otherwise;
  }
  return *line;
}

std::vector<std::string> read_lines(reading::Table& table, std::string_view key, std::size_t most) {
  std::vector<std::string> lines = table.texts(key);
  const bool plain = lines.size() <= most && std::all_of(lines.begin(), lines.end(), [](const std::string& line) {
                       return line.size() <= kLongestLine && std::none_of(line.begin(), line.end(), [](char c) {
                                return static_cast<unsigned char>(c) < 0x20 || static_cast<unsigned char>(c) == 0x7F;
                              });
                     });
  if (plain) return lines;
  table.problem(key, "'" + std::string(key) + "' has too many lines, or one that is too long or broken",
                "up to " + std::to_string(most) + " lines of up to 200 letters", "shorten it");
  return {};
}

std::optional<Money> read_money(reading::Table& table, std::string_view key) {
  const auto text = table.text(key);
  if (!text) return std::nullopt;
  const auto money = parse_money(*text);
  if (money && money->minor >= 0 && money->minor <= kMostMinor) return *money;
  table.problem(key, money ? "'" + std::string(key) + "' is " + to_text(*money) : money.error().what,
                money ? "money from 0 to 1000000.00" : money.error().expected,
                money ? "check the figure" : money.error().remedy);
  return std::nullopt;
}

void check_name(reading::Table& table, std::string_view key, const std::string& word, const std::string& what,
                const std::vector<std::string>& known) {
  if (word.empty() || std::find(known.begin(), known.end(), word) != known.end()) return;
  const auto near = reading::nearest(word, known);
  std::string expected = "the id of a " + what;
  if (!known.empty() && known.size() <= 12) {
    expected = "one of: ";
    for (const std::string& one : known) expected += (&one == &known.front() ? "" : ", ") + one;
  }
  table.problem(key, "there is no " + what + " '" + word.substr(0, kLongestLine) + "'", std::move(expected),
                near ? "did you mean '" + *near + "'?" : "look it up, or add it");
}

void refuse_strangers(reading::Table& table, const std::vector<std::string>& all, const std::vector<std::string>& own,
                      const std::string& whose) {
  for (const std::string& key : all) {
    table.known(key);
    if (!table.has(key) || std::find(own.begin(), own.end(), key) != own.end()) continue;
    std::string list;
    for (const std::string& one : own) list += (list.empty() ? "" : ", ") + one;
    table.problem(key, "'" + key + "' says nothing about a " + whose, list.empty() ? "no sizes" : "sizes of: " + list,
                  "take it out, or check the word before it");
  }
}

std::optional<double> read_length(reading::Table& table, std::string_view key, double low_mm) {
  return table.quantity(key, units::parse_length_mm, low_mm, kLongestMm,
                        low_mm > 0 ? "a length above 0 and up to 30 m, as \"60 cm\" or \"23 5/8 in\""
                                   : "a length from 0 to 30 m, as \"60 cm\" or \"23 5/8 in\"");
}

}  // namespace tackcloth::job
