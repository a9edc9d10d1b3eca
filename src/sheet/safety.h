// What goes into the safety box of a sheet: never empty, whatever the plan found.
#pragma once

#include <string>
#include <vector>

#include "plan/plan.h"
#include "sheet/sheet.h"

namespace tackcloth::sheet {

struct SafetyLine {
  std::string title, text;
  bool found = false;  // said by a finding on this piece, not only the standing caution
};

// First everything that must not be done on this piece; then lead, rags, solvents, wiring, dust and strippers, each
// with what was found or else its standing caution.
// `text` is in the reader's language; `title` is the English one, to tell lines apart by.
std::vector<SafetyLine> safety_of(const plan::Plan& plan, const plan::PlannedPiece& piece, const Tongue& tongue = {});

// What was found and what helps.
std::string finding_words(const catalog::Finding& finding, const Tongue& tongue);

// Findings on this piece that are not in its safety box, the weightiest first.
std::vector<const catalog::Finding*> other_findings(const plan::Plan& plan, const plan::PlannedPiece& piece);

// Of the whole shop: findings without a piece.
std::vector<const catalog::Finding*> shop_findings(const plan::Plan& plan);

}  // namespace tackcloth::sheet
