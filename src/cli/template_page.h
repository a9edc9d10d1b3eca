// The full-size template of a zone of the stored job, for a link on the page.
#pragma once

#include <string>

#include "cli/stored_plan.h"
#include "service/service.h"
#include "sheet/template.h"

namespace tackcloth::cli {

// `about`: PIECE/PART/ZONE; `query`: paper=a4 or paper=letter, left out: as the shop measures; stencil: with bridges.
Result<service::Asset> template_page(ledger::Ledger& ledger, const std::string& about, const std::string& query,
                                     const Context& context);

}  // namespace tackcloth::cli
