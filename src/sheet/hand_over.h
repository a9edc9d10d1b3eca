// What goes with a piece: care card for its owner, safety sheet for the bench, a page for the portfolio.
#pragma once

#include <string>
#include <vector>

#include "catalog/catalog.h"
#include "picture/image.h"
#include "sheet/forms.h"
#include "sheet/sheet.h"

namespace tackcloth::sheet {

// One page of half the paper (A5, or Letter cut across): what the finish is, when it may be used, how it is kept.
Result<std::string> care_card_pdf(const plan::Plan& plan, const plan::PlannedPiece& piece, const Forms& forms,
                                  Paper paper, Instant made_at);

// One page: what must not be done, each product of the piece with its dangers, rags, ventilation and re-entry. Where
// all of it does not fit, lines are cut, then products of lesser danger left out, and the sheet says so.
Result<std::string> safety_sheet_pdf(const plan::Plan& plan, const plan::PlannedPiece& piece,
                                     const catalog::Catalog& catalog, Paper paper, Instant made_at,
                                     const Tongue& tongue = {});

struct Portfolio {
  std::string shop, piece;
  std::vector<std::string> work;
  const picture::Image* before = nullptr;  // not owned: a photo is large
  const picture::Image* after = nullptr;
};
// One page: before above after, and what was done.
Result<std::string> portfolio_pdf(const Portfolio& portfolio, Paper paper, Instant made_at, const Tongue& tongue = {});

}  // namespace tackcloth::sheet
