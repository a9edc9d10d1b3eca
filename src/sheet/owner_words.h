// The coats on a piece, summed up.
#pragma once

#include <string>
#include <vector>

#include "plan/plan.h"
#include "sheet/forms.h"

namespace tackcloth::sheet {

struct Coats {
  finish::StepKind kind = finish::StepKind::clear;
  std::string product, product_name;
  int coats = 0;  // the most on one zone
  std::vector<std::string> zones;
  bool finish = false;  // what the owner touches, not what lies under it
};
bool is_finish(const plan::PlannedStep& step);
std::vector<Coats> coats_of(const plan::PlannedPiece& piece);  // in the order laid

// "Satin wiping varnish, 3 coats"
std::string coats_words(const Coats& coats, const Tongue& tongue);

// When it may be used; never empty.
std::vector<std::string> use_words(const plan::PlannedPiece& piece, const Forms& forms);

}  // namespace tackcloth::sheet
