// Everything of a store as one file, and back into an empty one: a gzipped tar (POSIX pax) with a manifest first, then
// JSON lines, then the photos. Opens with any tar. docs/ledger.md tells what is in it.
#pragma once

#include <string>

#include "ledger/ledger.h"

namespace tackcloth::ledger {

// The same store gives the same bytes. `file` must not be there; when it cannot be finished nothing is left of it.
Result<void> write_everything(Ledger& ledger, const std::string& file);

// Whether nothing was ever stored in it (paired telephones aside).
Result<bool> is_empty(Ledger& ledger);
Problem not_empty();

// All or nothing: refuses a store that is not empty, a file that is damaged, of a newer version, or larger than it
// says.
Result<void> read_everything(const std::string& file, Ledger& into);

}  // namespace tackcloth::ledger
