// The sentence book: what the engines say in English, found by its template and said in another language. The same
// book and the same rules as the page's (web/src/words/book.ts tells what may stand in a slot); one table of cases
// holds both (tests/tongue/cases.json).
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "tongue/po.h"

namespace tackcloth::tongue {

struct Bit {
  std::string text;
  bool english = false;  // not in the book: still English
};

// How the reader's language writes what is no word. From outside, so that the book itself needs no locale data.
struct Marks {
  std::string point = ".";
  // Year, month, day and, when there is one, minutes of the day; as a date or as an hour of it.
  std::function<std::string(int, int, int, std::optional<int>)> moment;
};

class Book {
 public:
  Book(const std::vector<Entry>& entries, Marks marks);
  // The text in bits, said in the other language where the book knows it.
  std::vector<Bit> say(const std::string& text) const;
  // Nothing when not all of it is known.
  std::optional<std::string> whole(const std::string& text) const;
  // One word in a context of its own; as it is when the book has none.
  std::string word(const std::string& text, const std::string& context) const;
  // What is known of it, a typed name for the rest; nothing when no entry fits.
  std::optional<std::string> one(const std::string& sentence, bool loose) const;
  // A translation as it stands in the book, slots and all; an entry of a context by "context\4english".
  const std::string* entry(const std::string& english) const;
  std::string slot_number(std::string text) const;

 private:
  using Slots = std::map<std::string, std::string, std::less<>>;
  struct Template {
    std::vector<std::string> literals, names, other;  // one literal more than names; other: text and names in turn
    std::string mark;                                 // its longest literal
    std::size_t weight = 0;
  };
  struct Found {
    const Template* one;
    Slots slots;
  };
  std::optional<Found> find(const std::string& sentence, bool loose) const;
  std::optional<Slots> match(const Template& one, const std::string& text, bool loose) const;
  bool fits(const std::string& name, const std::string& value, bool loose) const;
  std::optional<std::string> slot(const std::string& name, const std::string& value) const;
  std::string list(const std::string& value) const;
  std::optional<std::string> moment(const std::string& value) const;

  std::unordered_map<std::string, std::string> exact_;
  std::unordered_map<std::string, std::vector<Template>> by_word_;  // those that begin with a whole word
  std::vector<Template> open_;
  Marks marks_;
};

// The names of a template's slots, in order.
std::vector<std::string> slots_of(std::string_view text);

}  // namespace tackcloth::tongue
