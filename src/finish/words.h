// The words a rule's conditions are written in, and how they are matched. docs/finish.md lists them for people.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "finish/finish.h"

namespace tackcloth::finish {

// What can be said of a step about to be done and of the surface it meets.
enum class Word {
  step,        // StepKind, or "end" once the order is over
  lays,        // the step leaves a film
  material,    // piece::Material
  surface,     // bare, old, film: what the step touches
  existing,    // piece::Existing
  old_finish,  // is the old finish still underneath?
  lead,        // none, untested, tested
  grime,
  grease,
  wax,
  glue,
  dust,
  moist,
  residue,
  spirits,
  stubborn,
  interior,
  sandable,
  open_pored,
  pores_filled,
  damage,
  tannin_open,  // tannin wood with nothing yet that stops the bleeding
  thin,         // no, no_coarse, scuff_only: what the veneer budget still allows
  over_budget,  // would this step go past the veneer budget?
  grit,
  grit_ratio,
  first_sand,
  coarse_start,
  sanded_enough,
  scuff_due,      // has the film or old finish to be scuffed before this coat?
  wait_short,     // was the film below left less time than this step needs?
  crossing,       // oil-based on waterborne or the reverse, nothing between
  window_closed,  // is the film below past its recoat window and not scuffed?
  kind,
  binder,
  carrier,
  system,  // of the step's product
  top_kind,
  top_binder,
  top_carrier,
  top_system,  // of the film below
  same_product,
  primed,
  metal_clean,
  dry_fit,
  test_board,
  wiped,
  fresh_below,      // uncured waterborne coat under the newest film?
  thickness_ratio,  // wet film over target wet film
  method_known,     // is the product put on that way?
  count
};

// One number per word: an index in the word's vocabulary, or a measure. kAbsent matches no condition.
inline constexpr double kAbsent = -1;
using Facts = std::array<double, static_cast<std::size_t>(Word::count)>;
inline double& at(Facts& facts, Word word) { return facts[static_cast<std::size_t>(word)]; }
inline double at(const Facts& facts, Word word) { return facts[static_cast<std::size_t>(word)]; }

std::string_view name(Word word);
// The values a word can take; empty for a measure.
const std::vector<std::string>& vocabulary(Word word);
// Word of that name, Word::count when there is none.
Word find_word(std::string_view name);

// "a | b", "not a | b", "> 1.5", "< 120", ">= 2".
struct Condition {
  Word word = Word::count;
  enum class Op { any_of, none_of, above, below, at_least } op = Op::any_of;
  std::vector<double> values;
};
Result<Condition> read_condition(const std::string& word, const std::string& value);
bool holds(const Condition& condition, const Facts& facts);

// A rule ready to be asked. A rule without conditions, or with one that cannot be read, never speaks.
struct Compiled {
  const Rule* rule = nullptr;
  std::vector<Condition> conditions;
};
std::vector<Compiled> compile(const std::vector<Rule>& rules);
bool speaks(const Compiled& rule, const Facts& facts);

}  // namespace tackcloth::finish
