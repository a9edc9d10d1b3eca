// The job for the page: what stands, what may be chosen, and what a piece measures while it is being typed in.
#pragma once

#include <string>

#include "cli/stored_plan.h"

namespace tackcloth::cli {

// {"job", "heads", "contested", "changes", "assumed", "version"}: docs/service.md.
Result<std::string> job_page(ledger::Ledger& ledger, const Context& context);

// Words, species, products, usual pieces: what the page offers to choose from. The same until the catalogue changes.
Result<std::string> choices_page(const Context& context);

// Measures one piece (JSON as in the job) in the shop as it stands; nothing is stored. Mistakes are part of the answer.
Result<std::string> measured_page(ledger::Ledger& ledger, const std::string& piece_json, const Context& context);

}  // namespace tackcloth::cli
