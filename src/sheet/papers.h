// Every paper of one piece at once.
#pragma once

#include <string>
#include <vector>

#include "materials/offer.h"
#include "sheet/hand_over.h"

namespace tackcloth::sheet {

struct PaperFile {
  std::string name, bytes;
};
struct PapersAsked {
  Paper paper = Paper::a4;
  Instant date;
  std::optional<Instant> valid_until;  // of the quote
  picture::Image before, after;        // empty: no portfolio page
  Tongue tongue = {};                  // of what people read
};

// Job sheet, quote, care card, safety sheet, calendar, shopping list, the full-size template of each drawn zone, and
// with both photos the portfolio page.
Result<std::vector<PaperFile>> papers_of(const job::Job& job, const plan::Plan& plan, std::size_t piece,
                                         const materials::Offer& offer, const catalog::Catalog& catalog,
                                         const PapersAsked& asked);

}  // namespace tackcloth::sheet
