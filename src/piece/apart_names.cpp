// Names of bags and cables.
#include <algorithm>
#include <charconv>
#include <set>

#include "piece/apart.h"

namespace tackcloth::piece {

namespace {

constexpr int kMostNumber = 999;
constexpr int kLetters = 26;

struct Name {
  std::string letter;
  int number = 0;
};

std::optional<Name> taken_apart(std::string_view text, bool cable) {
  std::size_t letters = 0;
  while (letters < text.size() && text[letters] >= 'A' && text[letters] <= 'Z') ++letters;
  if (letters == 0 || letters > 2) return {};
  Name name{std::string(text.substr(0, letters)), 0};
  text.remove_prefix(letters);
  if (cable) {
    if (!text.starts_with('k')) return {};
    text.remove_prefix(1);
  }
  if (text.empty() || text.front() < '1' || text.front() > '9') return {};
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), name.number);
  if (error != std::errc{} || end != text.data() + text.size() || name.number > kMostNumber) return {};
  return name;
}

std::string letters_of(int index) {
  if (index < kLetters) return std::string(1, static_cast<char>('A' + index));
  return {static_cast<char>('A' + (index / kLetters - 1) % kLetters), static_cast<char>('A' + index % kLetters)};
}

}  // namespace

bool is_bag_name(std::string_view name) { return taken_apart(name, false).has_value(); }
bool is_cable_name(std::string_view name) { return taken_apart(name, true).has_value(); }

std::vector<std::string> bag_letters(const std::vector<std::vector<TakenOff>>& pieces) {
  std::vector<std::string> letters(pieces.size());
  std::set<std::string> used;
  for (std::size_t k = 0; k < pieces.size(); ++k) {
    for (const TakenOff& one : pieces[k]) {
      auto name = taken_apart(one.bag, false);
      if (!name && !one.cables.empty()) name = taken_apart(one.cables.front().name, true);
      if (!name) continue;
      letters[k] = name->letter;
      break;
    }
    // Bags that lie about belong to their piece, whatever letter it goes on with.
    for (const TakenOff& one : pieces[k])
      if (const auto name = taken_apart(one.bag, false)) used.insert(name->letter);
    if (!letters[k].empty()) used.insert(letters[k]);
  }
  int next = 0;
  for (std::string& letter : letters) {
    if (!letter.empty()) continue;
    while (used.contains(letters_of(next))) ++next;
    letter = letters_of(next++);
  }
  return letters;
}

std::string next_bag(const std::string& letter, const std::vector<TakenOff>& apart) {
  int last = 0;
  for (const TakenOff& one : apart)
    if (const auto name = taken_apart(one.bag, false); name && name->letter == letter)
      last = std::max(last, name->number);
  return letter + std::to_string(last + 1);
}

std::string next_cable(const std::string& letter, const std::vector<TakenOff>& apart) {
  int last = 0;
  for (const TakenOff& one : apart)
    for (const Cable& cable : one.cables)
      if (const auto name = taken_apart(cable.name, true); name && name->letter == letter)
        last = std::max(last, name->number);
  return letter + "k" + std::to_string(last + 1);
}

}  // namespace tackcloth::piece
