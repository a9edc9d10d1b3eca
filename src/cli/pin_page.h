// A pin as the page sends it.
#pragma once

#include <string>

#include "cli/stored_plan.h"

namespace tackcloth::cli {

// {step, start, seen?}, whose hours have been read, to the body of the change to store; or why it cannot be kept.
Result<std::string> pin_asked(ledger::Ledger& ledger, const std::string& asked, const std::string& now,
                              const Context& context);

}  // namespace tackcloth::cli
