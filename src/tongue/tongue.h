// The reader's language on paper: sentences through the book, dates and numbers as its locale has them (Unicode CLDR,
// through ICU). English needs no book. One is for one thread: it remembers what it has said.
#pragma once

#include <initializer_list>
#include <memory>
#include <string>
#include <vector>

#include "units/result.h"
#include "units/time.h"

namespace tackcloth::tongue {

class Tongue {
 public:
  Tongue() = default;  // English

  // `tag` is a language of BCP 47, "de" or "de-CH": its book is `directory`/words/de.po. Empty and "en" are English.
  static Result<Tongue> load(const std::string& directory, const std::string& tag);

  bool english() const { return !state_; }

  // A sentence of a paper, its slots filled in order with values that are in the reader's language already:
  // fill("page {n} of {n2}", {"1", "3"}). Of the book's context "paper"; English where it has no such entry.
  std::string fill(const std::string& template_, std::initializer_list<std::string> values = {}) const;
  // What an engine said, which may be several sentences. What the book does not know stays English.
  std::string say(const std::string& text) const;
  // A word or a name of the catalogue, as it is when the book does not know it.
  std::string word(const std::string& text) const;
  // Parts and zones between commas, by the words of the context "part".
  std::string parts(const std::string& names) const;
  // "0.75 l" with the reader's decimal mark.
  std::string number(const std::string& text) const;

  // By a skeleton of CLDR, "EEEdMMMM": in English empty.
  std::string dated(Instant instant, const std::string& skeleton) const;
  std::string decimal_mark() const, group_mark() const;

  // Where what the book lacks is noted, for tests. Not owned.
  void note_missing(std::vector<std::string>* to);

 private:
  struct State;
  std::shared_ptr<State> state_;
};

}  // namespace tackcloth::tongue
