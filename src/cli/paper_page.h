// The papers of a piece for the page, made from the plan that is stored: each behind a plain link.
#pragma once

#include <string>

#include "cli/stored_photos.h"
#include "cli/stored_plan.h"
#include "service/service.h"

namespace tackcloth::cli {

// `about`: PIECE/job-sheet.pdf, quote.pdf, invoice.pdf, care-card.pdf, safety-sheet.pdf or portfolio.pdf. `query`:
// paper; for quote and invoice market, earn or deposit as on the command line; until for the quote, number and paid for
// the invoice; before and after, ids of photos, for the portfolio page. Shown, not saved: the reader's own program does
// that.
Result<service::Asset> paper_page(ledger::Ledger& ledger, const StoredPhotos& photos, const std::string& about,
                                  const std::string& query, const Context& context);

// What a price comes to: {"currency", "offer"} (as `quote --json` has it), "zones" that have a template, and
// "portfolio", whether there are the photos for it. `about`: the piece; `query`: market, earn, deposit.
Result<service::Asset> offer_page(ledger::Ledger& ledger, const std::string& about, const std::string& query,
                                  const Context& context);

}  // namespace tackcloth::cli
