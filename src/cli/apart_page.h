// Taking apart and putting back, for the page: what came off, the way back and what stands in it, names for the next
// bag and cable; and the labels as a PDF.
#pragma once

#include <string>

#include "cli/stored_plan.h"
#include "service/service.h"
#include "sheet/labels.h"

namespace tackcloth::cli {

// {"mains", "pieces": [{"id", "name", "letter", "next_bag", "next_cable", "wires", "taken_off", "back", "changes"}]}
Result<std::string> apart_page(ledger::Ledger& ledger, const std::string& now, const Context& context);

// `about`: the piece; `query`: paper=a4 or letter, to=ADDRESS that the codes open. Bags and cables as they are written,
// and some more of each to come.
Result<service::Asset> labels_page(ledger::Ledger& ledger, const std::string& about, const std::string& query,
                                   const Context& context);

// Labels of a piece of a job: those that are written and `spare` more bags (and cables, when it has any).
Result<sheet::LabelSheet> labels_of(const job::Job& job, const std::string& piece, const std::string& address,
                                    int spare);

}  // namespace tackcloth::cli
